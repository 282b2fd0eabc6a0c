/**
 * Hands a text to the keeper as a file.
 * @param {string} name
 * @param {string} text
 */
export function saveFile(name, text) {
  const anchor = document.createElement("a");
  const url = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  anchor.href = url;
  anchor.download = name;
  anchor.click();
  // Some browsers fetch the file only after this turn.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
