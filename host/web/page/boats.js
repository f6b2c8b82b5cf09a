// Boats: what the archive holds.
import {ask, find, key, list, make, mayChange, named, plain, put, when} from "./shared.js";

function toWeek(entry) {
  const link = make("a", "", named("what", `${entry.number}: ${entry.origin}`),
    make("span", "when", `${when(entry.from)}, ${entry.readings} readings`));
  link.href = `week?deployment=${entry.number}` + (mayChange ? `#${key}` : "");
  return link;
}

function count(things, name) {
  return `${things.length || "no"} ${name}${things.length === 1 ? "" : "s"}`;
}

async function showSurvey(number) {
  find("survey").replaceChildren(make("p", "", "Reading the survey."));
  try {
    const survey = await ask("api/survey", {number});
    const words = make("pre", "", plain(survey.words));
    words.dir = "auto";
    find("survey").replaceChildren(make("h3", "", `Survey ${number}`), words);
  } catch (error) {
    find("survey").replaceChildren(make("p", "", error.message));
  }
  find("survey").focus();
}

function toSurvey(survey) {
  const button = make("button", "", named("what", `${survey.number}: ${survey.boat || "no name"}`),
    make("span", "when", `${when(survey.begun_at)}, ${survey.instrument}`));
  button.type = "button";
  button.addEventListener("click", () => showSurvey(survey.number));
  return button;
}

try {
  const archive = await ask("api/boats");
  put("told", archive.losses.length ? `The archive is damaged; lost: ${archive.losses.join("; ")}` :
    `${count(archive.deployments, "deployment")} and ${count(archive.surveys, "survey")}.`);
  list("deployment-list", archive.deployments.map(toWeek));
  list("survey-list", archive.surveys.map(toSurvey));
} catch (error) {
  put("told", error.message);
}
