// @ts-check
// The place of a plan picked on the map: a cross that is put by pointing or moved by keys writes the field, which can
// be typed in as ever. Places on this map are those of the Web Mercator plane that the server draws it of.

import { credit, drawn } from "./beneath.js";

const STEP = 8, STEP_SHIFT = 64; // of the arrow keys [px]
const LEAST = 1, MOST = 18; // zoom
const NEAR = 15; // zoom for a place that is known
const RIM = 40; // the map follows a cross that comes so near to its edge
const FLATTEST = 85.05;
const KEPT = "map-site";
/** @type {Record<string, [number, number]>} */
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const PLACE = /^\s*([+-]?\d+(?:\.\d+)?)\s*,\s*([+-]?\d+(?:\.\d+)?)\s*$/;

const field = /** @type {HTMLInputElement} */ (document.getElementById("point"));
const named = /** @type {HTMLMetaElement} */ (document.querySelector("meta[name=map]"));

/** @typedef {{u: number, v: number}} Spot of the world as a square of side 1 */

/** @param {number} lat @param {number} lon @returns {Spot} */
function spot(lat, lon) {
  const bounded = (Math.min(Math.max(lat, -FLATTEST), FLATTEST) * Math.PI) / 180;
  return { u: lon / 360 + 0.5, v: (1 - Math.asinh(Math.tan(bounded)) / Math.PI) / 2 };
}

/** Latitude and longitude of a spot. @param {Spot} at @returns {[number, number]} */
function earth(at) {
  const lat = (Math.atan(Math.sinh(Math.PI * (1 - 2 * at.v))) * 180) / Math.PI;
  return [lat, 360 * (((at.u % 1) + 1) % 1) - 180];
}

/** @param {string | null | undefined} text @returns {Spot | null} */
function read(text) {
  const found = PLACE.exec(text || "");
  if (!found) return null;
  const lat = Number(found[1]), lon = Number(found[2]);
  return Math.abs(lat) <= FLATTEST && Math.abs(lon) <= 180 ? spot(lat, lon) : null;
}

/** @param {string} text @param {string} [name] */
function button(text, name) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "plain";
  made.textContent = text;
  if (name) made.setAttribute("aria-label", name);
  return made;
}

const open = button("Pick it on the map");
open.setAttribute("aria-haspopup", "dialog");
const dialog = document.createElement("dialog");
dialog.className = "site";
dialog.setAttribute("aria-label", "The place on the map");
const view = document.createElement("div");
view.className = "site-map";
const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
svg.setAttribute("class", "figure");
svg.setAttribute("aria-hidden", "true");
const cross = button("", "Place: arrow keys move it, with Shift further; plus and minus zoom");
cross.className = "site-cross";
view.append(svg, cross);
const row = document.createElement("div");
row.className = "site-row";
const nearer = button("+", "Nearer"), farther = button("−", "Farther"), done = button("Done");
done.className = "";
const says = document.createElement("p");
says.setAttribute("role", "status");
row.append(nearer, farther, done, says);
const owed = document.createElement("p");
owed.className = "quiet";
owed.textContent = credit;
dialog.append(view, row, owed);
/** @type {HTMLElement} */ (field.closest("p")).append(open);
document.body.append(dialog);

/** The middle of the map, and the cross. @type {Spot} */
let middle = { u: 0.5, v: 0.4 };
/** @type {Spot | null} */
let put = null;
let zoom = 2;
/** Of the picture, in CSS pixels as it was opened. */
let width = 640, height = 480;
/** @type {SVGGElement | null} */
let group = null;
let turn = 0;

/** How many units wide the world is. */
const wide = () => 256 * 2 ** zoom;

/** @param {Spot} at @returns {[number, number]} */
const paper = (at) => [width / 2 + (at.u - middle.u) * wide(), height / 2 + (at.v - middle.v) * wide()];

/** @param {number} x @param {number} y @returns {Spot} */
const under = (x, y) => ({ u: middle.u + (x - width / 2) / wide(), v: middle.v + (y - height / 2) / wide() });

