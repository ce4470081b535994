// A page by itself: data in the document, no server, no kernel.
import { View } from "./view.mjs";
import { decoded } from "./values.mjs";

/**
 * Text of one of the document's data.
 * @param {string} id
 */
function data(id) {
  return document.getElementById(id)?.textContent ?? "";
}

const { schema, locks, objection } = JSON.parse(data("airchain-data"));
const code = data("airchain-core");
const root = /** @type {HTMLElement} */ (document.getElementById("airchain-view"));
const view = new View(root, {
  schema, locks, objection, ask: null, ask_knock: null,
  code: code ? new Uint8Array(decoded_bytes(code)) : null,
  numbers: decoded(data("airchain-numbers")),
});
view.start();

/**
 * Bytes out of base64.
 * @param {string} text
 */
function decoded_bytes(text) {
  return Uint8Array.from(atob(text.trim()), (c) => c.charCodeAt(0));
}
