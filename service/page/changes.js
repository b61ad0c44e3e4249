// What if: spacing, kits and prices changed, the order planned anew and set beside the plan.

import { ask, askForJson, element, make, refused, table } from "./api.js";
import { difference, grouped, signed } from "./figures.js";
import { described } from "./outcome.js";

const PAUSE = 400;

let base = null;
let timer = 0;
let asking = null;

/** Begin with a plan and its order: nothing is changed. */
export function beginChanges(order, plan) {
  base = { order, plan };
  element("changes-form").reset();
  element("change-prices").tBodies[0].replaceChildren(...prices(order).map(priceRow));
  element("changes-outcome").replaceChildren();
  element("changes").hidden = false;
}

/** Plan anew, once the reader has paused. */
export function changed() {
  clearTimeout(timer);
  timer = setTimeout(planChanged, PAUSE);
}

export function putBack() {
  beginChanges(base.order, base.plan);
}

async function planChanged() {
  asking?.abort();
  asking = new AbortController();
  const outcome = element("changes-outcome");
  outcome.replaceChildren(make("p", {}, "Being planned anew."));
  try {
    const plan = await askForJson("/v1/plans", {
      method: "POST",
      body: JSON.stringify(changedOrder()),
      type: "application/json",
      headers: { prefer: "wait=60" },
      signal: asking.signal,
    });
    outcome.replaceChildren(...beside(plan));
  } catch (error) {
    if (error.name !== "AbortError") outcome.replaceChildren(refused(error));
  }
}

function changedOrder() {
  const order = structuredClone(base.order);
  order.policy = { ...order.policy, alternatives: false };
  const spacing = element("change-spacing").value;
  if (spacing) for (const opening of order.openings) opening.fastener_spacing = spacing;
  const kits = element("change-kits").value;
  if (kits === "none") order.policy.allow_kits = false;
  if (kits === "every") order.policy.allow_cutting = false;
  for (const catalogue of order.catalogues) {
    if (kits === "bare") catalogue.kits = (catalogue.kits ?? []).filter((kit) => !kit.fasteners);
    if (kits === "with") catalogue.kits = (catalogue.kits ?? []).filter((kit) => kit.fasteners);
  }
  // By SKU: kits may have been left out above.
  for (const field of element("change-prices").querySelectorAll("input")) {
    const [at, list, sku, ...path] = JSON.parse(field.dataset.path);
    const entry = order.catalogues[at][list]?.find((candidate) => candidate.sku === sku);
    if (!entry || field.value === field.defaultValue) continue;
    const last = path.pop();
    path.reduce((inner, name) => inner[name], entry)[last] = field.value.trim();
  }
  return order;
}

/** Every price of the catalogues that a reader may change, with the way to it. */
function prices(order) {
  const found = [];
  const add = (at, list, entry, words, ...path) => {
    const value = path.reduce((inner, name) => inner?.[name], entry);
    if (value !== undefined && value !== null) found.push({ sku: entry.sku, words, value: String(value), path: [at, list, entry.sku, ...path] });
  };
  order.catalogues.forEach((catalogue, at) => {
    for (const bar of catalogue.stock_lengths ?? []) add(at, "stock_lengths", bar, `stock length ${bar.length}, ${bar.finish}`, "price");
    for (const kit of catalogue.kits ?? []) {
      const what = kit.fasteners ? "kit with fasteners" : "bare kit";
      add(at, "kits", kit, `${what}: base`, "price", "base");
      add(at, "kits", kit, `${what}: per ${kit.price.per_length?.length}`, "price", "per_length", "price");
      add(at, "kits", kit, `${what}: per piece`, "price", "per_piece");
      add(at, "kits", kit, `${what}: per pack`, "price", "per_pack");
    }
    for (const pack of catalogue.fastener_packs ?? []) add(at, "fastener_packs", pack, `pack of ${pack.fastener}`, "price");
    for (const kit of catalogue.standard_kits ?? []) if (typeof kit.price === "string") add(at, "standard_kits", kit, "standard kit", "price");
  });
  return found;
}

function priceRow({ sku, words, value, path }) {
  const field = make("input", { inputmode: "decimal", value, "aria-label": `${sku}, ${words}`, "data-path": JSON.stringify(path) });
  return make("tr", {}, make("th", { scope: "row", class: "short" }, sku), make("td", {}, words), make("td", { class: "figure" }, field));
}

function beside(plan) {
  const before = base.plan;
  const keyed = (of) => new Map(of.purchases.map((line) => [`${line.sku} ${described(line)} ${line.unit_price}`, line]));
  const [old, now] = [keyed(before), keyed(plan)];
  const rows = [...new Set([...old.keys(), ...now.keys()])]
    .map((name) => [name, old.get(name), now.get(name)])
    .filter(([, was, is]) => was?.quantity !== is?.quantity)
    .map(([, was, is]) => [(was ?? is).sku, described(was ?? is), String(was?.quantity ?? 0), String(is?.quantity ?? 0)]);
  const more = difference(plan.total, before.total);
  return [
    make("p", { class: "total", id: "changed-total" }, `${plan.currency} ${grouped(plan.total)} (${signed(more)})`),
    make("p", {}, plan.certificate.proved ? "Proved to be the least." : `Not proved: by ${grouped(plan.certificate.gap)} at most it could be less.`),
    rows.length ? table("Purchases that changed", ["SKU", "What", "Before", "Now"], rows, { figures: [2, 3] }) : make("p", {}, "The same is bought."),
  ];
}
