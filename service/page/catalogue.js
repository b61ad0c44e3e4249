// Choosing a catalogue: the example, one that the service keeps, or a file.

import { ask, askForJson, element, make, onceKey, refused } from "./api.js";

const TABLES = { xlsx: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", zip: "application/zip" };

let example = null;
let fromFile = null;

/** List what can be chosen. */
export async function listCatalogues() {
  const choice = element("catalogue-choice");
  const described = await askForJson("/openapi.json");
  const examples = described.paths["/v1/catalogues"].post.requestBody.content["application/json"].examples;
  example = Object.values(examples)[0].value.content;
  choice.replaceChildren(make("option", { value: "example" }, `${example.supplier}, the example (invented)`));
  try {
    const kept = await askForJson("/v1/catalogues?limit=100");
    choice.append(...kept.entries.map((entry) => make("option", { value: `kept:${entry.name}` }, `${entry.name}, kept in the service`)));
  } catch (error) {
    element("catalogue-outcome").replaceChildren(refused(error));
  }
}

/** The catalogue by value, as an order takes it. */
export async function chosenCatalogue() {
  if (fromFile) return fromFile;
  const chosen = element("catalogue-choice").value;
  if (chosen === "example") return structuredClone(example);
  return contentOf(chosen.slice("kept:".length));
}

async function contentOf(name) {
  const kept = await askForJson(`/v1/catalogues/${encodeURIComponent(name)}`);
  const version = await askForJson(`/v1/catalogues/${encodeURIComponent(name)}/versions/${kept.current ?? kept.latest}`);
  return version.content;
}

/** Take the file that the reader chose. */
export async function takeFile() {
  const outcome = element("catalogue-outcome");
  const file = element("catalogue-file").files[0];
  fromFile = null;
  outcome.replaceChildren();
  if (!file) return;
  const ending = file.name.toLowerCase().split(".").pop();
  try {
    if (ending in TABLES) {
      const name = file.name.replace(/\.[^.]*$/, "").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "") || "catalogue";
      const query = new URLSearchParams({ name, valid_from: new Date().toISOString().slice(0, 10) });
      await ask(`/v1/catalogues?${query}`, { method: "POST", body: file, type: TABLES[ending], headers: { "idempotency-key": onceKey() } });
      fromFile = await contentOf(name);
      outcome.replaceChildren(make("p", {}, `Kept as ${name}.`));
    } else {
      const read = JSON.parse(await file.text());
      fromFile = read.content ?? read;
      outcome.replaceChildren(make("p", {}, `Prices of ${fromFile.supplier ?? "a supplier without a name"}, from the file.`));
    }
  } catch (error) {
    const told = error instanceof SyntaxError ? make("p", { class: "refused" }, `The file is no JSON: ${error.message}.`) : refused(error);
    outcome.replaceChildren(told);
  }
}

export function forgetFile() {
  fromFile = null;
  element("catalogue-file").value = "";
  element("catalogue-outcome").replaceChildren();
}
