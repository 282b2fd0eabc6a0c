/** The engine within a script, for `load(bytes)` where no file can be fetched. */
export declare const bytes: Uint8Array<ArrayBuffer>;
