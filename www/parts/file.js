/**
 * Hands a text to the keeper as a file.
 * @param {string} name
 * @param {string} text
 * @param {string} [type]
 */
export function saveFile(name, text, type = "application/json") {
  const anchor = document.createElement("a");
  const url = URL.createObjectURL(new Blob([text], { type }));
  anchor.href = url;
  anchor.download = name;
  anchor.click();
  // Some browsers fetch the file only after this turn.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
