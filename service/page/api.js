// The API, and the elements of the page: what every part of it uses.

const SHORT = 16;

let key = "";

/** A problem (RFC 9457) that the API answered with. */
export class Refusal extends Error {
  constructor(problem) {
    super(problem.detail);
    this.problem = problem;
  }
}

/** Ask the API; where it wants a key, the reader is asked for it once. */
export async function ask(path, options = {}) {
  const answer = await send(path, options);
  if (answer.status === 401 && (await askForKey())) return ask(path, options);
  if (answer.ok) return answer;
  throw new Refusal(await problemOf(answer));
}

export async function askForJson(path, options) {
  return (await ask(path, options)).json();
}

async function send(path, { method = "GET", body, type, accept = "application/json", headers = {}, signal }) {
  const sent = { accept, ...headers };
  if (type) sent["content-type"] = type;
  if (key) sent.authorization = `Bearer ${key}`;
  try {
    return await fetch(path, { method, body, headers: sent, signal });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refusal({ detail: "The service cannot be reached; see that it runs, and try again." });
  }
}

async function problemOf(answer) {
  try {
    return await answer.json();
  } catch {
    return { detail: `The service answered ${answer.status}.` };
  }
}

function askForKey() {
  const dialog = element("key-dialog");
  const field = element("key-value");
  return new Promise((resolve) => {
    dialog.addEventListener(
      "close",
      () => {
        if (dialog.returnValue === "use") key = field.value.trim();
        resolve(dialog.returnValue === "use" && key !== "");
      },
      { once: true },
    );
    dialog.showModal();
  });
}

/** A key for a request that is to be carried out once (Idempotency-Key). */
export function onceKey() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

export function element(id) {
  return document.getElementById(id);
}

/** Make an element; text and elements go into it. */
export function make(name, attributes = {}, ...inside) {
  const made = document.createElement(name);
  for (const [attribute, value] of Object.entries(attributes)) {
    if (attribute === "class") made.className = value;
    else if (attribute.startsWith("on")) made.addEventListener(attribute.slice(2), value);
    else made.setAttribute(attribute, value);
  }
  made.append(...inside.filter((part) => part !== null && part !== undefined));
  return made;
}

/** A table of cells; columns in `figures` are numbers. */
export function table(caption, heads, rows, { figures = [], foot = [] } = {}) {
  const kind = (at) => (figures.includes(at) ? { class: "figure" } : {});
  // An article number is not broken at its hyphens.
  const first = (cell) => (cell.length <= SHORT ? { class: "short" } : {});
  const line = (row) =>
    make("tr", {}, ...row.map((cell, at) => (at === 0 ? make("th", { scope: "row", ...first(cell) }, cell) : make("td", kind(at), cell))));
  return make(
    "div",
    { class: "scroll", tabindex: "0", role: "region", "aria-label": caption },
    make(
      "table",
      {},
      make("caption", {}, caption),
      make("thead", {}, make("tr", {}, ...heads.map((head, at) => make("th", { scope: "col", ...kind(at) }, head)))),
      make("tbody", {}, ...rows.map(line)),
      foot.length ? make("tfoot", {}, ...foot.map(line)) : null,
    ),
  );
}

/** What was refused, and every fault of it. */
export function refused(error) {
  if (!(error instanceof Refusal)) throw error;
  const faults = error.problem.faults ?? [];
  const items = faults.map((fault) => make("li", {}, fault.pointer ? `${fault.pointer}: ${fault.message}` : fault.message));
  return make("div", { class: "refused" }, make("p", {}, error.problem.detail), items.length ? make("ul", {}, ...items) : null);
}
