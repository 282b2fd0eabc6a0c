// The markup of a page, such as that of another language.

/**
 * Read as a document, so that no text is ever turned into markup here.
 * @param {string | URL} address
 * @returns {Promise<Document>}
 */
export const markupAt = (address) =>
  new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open("GET", address);
    request.responseType = "document";
    request.addEventListener("load", () =>
      request.response ? resolve(request.response) : reject(new Error("there is no markup")),
    );
    request.addEventListener("error", () => reject(new Error("the markup cannot be fetched")));
    request.send();
  });
