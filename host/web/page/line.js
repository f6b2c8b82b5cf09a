// The line of the last minutes, as SVG.

const namespace = "http://www.w3.org/2000/svg";
const minutes = 10;
const leastSpan = 10; // mV: noise must not look like weather
const left = 64;

function element(name, attributes, text) {
  const made = document.createElementNS(namespace, name);
  for (const [attribute, value] of Object.entries(attributes)) made.setAttribute(attribute, value);
  if (text !== undefined) made.textContent = text;
  return made;
}

/// Drops what is older than it is shown.
export function trim(points) {
  const newest = points.length ? points[points.length - 1][0] : 0;
  while (points.length && points[0][0] < newest - minutes * 60000) points.shift();
}

/// Points are [unix ms, mV or null]; a null or a silence of five seconds breaks the line.
export function draw(svg, points) {
  const width = svg.clientWidth;
  const height = svg.clientHeight;
  const shown = points.filter(([, mv]) => mv !== null);
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  if (!shown.length) return svg.replaceChildren();
  const last = points[points.length - 1][0];
  const values = shown.map(([, mv]) => mv);
  const middle = (Math.max(...values) + Math.min(...values)) / 2;
  const span = Math.max(Math.max(...values) - Math.min(...values), leastSpan) * 1.15;
  const x = (time) => left + (width - left - 8) * (1 - (last - time) / (minutes * 60000));
  const y = (mv) => 12 + (height - 40) * (middle + span / 2 - mv) / span;
  const drawn = [];
  for (const mv of [middle + span / 2.3, middle, middle - span / 2.3]) {
    drawn.push(element("line", {class: "grid", x1: left, x2: width, y1: y(mv), y2: y(mv)}));
    drawn.push(element("text", {x: left - 6, y: y(mv) + 5, "text-anchor": "end"},
      mv.toFixed(0).replace("-", "\u2212")));
  }
  for (const [at, anchor] of [[minutes, "start"], [minutes / 2, "middle"], [0, "end"]])
    drawn.push(element("text", {x: x(last - at * 60000), y: height - 6, "text-anchor": anchor},
      at ? `${at} min ago` : "now"));
  let path = "";
  let before = null;
  for (const [time, mv] of points) {
    if (mv === null) {
      before = null;
      continue;
    }
    path += `${before !== null && time - before < 5000 ? "L" : "M"}${x(time).toFixed(1)} ${y(mv).toFixed(1)}`;
    before = time;
  }
  drawn.push(element("path", {class: "trace", d: path}));
  svg.replaceChildren(...drawn);
}
