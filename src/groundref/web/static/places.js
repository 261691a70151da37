// @ts-check
// Places on the ground moved by hand on the picture from above, and sent as a correction. What a place on paper is on
// the earth is a linear scale that comes with the picture; the debrief itself is worked out anew by the server.

import { both, metric } from "./units.js";

const FEET = 10, FEET_SHIFT = 100, METRES = 3, METRES_SHIFT = 30; // a step of the arrow keys
const NAMES = {
  point: ["Move the point", (/** @type {number} */ _) => "The point"],
  line: ["Move the line", (/** @type {number} */ n) => `End ${n} of the line`],
  corners: ["Move the corners", (/** @type {number} */ n) => `Corner ${n}`],
  pylons: ["Move the pylons", (/** @type {number} */ n) => `Pylon ${n}`],
};
const WAYS = [
  "north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east", "south-east", "south-south-east",
  "south", "south-south-west", "south-west", "west-south-west", "west", "west-north-west", "north-west", "north-north-west",
];
/** @type {Record<string, [number, number]>} */
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** @typedef {{button: HTMLButtonElement, x: number, y: number, from: [number, number]}} Handle */

/** @param {string} text @param {string} [look] */
function button(text, look) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  if (look) made.className = look;
  return made;
}

/** @param {SVGGElement} held @param {HTMLFormElement} form */
function movable(held, form) {
  const svg = /** @type {SVGSVGElement} */ (held.ownerSVGElement);
  const article = svg.closest("article.maneuver");
  const kind = /** @type {keyof typeof NAMES} */ (held.dataset.held);
  const field = /** @type {HTMLInputElement | null} */ (form.elements.namedItem(kind));
  if (!field) return;
  const [title, named] = /** @type {[string, (n: number) => string]} */ (NAMES[kind]);
  const foot = Number(held.dataset.foot);
  const [lat, lon, latX, lonX, latY, lonY] = String(held.dataset.earth).split(" ").map(Number);
  const { width, height } = svg.viewBox.baseVal;

  const over = document.createElement("div");
  over.className = "movable";
  svg.before(over);
  over.append(svg);
  const row = document.createElement("div");
  row.className = "moving";
  const move = button(title, "plain"), use = button("Use this place"), leave = button("Leave it as it was", "plain");
  const says = document.createElement("p");
  says.setAttribute("role", "status");
  row.append(move, use, leave, says);
  over.after(row);

  /** @type {Handle[]} */
  const handles = String(held.dataset.places).split(" ").map((place, index) => {
    const [x, y] = place.split(",").map(Number);
    const made = button("", "handle");
    made.setAttribute("aria-label", `${named(index + 1)}: arrow keys move it by ${metric ? `${METRES} meters, with Shift by ${METRES_SHIFT}` : `${FEET} feet, with Shift by ${FEET_SHIFT}`}`);
    over.append(made);
    return { button: made, x, y, from: [x, y] };
  });

  /** @param {Handle} one @param {number} x @param {number} y */
  function put(one, x, y) {
    one.x = Math.min(Math.max(x, 0), width);
    one.y = Math.min(Math.max(y, 0), height);
    show(one);
    const dx = one.x - one.from[0], dy = one.y - one.from[1];
    const far = Math.hypot(dx, dy) / foot;
    const way = WAYS[(Math.round(Math.atan2(dx, -dy) / (Math.PI / 8)) + 16) % 16];
    const name = named(handles.indexOf(one) + 1);
    says.textContent = far < 1 ? `${name}: as it was.`
      : `${name}: ${both(far)} ${way} of where it was.`;
    use.disabled = handles.every((each) => each.x === each.from[0] && each.y === each.from[1]);
  }

  /** @param {Handle} one */
  function show(one) {
    one.button.style.left = `${(100 * one.x) / width}%`;
    one.button.style.top = `${(100 * one.y) / height}%`;
  }

  /** @param {boolean} on */
  function moving(on) {
    over.classList.toggle("on", on);
    move.hidden = on;
    use.hidden = leave.hidden = says.hidden = !on;
    for (const one of handles) {
      one.button.hidden = !on;
      [one.x, one.y] = one.from;
      show(one);
    }
    use.disabled = true;
    says.textContent = on ? "Drag the mark, point at its place, or use the arrow keys." : "";
  }

  /** A place on the screen as one on paper. @param {PointerEvent} event @returns {[number, number]} */
  function paper(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(/** @type {DOMMatrix} */ (svg.getScreenCTM()).inverse());
    return [at.x, at.y];
  }

  for (const one of handles) {
    one.button.addEventListener("pointerdown", (event) => {
      one.button.setPointerCapture(event.pointerId);
      event.preventDefault();
      one.button.focus();
    });
    one.button.addEventListener("pointermove", (event) => {
      if (one.button.hasPointerCapture(event.pointerId)) put(one, ...paper(event));
    });
    one.button.addEventListener("keydown", (event) => {
      const step = KEYS[event.key];
      if (!step || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      const far = metric ? (event.shiftKey ? METRES_SHIFT : METRES) * foot / 0.3048 : (event.shiftKey ? FEET_SHIFT : FEET) * foot;
      put(one, one.x + far * step[0], one.y + far * step[1]);
    });
  }
  svg.addEventListener("pointerdown", (event) => {
    if (!over.classList.contains("on")) return;
    const [x, y] = paper(event);
    const nearest = handles.reduce((a, b) => (Math.hypot(b.x - x, b.y - y) < Math.hypot(a.x - x, a.y - y) ? b : a));
    put(nearest, x, y);
    event.preventDefault();
    nearest.button.focus();
  });
  move.addEventListener("click", () => { moving(true); handles[0].button.focus(); });
  leave.addEventListener("click", () => { moving(false); move.focus(); });
  use.addEventListener("click", () => {
    field.value = handles.map(({ x, y }) => {
      const north = lat + latX * x + latY * y, east = lon + lonX * x + lonY * y;
      return `${north.toFixed(7)},${(((east + 540) % 360) - 180).toFixed(7)}`;
    }).join(" ");
    const back = document.createElement("input");
    back.type = "hidden";
    back.name = "back";
    back.value = article ? article.id : "main";
    form.append(back);
    use.disabled = true;
    says.textContent = "The debrief is being worked out anew …";
    form.requestSubmit();
  });
  moving(false);
}

const form = /** @type {HTMLFormElement | null} */ (document.querySelector("#corrections form"));
if (form) for (const held of document.querySelectorAll("svg g.held")) movable(/** @type {SVGGElement} */ (held), form);
