// A case within an address: the journal and its day, packed into the part that no server is ever sent.

/** Unpacked, a case is never longer than this. */
const LONGEST = 4_000_000;
const PACKED = "z";
const PLAIN = "p";

/** @typedef {{ on: string, journal: import("./tank.js").Journal }} Case */

/** @param {Case} one */
export async function written(one) {
  const bytes = new TextEncoder().encode(JSON.stringify(one));
  if (!("CompressionStream" in globalThis)) return PLAIN + letters(bytes);
  const packed = new Blob([bytes]).stream().pipeThrough(new CompressionStream("deflate-raw"));
  return PACKED + letters(new Uint8Array(await new Response(packed).arrayBuffer()));
}

/**
 * The case in a text of an address; throws where it is none.
 * @param {string} text
 * @returns {Promise<any>}
 */
export async function readCase(text) {
  const bytes = fromLetters(text.slice(1));
  if (text.startsWith(PLAIN)) return JSON.parse(new TextDecoder().decode(bytes));
  if (!text.startsWith(PACKED)) throw new Error("this is no case");
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return JSON.parse(await bounded(stream));
}

/**
 * A small text can unpack to a huge one, so it is counted on the way.
 * @param {ReadableStream<Uint8Array>} stream
 */
async function bounded(stream) {
  const reader = stream.getReader();
  const decoder = new TextDecoder();
  let text = "";
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return text + decoder.decode();
    text += decoder.decode(value, { stream: true });
    if (text.length > LONGEST) {
      await reader.cancel();
      throw new Error("this case is too long");
    }
  }
}

/** Base64 for addresses, RFC 4648, section 5. @param {Uint8Array} bytes */
function letters(bytes) {
  const text = Array.from(bytes, (byte) => String.fromCharCode(byte)).join("");
  return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

/** @param {string} text */
function fromLetters(text) {
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
}
