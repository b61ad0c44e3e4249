// Planning an order as a job: its progress, its cancellation, its plan.

import { ask, askForJson, element, onceKey, Refusal } from "./api.js";
import { grouped } from "./figures.js";

let job = null;

/** Plan an order; returns the plan and where it is kept, or nothing where it was cancelled. */
export async function planOrder(order) {
  const area = element("at-work");
  element("progress").removeAttribute("value");
  element("progress-words").textContent = "Sending the order.";
  element("cancel-button").disabled = false;
  area.hidden = false;
  try {
    job = await askForJson("/v1/plans", {
      method: "POST",
      body: JSON.stringify(order),
      type: "application/json",
      headers: { prefer: "respond-async", "idempotency-key": onceKey() },
    });
    area.dataset.job = job.id;
    for await (const told of follow(job.id)) {
      job = told;
      tell(told);
    }
    if (job.status === "cancelled") return null;
    if (job.status !== "finished") throw new Refusal(job.failure ?? { detail: `The job is ${job.status}.` });
    return { address: job.plan, plan: await askForJson(job.plan) };
  } finally {
    area.hidden = true;
    job = null;
  }
}

/** Stop the job that is under way. */
export async function cancel() {
  if (!job) return;
  element("cancel-button").disabled = true;
  element("progress-words").textContent = "Being cancelled.";
  await ask(`/v1/jobs/${job.id}/cancellation`, { method: "POST", headers: { "idempotency-key": onceKey() } });
}

/** Yield the job each time that the service tells of it (server-sent events), up to its end. */
async function* follow(id) {
  const answer = await ask(`/v1/jobs/${id}/events`, { accept: "text/event-stream" });
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let text = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    text += value.replaceAll("\r\n", "\n");
    const events = text.split("\n\n");
    text = events.pop();
    for (const event of events) {
      const data = event.split("\n").filter((line) => line.startsWith("data:"));
      if (data.length) yield JSON.parse(data.map((line) => line.slice(5).trimStart()).join("\n"));
    }
  }
}

function tell(told) {
  const { progress } = told;
  if (!progress) {
    element("progress-words").textContent = told.status === "queued" ? "Waiting for a solver." : "Being planned.";
    return;
  }
  const known = [];
  if (progress.best_cost !== null) known.push(`best so far ${grouped(progress.best_cost)}`);
  if (progress.lower_bound !== null) known.push(`nothing below ${grouped(progress.lower_bound)}`);
  element("progress-words").textContent = [`Now: ${progress.phase.replaceAll("-", " ")}`, ...known].join("; ") + ".";
  if (progress.best_cost !== null && progress.lower_bound !== null && Number(progress.best_cost) > 0) {
    // How much of the cost is proved: the bar alone rounds.
    element("progress").value = Math.max(0, Math.min(1, Number(progress.lower_bound) / Number(progress.best_cost)));
  }
}
