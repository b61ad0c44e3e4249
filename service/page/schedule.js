// Reading a schedule: a file or pasted rows in, openings or faults by row out.

import { ask, askForJson, element, make, refused, Refusal, table } from "./api.js";

const XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

/** Read the schedule that the reader chose; returns it, or nothing where it was refused. */
export async function readSchedule() {
  const outcome = element("schedule-outcome");
  const file = element("schedule-file").files[0];
  const pasted = element("schedule-rows").value;
  if (!file && !pasted.trim()) {
    outcome.replaceChildren(make("p", { class: "refused" }, "There is nothing to read: choose a file, or paste rows."));
    return null;
  }
  const options = { unit: element("schedule-unit").value, defaults: {} };
  if (element("schedule-finish").value.trim()) options.defaults.finish = element("schedule-finish").value.trim();
  const workbook = file && file.name.toLowerCase().endsWith(".xlsx");
  try {
    const schedule = await askForJson(`/v1/schedules?options=${encodeURIComponent(JSON.stringify(options))}`, {
      method: "POST",
      body: file ?? pasted,
      type: workbook ? XLSX : "text/csv",
    });
    outcome.replaceChildren(...shownSchedule(schedule));
    return schedule;
  } catch (error) {
    outcome.replaceChildren(refused(error), shownRows(error, workbook ? null : file ? await file.text() : pasted) ?? "");
    return null;
  }
}

export async function putInExample() {
  element("schedule-rows").value = await (await ask("/page/example.csv", { accept: "text/csv" })).text();
  element("schedule-file").value = "";
}

function shownSchedule(schedule) {
  const count = schedule.openings.reduce((sum, opening) => sum + opening.quantity, 0);
  const parts = [make("p", {}, `${count.toLocaleString("en")} openings in ${schedule.openings.length.toLocaleString("en")} lines. ${schedule.described}`)];
  const notes = [...schedule.notes.map((note) => note.message), ...schedule.skipped.filter((rows) => rows.code !== "header" && rows.code !== "blank").map((rows) => rows.message)];
  if (notes.length) {
    parts.push(make("details", {}, make("summary", {}, `${notes.length} to look at`), make("ul", {}, ...notes.map((note) => make("li", {}, note)))));
  }
  const lines = schedule.openings.slice(0, 200).map((opening) => [
    opening.mark,
    String(opening.quantity),
    opening.kind,
    `${opening.size.width} × ${opening.size.height}`,
    opening.finish,
    opening.fastener_spacing ?? "",
    opening.remarks,
  ]);
  const shown = table("Openings that were read", ["Mark", "Number", "Kind", "Width × height", "Finish", "Spacing", "Remarks"], lines, { figures: [1] });
  parts.push(make("details", {}, make("summary", {}, "The openings"), shown));
  return parts;
}

/** The rows with faults, as they were sent, each faulty cell marked. */
function shownRows(error, text) {
  if (!(error instanceof Refusal) || text === null) return null;
  const faults = (error.problem.faults ?? []).map((fault) => fault.pointer.split("/")).filter((parts) => parts[1] === "rows");
  const lines = text.split(/\r?\n/);
  const rows = [...new Set(faults.map((parts) => Number(parts[2])))].slice(0, 50);
  if (!rows.length) return null;
  const shown = rows.map((row) => {
    const marked = new Set(faults.filter((parts) => Number(parts[2]) === row).map((parts) => parts[3]));
    const cells = splitRow(lines[row - 1] ?? "").map((cell, at) =>
      make("td", marked.has(letterOf(at)) ? { class: "faulty" } : {}, marked.has(letterOf(at)) ? `✗ ${cell || "(blank)"}` : cell),
    );
    return make("tr", {}, make("th", { scope: "row" }, `Row ${row}`), ...cells);
  });
  return make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Rows with faults" }, make("table", {}, make("caption", {}, "Rows with faults"), make("tbody", {}, ...shown)));
}

function letterOf(at) {
  return at < 26 ? String.fromCharCode(65 + at) : letterOf(Math.floor(at / 26) - 1) + letterOf(at % 26);
}

// For display alone: the service has read the file by its own rules.
function splitRow(line) {
  const mark = ["\t", ";", ","].find((candidate) => line.includes(candidate)) ?? ",";
  const cells = [];
  let cell = "";
  let quoted = false;
  for (const letter of line) {
    if (letter === '"') quoted = !quoted;
    else if (letter === mark && !quoted) {
      cells.push(cell);
      cell = "";
    } else cell += letter;
  }
  return [...cells, cell];
}
