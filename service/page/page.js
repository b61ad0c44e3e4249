// The page: what happens when the reader does something.

import { element, make, refused } from "./api.js";
import { chosenCatalogue, forgetFile, listCatalogues, takeFile } from "./catalogue.js";
import { beginChanges, changed, putBack } from "./changes.js";
import { offerDocuments } from "./documents.js";
import { showPlan } from "./outcome.js";
import { cancel, planOrder } from "./planning.js";
import { putInExample, readSchedule } from "./schedule.js";

let schedule = null;

element("example-rows").addEventListener("click", putInExample);
element("schedule-rows").addEventListener("input", () => (element("schedule-file").value = ""));
element("schedule-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  schedule = null;
  element("plan-button").disabled = true;
  schedule = await readSchedule();
  element("plan-button").disabled = schedule === null;
});

element("catalogue-file").addEventListener("change", takeFile);
element("catalogue-choice").addEventListener("change", forgetFile);

element("order-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const [button, outcome] = [element("plan-button"), element("order-outcome")];
  button.disabled = true;
  outcome.replaceChildren();
  try {
    const order = {
      reference: element("order-reference").value,
      unit: schedule.unit,
      openings: schedule.openings,
      catalogues: [await chosenCatalogue()],
      policy: {
        kerf: element("order-kerf").value.trim(),
        end_trim: element("order-trim").value.trim(),
        fastener_counting: element("order-counting").value,
        time_limit_seconds: Number(element("order-seconds").value),
      },
    };
    const planned = await planOrder(order);
    if (planned === null) {
      outcome.replaceChildren(make("p", {}, "Cancelled: nothing was planned."));
      return;
    }
    beginChanges(order, planned.plan);
    offerDocuments(planned.address);
    await showPlan(planned);
    element("plan").focus();
  } catch (error) {
    outcome.replaceChildren(refused(error));
  } finally {
    button.disabled = schedule === null;
  }
});
element("cancel-button").addEventListener("click", () => cancel().catch((error) => element("order-outcome").replaceChildren(refused(error))));

element("changes-form").addEventListener("input", changed);
element("changes-form").addEventListener("submit", (event) => event.preventDefault());
element("change-back").addEventListener("click", putBack);

listCatalogues().catch((error) => element("catalogue-outcome").replaceChildren(refused(error)));
