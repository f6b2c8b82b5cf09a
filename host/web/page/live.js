// Live: every reading as it comes.
import {facts, find, list, make, put, showVerdict, signed} from "./shared.js";
import {draw, trim} from "./line.js";

const staleAfterMs = 5000; // a reading comes every second
const points = [];
let heardAt = null;
let connected = false;
let cautions = "";

document.querySelector("main").classList.add("live");

function showReading(now) {
  const {shown, words} = now;
  const isDanger = now.ac.too_high || now.ac.perhaps_too_high;
  showVerdict(shown.verdict, words.doubt);
  const {display} = shown;
  put("number", now.shows_metal ? signed(display.potential_mv) : "\u2013");
  put("scale", `mV on ${display.scale}, within ${signed(display.expanded_uncertainty_mv)} mV (k = 2)`);
  put("limit", [words.limit, words.source].filter(Boolean).join("; "));
  facts("facts", [
    ["Reading", mark(now.reading.settled, words.reading)],
    ["Cell", mark(now.cell.settled, words.cell)],
    ["AC", isDanger ? make("strong", "danger", words.ac) : words.ac],
    ["Leads", words.leads],
    ["As read", now.shows_metal ? `${signed(shown.potential_mv, 1)} mV on ${now.cell_scale}` : ""],
    ["Judged", display.scale === shown.scale || !now.shows_metal ? "" :
      `${signed(shown.standard_mv)} mV on ${shown.scale}, within ${signed(shown.expanded_uncertainty_mv)} mV`],
    ["Water", words.water],
    ["Battery", words.battery],
    ["Shore power", words.shore],
    ["Recording", now.recorded ? "yes" : "no, only shown"],
    ["Logger", now.device],
  ]);
  find("content").classList.toggle("with-danger", isDanger);
  // Only what changes is read out.
  if (now.cautions.join() !== cautions) list("cautions", now.cautions);
  cautions = now.cautions.join();
}

/// A sign beside words that say the same.
function mark(good, words) {
  return words ? `${good ? "\u2713" : "\u25cb"} ${words}` : "";
}

function showLine() {
  trim(points);
  draw(find("line"), points);
  const values = points.filter(([, mv]) => mv !== null).map(([, mv]) => mv);
  put("line-words", values.length < 2 ? "" :
    `${values.length} readings, from ${signed(Math.min(...values))} to ${signed(Math.max(...values))} mV`);
}

function take(message) {
  const {now, recent, age_ms: age = 0} = JSON.parse(message);
  if (recent) points.splice(0, points.length, ...recent);
  if (!now) return;
  if (now.lost) {
    put("age", now.lost);
    heardAt = 0;
    showAge();
    return;
  }
  if (!recent) points.push([Date.parse(now.time), now.shows_metal ? now.display.potential_mv : null]);
  heardAt = Date.now() - age;
  find("content").classList.remove("stale");
  showReading(now);
  put("age", "");
  showLine();
}

/// An old number must never look like a new one.
function showAge() {
  const silence = heardAt === null ? 0 : Date.now() - heardAt;
  if (connected && silence < staleAfterMs) return;
  find("content").classList.add("stale");
  if (heardAt === null && connected) return;
  if (!connected) put("age", "The program does not answer; this is not live. Trying again.");
  else if (heardAt !== 0) put("age", `No reading for ${Math.round(silence / 1000)} s; this is not live.`);
  showVerdict("no-verdict");
  put("verdict", "No reading");
}

function connect() {
  const socket = new WebSocket(new URL("api/live", location.href.replace(/^http/, "ws").replace(/#.*/, "")));
  socket.onopen = () => { connected = true; };
  socket.onmessage = (event) => take(event.data);
  socket.onclose = () => {
    connected = false;
    showAge();
    setTimeout(connect, 2000);
  };
}

connect();
setInterval(showAge, 1000);
addEventListener("resize", showLine);
