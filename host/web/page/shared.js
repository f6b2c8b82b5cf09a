// What all pages share: asking the server, and putting words into the page as text and never as
// markup. The second token stands in the address behind '#', which is never sent by itself.

export const key = location.hash.slice(1);

// The other pages get it, too. "#content" is a place and no key.
if (/^[\w-]{22}$/.test(key))
  for (const link of document.querySelectorAll("nav a")) link.hash = key;

export const mayChange = /^[\w-]{22}$/.test(key);

export const zone = Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC";

export function find(id) {
  return document.getElementById(id);
}

/// Names that others wrote, without the signs that turn round what follows (Unicode Bidirectional Algorithm, UAX 9):
/// else "gnp.exe" can be made to read "exe.png".
export function plain(text) {
  return text.replace(/[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, "");
}

export function put(id, text) {
  const element = find(id);
  if (element.textContent !== text) element.textContent = text;
}

/// An element with text, or with other elements, in it.
export function make(tag, className, ...content) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  element.append(...content);
  return element;
}

/// Names that others wrote keep their own direction, whatever they hold.
export function named(className, text) {
  const element = make("span", className, plain(text));
  element.dir = "auto";
  return element;
}

export function list(id, items) {
  find(id).replaceChildren(...items.map((item) => make("li", "", item)));
}

export function facts(id, pairs) {
  find(id).replaceChildren(...pairs.filter(([, value]) => value).flatMap(([name, value]) =>
    [make("dt", "", name), make("dd", "", value)]));
}

const clock = new Intl.DateTimeFormat("en-GB", {weekday: "short", day: "numeric", month: "short",
  year: "numeric", hour: "2-digit", minute: "2-digit", timeZone: zone});

export function when(text) {
  return text ? clock.format(new Date(text)) : "a time that nobody knows";
}

/// By the rule of the report: what is too little to show is not nothing, and nearly all is not all.
export function percent(share) {
  const percents = share * 100;
  if (percents > 0 && percents < 0.1) return "<0.1 %";
  if (percents < 100 && percents > 99.9) return ">99.9 %";
  return `${percents.toFixed(1)} %`;
}

/// A minus sign that is as wide as a digit and is read as one.
export function signed(number, decimals = 0) {
  return number === null || number === undefined ? "-" : number.toFixed(decimals).replace("-", "\u2212");
}

export const verdictWords = {
  "protected": "Protected",
  "under-protected": "Under-protected",
  "over-protected": "Over-protected",
  "undecided": "Undecided",
  "no-verdict": "No verdict",
};

/// `doubt`: why it is not to be taken as it stands, in words; may be empty.
export function showVerdict(verdict, doubt = "") {
  const element = find("verdict");
  element.dataset.verdict = verdict;
  element.classList.toggle("doubtful", doubt !== "");
  put("verdict", verdictWords[verdict] + (doubt && `, ${doubt}`));
}

/// Throws an Error with a sentence for the user.
async function asked(path, options) {
  let answer;
  try {
    answer = await fetch(path, options);
  } catch {
    throw new Error("The program does not answer. Is quaycell serve still running, and this device on its network?");
  }
  if (!answer.ok) throw new Error((await answer.text()).trim());
  return answer;
}

export async function ask(path, fields = {}) {
  const query = new URLSearchParams(Object.entries(fields).filter(([, value]) => value));
  return (await asked(`${path}?${query}`)).json();
}

export async function order(path, fields, body) {
  const query = new URLSearchParams(Object.entries(fields).filter(([, value]) => value));
  return asked(`${path}?${query}`, {method: "POST", headers: {"X-Quaycell-Key": key}, body});
}
