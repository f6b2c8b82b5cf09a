// Report: made by the program, kept by the browser.
import {ask, find, make, mayChange, order, plain, put, when, zone} from "./shared.js";

const select = find("deployment");
const button = find("make");

try {
  const archive = await ask("api/boats");
  select.replaceChildren(...archive.deployments.filter((entry) => entry.readings).map((entry) => {
    const option = make("option", "", `${entry.number}: ${plain(entry.origin)}, ${when(entry.from)}`);
    option.value = entry.number;
    return option;
  }));
  select.selectedIndex = select.options.length - 1;
  button.disabled = !mayChange || !select.options.length;
  put("told", mayChange ? "" : "Making a report needs the second address that quaycell serve has printed.");
} catch (error) {
  put("told", error.message);
}

button.addEventListener("click", async () => {
  button.disabled = true;
  put("told", "Making the report; this takes some seconds.");
  try {
    const answer = await order("api/report", {deployment: select.value, zone});
    const link = make("a", "", `Save deployment ${select.value} as PDF`);
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
