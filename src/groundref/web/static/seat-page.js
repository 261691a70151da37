// @ts-check
// The page from the pilot's seat: time by slider and arrows, the head by keys, buttons and drag.

import { drawsInSpace, seat } from "./seat.js";
import { nearest, says } from "./seat-moment.js";
import { mark } from "./seat-side.js";

const place = /** @type {HTMLElement} */ (document.querySelector(".from-seat"));
const picture = /** @type {HTMLElement} */ (place.querySelector(".view"));
const slider = /** @type {HTMLInputElement} */ (place.querySelector("input[type=range]"));
const sentence = /** @type {HTMLElement} */ (place.querySelector(".says"));
const clock = /** @type {HTMLOutputElement} */ (place.querySelector("output"));
const play = /** @type {HTMLButtonElement} */ (place.querySelector("[data-does=play]"));
const pace = /** @type {HTMLSelectElement} */ (place.querySelector("select"));
const usual = pace.value;
let at = Number(place.dataset.at);
// Before anything is waited for: the page has it as soon as it is loaded.
const said = new URL(location.href).searchParams.get("pace");
if ([...pace.options].some((option) => option.value === said)) pace.value = String(said);
pace.addEventListener("change", keep);
const side = /** @type {SVGSVGElement | null} */ (place.querySelector("svg#side-view"));
const still = matchMedia("(prefers-reduced-motion: reduce)");
const TURN = 5; // degrees of the head a key

/** @type {import("./seat.js").Flight} */
const flight = await (await fetch(place.dataset.flight || "")).json();
const last = flight.seconds[flight.seconds.length - 1];
let running = 0;
/** @type {import("./seat.js").Seat | undefined} */
let view;
let spoken = 0;
let kept = 0;

/** @param {number} seconds */
const told = (seconds) => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;

/** @param {number} seconds */
function show(seconds) {
  at = Math.max(0, Math.min(last, seconds));
  if (view) view.show(at);
  if (side) mark(side, flight, at);
  slider.value = String(at);
  const position = flight.positions?.[nearest(flight.seconds, at)];
  const named = position ?? (flight.start ? `${new Date(Date.parse(flight.start) + 1000 * at).toISOString().slice(11, 19)} UTC` : "");
  clock.textContent = `${named ? `${named}, ` : ""}${told(at)} of ${told(last)}`;
  slider.setAttribute("aria-valuetext", clock.textContent);
  clearTimeout(spoken);
  spoken = setTimeout(() => { sentence.textContent = says(flight, at); }, running ? 1000 : 150);
  clearTimeout(kept);
  kept = setTimeout(keep, 400);
}

/** Let the address name the moment and the pace. */
function keep() {
  const address = new URL(location.href);
  address.searchParams.set("at", at.toFixed(1));
  if (pace.value === usual) address.searchParams.delete("pace"); else address.searchParams.set("pace", pace.value);
  history.replaceState(null, "", address);
}

/** @param {boolean} whether */
function run(whether) {
  cancelAnimationFrame(running);
  running = 0;
  play.textContent = whether ? "Pause" : "Play";
  if (!whether) return;
  let since = performance.now(), owed = 0;
  const on = (/** @type {number} */ now) => {
    owed += (Math.max(0, now - since) / 1000) * Number(pace.value);
    since = now;
    if (!still.matches || owed >= Number(pace.value)) { show(at + owed); owed = 0; } // else a step each second
    if (at >= last) run(false); else running = requestAnimationFrame(on);
  };
  running = requestAnimationFrame(on);
}

/** @type {Record<string, () => void>} */
const does = {
  play: () => run(!running),
  back: () => show(at - 10),
  on: () => show(at + 10),
  left: () => view && view.look(-TURN, 0),
  right: () => view && view.look(TURN, 0),
  up: () => view && view.look(0, TURN),
  down: () => view && view.look(0, -TURN),
  wing: () => view && view.lookAlong(),
};
/** @type {Record<string, string>} */
const keys = { " ": "play", a: "left", d: "right", w: "up", s: "down", Home: "wing" };

for (const element of place.querySelectorAll("[data-does]")) {
  element.addEventListener("click", () => does[/** @type {HTMLElement} */ (element).dataset.does || ""]());
}
slider.addEventListener("input", () => show(Number(slider.value)));
document.addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  if (event.ctrlKey || event.altKey || event.metaKey || target.closest("form, select, a, summary")) return;
  const step = event.key === "ArrowLeft" ? -1 : event.key === "ArrowRight" ? 1 : 0;
  const name = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  if (step) show(at + step * (event.shiftKey ? 10 : 1));
  else if (name && !(event.key === " " && target instanceof HTMLButtonElement)) does[name]();
  else return;
  event.preventDefault();
});
picture.addEventListener("pointerdown", (event) => { if (view) picture.setPointerCapture(event.pointerId); });
picture.addEventListener("pointermove", (event) => {
  if (view && event.buttons) view.look(-0.1 * event.movementX, 0.1 * event.movementY);
});

place.classList.add("live");
if (!flight.seat.why && drawsInSpace()) {
  view = await seat(picture, flight, at);
  place.classList.add("in-space");
  view.fit();
  Object.assign(globalThis, { groundrefSeat: view }); // for who wants to look at it from outside
} else if (!flight.seat.why) {
  /** @type {HTMLElement} */ (place.querySelector(".flat")).hidden = false;
}
show(at);
