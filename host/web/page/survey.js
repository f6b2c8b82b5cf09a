// Survey: the walk from fitting to fitting. Each button says the word that is typed in a terminal.
import {ask, find, list, make, mayChange, named, order, plain, put, signed, verdictWords} from "./shared.js";

let walk = null;
let isMended = false; // whoever is here says so, of the AC that has ended the walk
let liveCautions = []; // of the logger, whether a fitting is being read or not
let waiting = false; // for an answer: what is tapped meanwhile was meant for what is gone

/// What the program answers is how the walk stands. Where it answers otherwise, or not at all, it may have done it
/// nevertheless.
async function change(path, fields, body) {
  if (waiting) return false;
  waiting = true;
  try {
    const now = await (await order(path, fields, body)).json();
    put("told", "");
    show(now);
    return true;
  } catch (error) {
    await look();
    put("told", error.message);
    return false;
  } finally {
    waiting = false;
  }
}

/// What is said is meant for the state that is shown, which its turn names.
function say(line) {
  return change("api/walk/say", {turn: String(walk.turn)}, line);
}

function show(now) {
  walk = now;
  const walking = now.walking && !now.over;
  if (walking) isMended = false; // of the next stop nobody has said so yet
  find("start").hidden = walking || !mayChange || Boolean(now.stopped) && !isMended;
  find("mended").hidden = !now.stopped || !mayChange || isMended;
  find("walk").hidden = !walking;
  find("meter-fields").hidden = now.by_logger;
  put("heading", now.walking ? `Survey ${now.number}${now.over ? ": ended" : ""}` : "Survey");
  const said = now.talk ?? [];
  showCautions();
  list("said", said.filter((each) => !each.caution).map((each) => plain(each.text)));
  find("said-part").hidden = !said.some((each) => !each.caution);
  if (!mayChange) put("told", "To walk a survey takes the second address that quaycell serve has printed.");
  if (!walking) {
    if (now.over && !now.stopped) put("told", "Every point is kept. A report shows the survey.");
    return;
  }
  showPoint(now);
  find("asking").hidden = !now.asked;
  put("asked", now.asked ? `Is it so by now? ${now.asked}` : "");
  find("points").replaceChildren(...now.points.map(pointButton));
  for (const button of document.querySelectorAll("[data-say], [data-with], #points button"))
    button.disabled = now.reading !== null || Boolean(now.asked) && !besideAChange.includes(wordOf(button));
  const {shore, anodes} = now.state;
  const isSo = {unplug: shore === "unplugged", plug: shore === "plugged",
    "anodes-off": anodes === "disconnected", "anodes-on": anodes === "connected"};
  for (const [word, so] of Object.entries(isSo)) document.querySelector(`[data-say=${word}]`).hidden = so;
}

/// Of what the logger sees at this moment first; each once.
function showCautions() {
  const said = (walk.talk ?? []).filter((each) => each.caution).map((each) => each.text);
  const all = [...liveCautions, walk.trouble, walk.stopped, ...said].filter(Boolean);
  list("cautions", [...new Set(all)]);
}

const besideAChange = ["done", "cancel", "note", "photo", "quit"];

function wordOf(button) {
  return button.dataset.say ?? button.dataset.with;
}

function showPoint(now) {
  const index = now.points.findIndex((point) => point.name === now.at);
  const point = now.points[index];
  find("point").replaceChildren(...(point ?
    [`Point ${index + 1} of ${now.points.length}: `, named("", point.name)] : ["All points of this pass are read"]));
  put("state", [point?.metal, now.state.words].filter(Boolean).join("; "));
  const {reading} = now;
  const waits = Boolean(now.asked);
  find("read").hidden = !now.by_logger || reading !== null || !point || waits;
  find("typed").hidden = now.by_logger || !point || waits;
  find("insist").hidden = find("leave").hidden = reading === null;
  find("back").hidden = reading !== null || waits;
  find("complete").hidden = Boolean(point) || waits;
  put("number", reading?.readings ? signed(reading.potential_mv, 1) : "");
  if (reading === null) put("watching", now.criterion && !waits ? `A reading has settled with ${now.criterion}.` : "");
  else if (!reading.readings) put("watching", "Lead or cell open? Hold the clip on bare metal.");
  else if (reading.lies_still) put("watching", "mV against the cell; hold the clip on: the logger looks whether the lead is closed");
  else put("watching", `mV against the cell, not settled yet; ${reading.readings} of ${reading.needed}, ${signed(reading.spread_mv, 1)} mV apart`);
}

/// A sign beside words that say the same.
function sign(point) {
  if (point.ac_too_high) return "!";
  if (point.standard_mv === null) return point.done ? "\u2013" : "\u25cb";
  return !point.settled || point.bond === "differs" || point.verdict !== "protected" ? "!" : "\u2713";
}

function pointButton(point) {
  const result = `${sign(point)} ` + (point.standard_mv === null ? (point.done ? "skipped" : "to be read") :
    `${signed(point.standard_mv, 1)} mV on agcl/seawater: ${verdictWords[point.verdict]}` +
    (point.settled ? "" : ", not settled") +
    (point.bond === "differs" ? "; differs from the main bonding" : ""));
  const name = named("what", point.name);
  const danger = point.ac_too_high ?
    [make("strong", "danger", "AC TOO HIGH. Nobody in the water; an electrician first.")] : [];
  const button = make("button", "", name, ...danger, make("span", "when", result));
  button.type = "button";
  if (point.name === walk.at) button.setAttribute("aria-current", "step");
  button.addEventListener("click", () => say(`go ${point.name}`));
  return make("li", "", button);
}

find("start").addEventListener("submit", (event) => {
  event.preventDefault();
  change("api/walk/begin", {shore: find("shore").value, travel: find("travel").value,
    meter: find("meter").value, input_mohm: find("input-mohm").value});
});
find("mended").addEventListener("click", () => {
  isMended = true;
  show(walk);
});
find("resume").addEventListener("click", () =>
  change("api/walk/begin", {resume: "1", shore: find("shore").value}));
find("read").addEventListener("click", () => say(""));
find("insist").addEventListener("click", () => say("!"));
find("leave").addEventListener("click", () => say("x"));
find("back").addEventListener("click", () => say("back"));
find("typed").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (await say(find("value").value.trim() || "?")) find("value").value = "";
});
find("worded").addEventListener("submit", (event) => event.preventDefault());
for (const button of document.querySelectorAll("[data-say]"))
  button.addEventListener("click", () => say(button.dataset.say));
for (const button of document.querySelectorAll("[data-with]"))
  button.addEventListener("click", async () => {
    if (await say(`${button.dataset.with} ${find("words").value.trim()}`)) find("words").value = "";
  });

/// What the logger warns of is shown at once; while it reads a fitting, each reading is a reason to look.
function hear(message) {
  const cautions = JSON.parse(message).now?.cautions;
  if (cautions && cautions.join() !== liveCautions.join()) {
    liveCautions = cautions;
    if (walk) showCautions();
  }
  if (walk?.reading) look();
}

function listen() {
  const socket = new WebSocket(new URL("api/live", location.href.replace(/^http/, "ws").replace(/#.*/, "")));
  socket.onmessage = (event) => hear(event.data);
  socket.onclose = () => setTimeout(listen, 2000);
}

async function look() {
  try {
    const now = await ask("api/walk");
    if (JSON.stringify(now) !== JSON.stringify(walk)) show(now);
  } catch (error) {
    put("told", error.message);
  }
}

await look();
listen();
// Somebody else may walk the same survey.
setInterval(() => { if (!waiting && !document.hidden) look(); }, 3000);
