// Week: a judged trace, its figure, and what happened in it. Each view is a from and a to.
import {ask, facts, find, list, make, percent, plain, put, showVerdict, signed, verdictWords, when, zone} from "./shared.js";

let deployment = new URLSearchParams(location.search).get("deployment");
const shortest = 10 * 60000;
let whole = null; // [from, to] in ms, of the whole deployment
let part = null;
let asking = 0;
let grabbed = null;
const figure = find("figure");

/// Of the figure, in mm: so that its text comes out about as large as the page's.
function width() {
  const besideOthers = matchMedia("(min-width: 62rem)").matches; // as in page.css
  return Math.round(find("content").clientWidth / (besideOthers ? 8 : 5));
}

async function show(wanted) {
  const turn = ++asking;
  put("told", "Judging.");
  const fields = {deployment, zone, width: width()};
  if (wanted) {
    fields.from = new Date(wanted[0]).toISOString();
    fields.to = new Date(wanted[1]).toISOString();
  }
  try {
    const week = await ask("api/week", fields);
    if (turn !== asking) return; // another one was asked for meanwhile
    part = [Date.parse(week.from), Date.parse(week.to)];
    whole ??= part;
    if (wanted) part = wanted;
    put("told", "");
    find("judged").hidden = false;
    fill(week);
  } catch (error) {
    if (turn === asking) put("told", error.message);
  }
}

function fill(week) {
  put("heading", `Deployment ${deployment}: ${week.boat ? plain(week.boat) : `${week.hull} hull`}`);
  showVerdict(week.verdict);
  list("cautions", week.cautions);
  if (figure.src) URL.revokeObjectURL(figure.src);
  figure.src = URL.createObjectURL(new Blob([week.figure], {type: "image/svg+xml"}));
  figure.alt = week.in_words;
  const zoomed = part[0] > whole[0] || part[1] < whole[1];
  put("part", `${when(week.from)} to ${when(week.to)}, ${zone}; ${week.readings} readings.` +
    (zoomed ? " Events and spells are those of the whole time; verdict, shares and advice are of this part alone." : ""));
  find("share-rows").replaceChildren(...Object.entries(week.time_share).map(([verdict, share]) =>
    make("tr", "", make("td", "", verdictWords[verdict]), make("td", "", percent(share)))));
  const {statistics} = week;
  facts("facts", [
    ["Median", `${signed(week.potential_mv)} mV on agcl/seawater`],
    ["5 % to 95 %", `${signed(statistics.p5_mv)} to ${signed(statistics.p95_mv)} mV`],
    ["Plugged in", statistics.plugged_median_mv === null ? "" : `${signed(statistics.plugged_median_mv)} mV`],
    ["Unplugged", statistics.unplugged_median_mv === null ? "" : `${signed(statistics.unplugged_median_mv)} mV`],
    ["AC", statistics.ac_p95_mv === null ? "" : `no more than ${signed(statistics.ac_p95_mv)} mV rms in 95 % of the time`],
  ]);
  list("advice-list", week.advice.length ? week.advice : ["Nothing needs doing."]);
  list("event-list", week.events.map((event) => choice(`${event.number} ${event.kind.replaceAll("-", " ")}`,
    `${when(event.time)}. ${event.why}`,
    () => around(Date.parse(event.time), Date.parse(event.time)))));
  list("spell-list", week.spells.map((spell) => choice(`${spell.number} ${verdictWords[spell.verdict]}`,
    `${when(spell.from)} to ${when(spell.to)}${spell.worst_mv === null ? "" : `, at worst ${signed(spell.worst_mv)} mV`}`,
    () => around(Date.parse(spell.from), Date.parse(spell.to)))));
  const causes = week.likely_causes.map(cause).concat(week.causes.map((each) => each.why));
  find("causes-part").hidden = !causes.length;
  list("cause-list", causes);
  list("reason-list", week.reasons.concat(week.assumed.map((each) => `Assumed: ${each}`)));
  buttons();
}

function cause({what, for: speaks, against, test, caution}) {
  const lines = [make("strong", "", what), `For: ${speaks.join("; ")}`];
  if (against.length) lines.push(`Against: ${against.join("; ")}`);
  lines.push(`To tell: ${test}`);
  if (caution) lines.push(make("strong", "danger", `Caution: ${caution}`));
  return make("div", "", ...lines.map((line) => make("p", "", line)));
}

function choice(what, details, action) {
  const button = make("button", "", make("span", "what", what), make("span", "when", details));
  button.type = "button";
  button.addEventListener("click", () => {
    action();
    find("figure").scrollIntoView();
  });
  return button;
}

/// Only what lies within the whole, and no less than can be seen.
function within(from, to) {
  const length = Math.min(Math.max(to - from, shortest), whole[1] - whole[0]);
  const middle = (from + to) / 2;
  const begin = Math.min(Math.max(middle - length / 2, whole[0]), whole[1] - length);
  return [begin, begin + length];
}

function around(from, to) {
  const margin = Math.max((to - from) / 2, 3600000);
  show(within(from - margin, to + margin));
}

function zoom(factor) {
  const middle = (part[0] + part[1]) / 2;
  const half = (part[1] - part[0]) / 2 * factor;
  show(within(middle - half, middle + half));
}

function pan(share) {
  const by = (part[1] - part[0]) * share;
  show(within(part[0] + by, part[1] + by));
}

function buttons() {
  const all = part[0] <= whole[0] && part[1] >= whole[1];
  for (const id of ["wider", "whole"]) find(id).disabled = all;
  find("earlier").disabled = part[0] <= whole[0];
  find("later").disabled = part[1] >= whole[1];
  find("nearer").disabled = part[1] - part[0] <= shortest;
}

const actions = {earlier: () => pan(-0.5), later: () => pan(0.5), nearer: () => zoom(0.5),
  wider: () => zoom(2), whole: () => show(null)};
for (const [id, action] of Object.entries(actions)) find(id).addEventListener("click", action);

const keys = {ArrowLeft: "earlier", ArrowRight: "later", "+": "nearer", "-": "wider"};
addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key]) return;
  event.preventDefault();
  find(keys[event.key]).click();
});

// A finger moves the sheet; a mouse, time.
figure.addEventListener("pointerdown", (event) => {
  if (event.pointerType === "mouse") grabbed = event.clientX;
});
addEventListener("pointerup", (event) => {
  const moved = grabbed === null ? 0 : (grabbed - event.clientX) / figure.clientWidth;
  grabbed = null;
  if (Math.abs(moved) > 0.03 && part) pan(moved);
});

try {
  if (!deployment) {
    const withReadings = (await ask("api/boats")).deployments.filter((entry) => entry.readings);
    deployment = withReadings.at(-1)?.number;
  }
  if (deployment) show(null);
  else put("told", "The archive holds no readings yet.");
} catch (error) {
  put("told", error.message);
}