/** Draw the map anew where it now is. */
async function draw() {
  middle = { u: ((middle.u % 1) + 1) % 1, v: Math.min(Math.max(middle.v, 0), 1) };
  mark();
  nearer.disabled = zoom >= MOST;
  farther.disabled = zoom <= LEAST;
  const mine = ++turn, [lat, lon] = earth(middle);
  const asked = { lat: Math.min(Math.max(lat, -FLATTEST), FLATTEST).toFixed(7), lon: lon.toFixed(7), zoom, width, height };
  const found = await drawn("/api/map/around", asked);
  if (mine !== turn) return;
  if (group) group.remove();
  group = found.group;
  if (group) svg.append(group);
  if (found.says) says.textContent = found.says;
}

/** Show the cross where it is. */
function mark() {
  const [x, y] = paper(put || middle);
  cross.style.left = `${(100 * x) / width}%`;
  cross.style.top = `${(100 * y) / height}%`;
  cross.hidden = x < 0 || y < 0 || x > width || y > height;
}

/** Put the cross, and write the field. @param {Spot} at */
function place(at) {
  const [lat, lon] = earth(at);
  if (Math.abs(lat) > FLATTEST) return;
  put = at;
  field.value = `${lat.toFixed(5)},${lon.toFixed(5)}`;
  says.textContent = `Point ${field.value}`;
  try { localStorage.setItem(KEPT, field.value); } catch { /* not kept, then */ }
  const [x, y] = paper(at);
  if (x < RIM || y < RIM || x > width - RIM || y > height - RIM) { middle = at; draw(); } else mark();
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

/** @param {number} by */
function zooming(by) {
  const to = Math.min(Math.max(zoom + by, LEAST), MOST);
  if (to === zoom) return;
  if (put && !cross.hidden) middle = put;
  zoom = to;
  draw();
}

/** A place on the screen as one on the picture. @param {PointerEvent} event @returns {[number, number]} */
function pointed(event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(/** @type {DOMMatrix} */ (svg.getScreenCTM()).inverse());
  return [at.x, at.y];
}

/** Where the map was taken hold of. @type {{x: number, y: number, from: Spot, moved: boolean} | null} */
let held = null;
view.addEventListener("pointerdown", (event) => {
  const [x, y] = pointed(event);
  held = { x, y, from: middle, moved: false };
  view.setPointerCapture(event.pointerId);
  event.preventDefault();
});
view.addEventListener("pointermove", (event) => {
  if (!held) return;
  const [x, y] = pointed(event);
  const dx = x - held.x, dy = y - held.y;
  held.moved ||= Math.hypot(dx, dy) > 6;
  if (!held.moved) return;
  middle = { u: held.from.u - dx / wide(), v: held.from.v - dy / wide() };
  if (group) group.setAttribute("transform", `translate(${dx.toFixed(1)} ${dy.toFixed(1)})`);
  mark();
});
view.addEventListener("pointerup", (event) => {
  if (!held) return;
  const { moved } = held;
  held = null;
  if (moved) draw();
  else { place(under(...pointed(event))); cross.focus(); }
});
view.addEventListener("pointercancel", () => { held = null; draw(); });
cross.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const step = KEYS[event.key];
  if (step) {
    const far = event.shiftKey ? STEP_SHIFT : STEP;
    const [x, y] = paper(put || middle);
    place(under(x + far * step[0], y + far * step[1]));
  } else if (event.key === "+" || event.key === "=") zooming(1);
  else if (event.key === "-") zooming(-1);
  else if (event.key === "Enter" || event.key === " ") place(put || middle);
  else return;
  event.preventDefault();
});
nearer.addEventListener("click", () => zooming(1));
farther.addEventListener("click", () => zooming(-1));
done.addEventListener("click", () => dialog.close());

/** Where the map begins: what is typed, what was picked last, what the map says, the world. */
function begin() {
  const typed = read(field.value);
  let last = null;
  try { last = read(localStorage.getItem(KEPT)); } catch { /* none kept */ }
  const said = named.dataset.middle ? spot(...(/** @type {[number, number]} */ (named.dataset.middle.split(" ").map(Number)))) : null;
  put = typed;
  const at = typed || last;
  if (at) [middle, zoom] = [at, NEAR];
  else if (said) [middle, zoom] = [said, 12];
}

open.addEventListener("click", () => {
  dialog.showModal();
  [width, height] = [view.clientWidth, view.clientHeight];
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  begin();
  says.textContent = put ? `Point ${field.value}` : "Point at the place, or move the cross with the arrow keys.";
  draw();
  cross.focus();
});
