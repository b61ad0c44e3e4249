// Showing a plan: what to buy, what else could be done, why, how to cut it, cautions.

import { ask, element, make, refused, table } from "./api.js";
import { grouped, signed } from "./figures.js";

/** Show a plan that is kept at an address. */
export async function showPlan({ plan, address }) {
  element("plan-purchases").replaceChildren(...purchases(plan));
  element("plan-alternatives").replaceChildren(alternatives(plan));
  element("plan-reasons").replaceChildren(...reasons(plan));
  element("plan-cautions").replaceChildren(
    make("ul", {}, ...plan.cautions.map((caution) => make("li", {}, `${caution.sentence} (${caution.source})`))),
  );
  element("plan").hidden = false;
  await showDiagrams(plan, address);
}

/** What a purchase line is, in a few words. */
export function described(line) {
  const lengths = line.lengths?.map((cut) => `${cut.count} × ${cut.length.text}`).join(", ");
  const what = {
    kit: () => (line.packs_per_kit ? `kit with ${line.packs_per_kit} packs of ${line.fastener}` : "bare kit"),
    "stock-length": () => `stock length ${line.length.text}`,
    "fastener-pack": () => `pack of ${line.fastener}`,
    "standard-kit": () => "standard kit, trimmed on site",
  }[line.kind]();
  const of = line.material ? `, ${line.material.product}, ${line.material.finish}` : "";
  return `${what}${of}${lengths ? `: ${lengths}` : ""}`;
}

function purchases(plan) {
  const rows = plan.purchases.map((line) => [line.sku, String(line.quantity), described(line), grouped(line.unit_price), grouped(line.amount)]);
  const foot = [["Total", "", "", "", `${plan.currency} ${grouped(plan.total)}`]];
  const { certificate } = plan;
  const proof = certificate.proved
    ? "Proved: nothing cheaper exists under these prices and rules."
    : `Not proved: a cheaper plan could exist, by ${plan.currency} ${grouped(certificate.gap)} at most.`;
  const freight = plan.shipments.filter((shipment) => Number(shipment.freight)).map((shipment) => `${shipment.supplier}: freight ${plan.currency} ${grouped(shipment.freight)}, to pay ${grouped(shipment.total)}.`);
  return [
    make("p", { class: "total", id: "plan-total" }, `${plan.currency} ${grouped(plan.total)}`),
    make("p", { id: "plan-proof" }, proof),
    table("Purchases", ["SKU", "Quantity", "What", "Each", "Amount"], rows, { figures: [1, 3, 4], foot }),
    ...freight.map((words) => make("p", {}, words)),
  ];
}

function alternatives(plan) {
  if (!plan.alternatives.length) return make("p", {}, "None was priced.");
  const rows = plan.alternatives.map((other) => [
    other.statement,
    other.cost === null ? other.outcome.replaceAll("-", " ") : grouped(other.cost),
    other.extra_cost === null ? "" : signed(other.extra_cost),
  ]);
  return table("Alternatives", ["Instead", "Cost", "Beside the plan"], rows, { figures: [1, 2] });
}

function reasons(plan) {
  const notices = plan.notices.map((notice) => make("li", {}, notice.sentence));
  const sentences = plan.reasons.map((reason) => make("li", {}, reason.sentence));
  return [
    notices.length ? make("ul", {}, ...notices) : null,
    make("details", {}, make("summary", {}, `${sentences.length} reasons, with their arithmetic`), make("ol", {}, ...sentences)),
  ].filter(Boolean);
}

async function showDiagrams(plan, address) {
  const area = element("plan-diagrams");
  if (!plan.patterns.length) {
    area.replaceChildren(make("p", {}, "Nothing is cut: kits come made to size."));
    return;
  }
  try {
    const page = await (await ask(`${address}/documents/cutting-diagrams`, { accept: "text/html" })).text();
    area.replaceChildren(...Array.from(page.matchAll(/<svg[^]*?<\/svg>/g), ([drawing]) => figure(drawing)));
  } catch (error) {
    area.replaceChildren(refused(error));
  }
}

function figure(drawing) {
  const svg = document.importNode(new DOMParser().parseFromString(drawing, "image/svg+xml").documentElement, true);
  const caption = svg.querySelector("title")?.textContent ?? "";
  return make("figure", {}, make("figcaption", {}, caption), make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": caption }, svg));
}
