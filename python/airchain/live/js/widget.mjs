// The view in a notebook: the kernel answers what the page cannot.
import { View } from "./view.mjs";
import { decoded } from "./values.mjs";

/**
 * @typedef {Object} Widget what anywidget hands over
 * @property {(name: string) => any} get
 * @property {(message: object) => void} send
 * @property {(event: string, told: (message: any) => void) => void} on
 * @property {(event: string, told: (message: any) => void) => void} off
 */

/** @param {{model: Widget, el: HTMLElement}} handed */
function render({ model, el }) {
  const { schema, locks, objection, numbers, twin } = JSON.parse(model.get("told"));
  const core = model.get("core");
  /** @type {Map<number, (answer: any) => void>} */
  const waiting = new Map();
  let asked = 0;
  const hear = (/** @type {any} */ message) => {
    waiting.get(message.number)?.(message.answer);
    waiting.delete(message.number);
  };
  /** @param {object} message @returns {Promise<any>} */
  const question = (message) => new Promise((done) => {
    waiting.set(++asked, done);
    model.send({ number: asked, ...message });
  });
  model.on("msg:custom", hear);
  const root = document.createElement("div");
  // The still picture that a saved notebook shows is not needed beside the live one.
  const hidden = document.createElement("style");
  hidden.textContent = `[data-airchain-twin="${twin}"] { display: none; }`;
  el.append(hidden, root);
  const view = new View(root, {
    schema, locks, objection,
    code: core.byteLength ? new Uint8Array(core.buffer, core.byteOffset, core.byteLength) : null,
    numbers: decoded(numbers),
    ask: (values) => question({ values }),
    ask_knock: (values) => question({ values, knock: true }),
    keep: (values) => model.send({ keep: values }),
    shown: (values) => model.send({ shown: values }),
  });
  view.start();
  return () => {
    model.off("msg:custom", hear);
    view.end();
  };
}

export default { render };
