// Downloading the documents of a plan.

import { ask, element, make, refused } from "./api.js";

const FORMS = [
  ["HTML", "text/html", "html"],
  ["PDF", "application/pdf", "pdf"],
  ["XLSX", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "xlsx"],
  ["CSV", "text/csv", "csv"],
  ["CSV files", "application/zip", "zip"],
];
const DOCUMENTS = [
  ["purchase-list", "Purchase list"],
  ["why-this-plan", "Why this plan"],
  ["cutting-diagrams", "Cutting diagrams"],
  ["bench-cut-list", "Cut list for the bench"],
  ["labels", "Labels"],
  ["install-sheets", "Install sheets"],
];

/** Offer every document of a plan that is kept at an address. */
export function offerDocuments(address) {
  const whole = [["JSON", "application/json", "json"], ["Text", "text/plain", "txt"]].map((form) => button("The plan itself", form, "plan", () => address));
  const lines = DOCUMENTS.map(([name, title]) => {
    const buttons = FORMS.map((form) => button(title, form, name, () => `${address}/documents/${name}?${chosen()}`));
    return make("li", {}, make("span", {}, title), ...buttons);
  });
  element("document-list").replaceChildren(make("li", {}, make("span", {}, "The plan itself"), ...whole), ...lines);
  element("documents").hidden = false;
}

function chosen() {
  return new URLSearchParams({
    lengths: element("document-lengths").value,
    paper: element("document-paper").value,
    locale: element("document-locale").value,
  });
}

function button(title, [label, type, ending], name, address) {
  return make("button", { type: "button", class: "quiet", "aria-label": `${title} as ${label}`, onclick: () => download(address(), type, `${name}.${ending}`) }, label);
}

async function download(address, type, name) {
  const outcome = element("documents-outcome");
  outcome.replaceChildren(make("p", {}, "Being written."));
  try {
    const answer = await ask(address, { accept: type });
    const content = await answer.blob();
    const link = make("a", { href: URL.createObjectURL(content), download: name });
    link.textContent = name;
    // A browser takes a file that comes late for one that nobody asked for: then the link stays.
    const inTime = navigator.userActivation?.isActive ?? true;
    if (inTime) link.click();
    outcome.replaceChildren(make("p", {}, inTime ? "Handed to the browser: " : "Ready, to be saved: ", link));
  } catch (error) {
    outcome.replaceChildren(refused(error));
  }
}
