// Report: made by the program, kept by the browser.
import {ask, find, make, mayChange, order, plain, put, when, zone} from "./shared.js";

const select = find("subject");
const button = find("make");

/// `field` is what the program is asked for by: "deployment" or "survey".
function group(title, field, things, name) {
  const made = make("optgroup", "", ...things.map((thing) => {
    const option = make("option", "", `${thing.number}: ${plain(name(thing))}`);
    option.value = `${field}-${thing.number}`;
    return option;
  }));
  made.label = title;
  return things.length ? [made] : [];
}

try {
  const archive = await ask("api/boats");
  const withReadings = archive.deployments.filter((entry) => entry.readings);
  select.replaceChildren(
    ...group("Deployments", "deployment", withReadings, (entry) => `${entry.origin}, ${when(entry.from)}`),
    ...group("Surveys", "survey", archive.surveys, (survey) => `${survey.boat || "no name"}, ${when(survey.begun_at)}`));
  if (withReadings.length) select.selectedIndex = withReadings.length - 1;
  button.disabled = !mayChange || !select.options.length;
  put("told", mayChange ? "" : "Making a report needs the second address that quaycell serve has printed.");
} catch (error) {
  put("told", error.message);
}

button.addEventListener("click", async () => {
  button.disabled = true;
  put("told", "Making the report; this takes some seconds.");
  const [field, number] = select.value.split("-");
  try {
    const answer = await order("api/report", {[field]: number, zone});
    const link = make("a", "", `Save the report of ${field} ${number} as PDF`);
    link.href = URL.createObjectURL(await answer.blob());
    link.download = `quaycell-${select.value}.pdf`;
    find("result").replaceChildren(link);
    put("told", "The report is made.");
    link.click();
  } catch (error) {
    put("told", error.message);
  }
  button.disabled = false;
});
