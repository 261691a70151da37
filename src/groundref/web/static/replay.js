// @ts-check
// The replay: one moment of the flight, moved by time, by hand or by a picture, and marked in every picture at once.
// All numbers come from the server; here they are only looked up between two samples.

import { length, speed } from "./units.js";

/**
 * @typedef {"bank_deg" | "ground_speed_kt" | "track_deg" | "height_agl_ft" | "altitude_ft"} Quantity
 * @typedef {Record<Quantity, (number | null)[] | null>} Columns
 * @typedef {Columns & import("./seat.js").Flight & {overview: [number, number][], start: string}} Flight
 */

const bar = /** @type {HTMLElement} */ (document.querySelector(".replay"));
const slider = /** @type {HTMLInputElement} */ (bar.querySelector("input[type=range]"));
const play = /** @type {HTMLButtonElement} */ (bar.querySelector("[aria-pressed]"));
const pace = /** @type {HTMLSelectElement} */ (bar.querySelector("select"));
const words = /** @type {HTMLOutputElement} */ (bar.querySelector("output"));
const overview = /** @type {SVGSVGElement | null} */ (document.querySelector("svg#overview"));
const dot = overview && overview.querySelector(".cursor");
const articles = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("article.maneuver")]);
const usual = pace.value;
const still = matchMedia("(prefers-reduced-motion: reduce)");

/** The flight, and the moment that is marked. @type {Flight} */
export let flight;
export let now = 0;
let running = 0;
let told = -1;
/** The maneuver whose pictures were brought into view, while it plays and nobody scrolls. @type {Element | undefined} */
let brought;

/** The last sample at or before a time. @param {number} seconds */
function before(seconds) {
  let low = 0, high = flight.seconds.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (flight.seconds[middle] <= seconds) low = middle; else high = middle - 1;
  }
  return low;
}

/** @param {Quantity} name @param {number} step @param {(value: number) => string} say */
function measured(name, step, say) {
  const column = flight[name], value = column && column[step];
  return value === null || value === undefined ? "" : say(value);
}

/** @param {number} step */
function sentence(step) {
  const clock = new Date(Date.parse(flight.start) + 1000 * flight.seconds[step]).toISOString().slice(11, 19);
  const bank = flight.bank_deg && flight.bank_deg[step];
  const side = typeof bank === "number" && Math.abs(bank) >= 2 ? (bank > 0 ? " right" : " left") : "";
  return [
    `${clock} UTC`,
    typeof bank === "number" ? `bank ${Math.abs(Math.round(bank))}°${side}` : "",
    `ground speed ${measured("ground_speed_kt", step, speed)}`,
    `track ${measured("track_deg", step, (degrees) => `${String(Math.round(degrees) % 360 || 360).padStart(3, "0")}°`)}`,
    measured("height_agl_ft", step, (feet) => `${length(feet)} above the ground`) || measured("altitude_ft", step, length),
  ].filter(Boolean).join(" · ");
}

/**
 * Mark a moment everywhere.
 * @param {number} seconds @param {Element | null} [from] the picture that asked for it, which marks it itself
 */
function go(seconds, from = null) {
  now = Math.min(Math.max(seconds, 0), flight.seconds[flight.seconds.length - 1]);
  const step = before(now);
  const next = Math.min(step + 1, flight.seconds.length - 1);
  const span = flight.seconds[next] - flight.seconds[step];
  const part = span > 0 ? (now - flight.seconds[step]) / span : 0;
  if (dot) {
    const [x, y] = flight.overview[step], [x2, y2] = flight.overview[next];
    dot.setAttribute("cx", String(x + part * (x2 - x)));
    dot.setAttribute("cy", String(y + part * (y2 - y)));
    dot.setAttribute("visibility", "visible");
  }
  for (const article of articles) {
    if (article !== from) article.dispatchEvent(new CustomEvent("go", { detail: now }));
  }
  slider.value = String(now);
  if (step !== told) {  // not with every frame: a new sentence has the page laid out anew
    told = step;
    words.textContent = sentence(step);
    slider.setAttribute("aria-valuetext", words.textContent);
  }
  document.dispatchEvent(new CustomEvent("replay", { detail: now }));
}

/** The maneuver that a moment is of. @param {number} seconds */
export function maneuver(seconds) {
  return articles.find((article) => Number(article.dataset.from) <= seconds && seconds <= Number(article.dataset.to));
}

/** Whether all of an element can be seen above the bar. @param {Element} element */
function inView(element) {
  const { top, bottom } = element.getBoundingClientRect();
  return top >= 0 && bottom <= (bar.getBoundingClientRect().top || innerHeight);
}

/** Bring the pictures of the maneuver of this moment above the bar, unless they or the whole flight are in view. */
function bring() {
  const article = maneuver(now);
  if (!article || article === brought) return;
  brought = article;
  if (overview && inView(overview)) return;
  const beside = article.querySelector(".beside:not([hidden])");
  const pair = /** @type {Element} */ (article.querySelector(".pair"));
  const seen = [...pair.querySelectorAll("svg.figure")].slice(0, 1);
  const above = beside && getComputedStyle(beside).position !== "fixed" ? beside : null;
  if (above) seen.push(above);
  if (!seen.every(inView)) (above || pair).scrollIntoView({ behavior: still.matches ? "auto" : "smooth" });
}

function stop() {
  cancelAnimationFrame(running);
  running = 0;
  play.textContent = "Play";
  play.setAttribute("aria-pressed", "false");
  keep();
}

function start() {
  if (now >= flight.seconds[flight.seconds.length - 1]) go(0);
  play.textContent = "Pause";
  play.setAttribute("aria-pressed", "true");
  brought = undefined;
  let follows = true;
  const leave = () => { follows = false; };
  for (const name of ["wheel", "touchmove", "keydown"]) addEventListener(name, leave, { passive: true, once: true });
  bring();
  let last = performance.now();
  /** @param {number} at */
  const frame = (at) => {
    // With reduced motion the mark moves once a second.
    if (!still.matches || at - last >= 1000) {
      go(now + (Number(pace.value) * (at - last)) / 1000);
      last = at;
      if (follows) bring();
    }
    if (now >= flight.seconds[flight.seconds.length - 1]) stop();
    else running = requestAnimationFrame(frame);
  };
  running = requestAnimationFrame(frame);
}

/** Let the address name the moment and the pace, so that they can be bookmarked and passed on. */
function keep() {
  const address = new URL(location.href);
  address.searchParams.set("at", now.toFixed(1));
  if (pace.value === usual) address.searchParams.delete("pace"); else address.searchParams.set("pace", pace.value);
  history.replaceState(history.state, "", address);
}

play.addEventListener("click", () => (running ? stop() : start()));
slider.addEventListener("input", () => go(Number(slider.value)));
slider.addEventListener("change", keep);
// By its own step a key would move a tenth of a second, and a page key minutes.
/** @type {Record<string, number>} seconds */
const moves = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };
slider.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === " ") play.click();
  else if (event.key in moves) { go(now + moves[event.key]); keep(); }
  else return;
  event.preventDefault();
});
pace.addEventListener("change", keep);
document.addEventListener("moment", (event) => {
  go(/** @type {CustomEvent<number>} */ (event).detail, /** @type {Element} */ (event.target));
});
document.addEventListener("visibilitychange", () => { if (document.hidden && running) stop(); });
document.addEventListener("keydown", (event) => {
  const on = /** @type {Element} */ (event.target);
  // Where letters are typed, or choose from a list, they are not the replay's.
  if (event.ctrlKey || event.metaKey || event.altKey || on.closest("input:not([type=range]), select, textarea")) return;
  if (event.key === "p") play.click();
  else if (event.key === "," || event.key === ".") { go(now + (event.key === "." ? 1 : -1)); keep(); }
  else return;
  event.preventDefault();
});
if (overview) {
  overview.addEventListener("pointerdown", (event) => {
    const matrix = overview.getScreenCTM();
    if (!matrix) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    let best = 0, least = Infinity;
    flight.overview.forEach(([x, y], step) => {
      const far = (x - at.x) ** 2 + (y - at.y) ** 2;
      if (far < least) { least = far; best = step; }
    });
    go(flight.seconds[best]);
    keep();
  });
}

flight = await (await fetch(/** @type {string} */ (bar.dataset.flight))).json();
slider.max = String(flight.seconds[flight.seconds.length - 1]);
const said = new URL(location.href).searchParams;
const asked = Number(said.get("at"));
if ([...pace.options].some((option) => option.value === said.get("pace"))) pace.value = String(said.get("pace"));
const first = articles.length ? Number(articles[0].dataset.from) : 0;
go(asked > 0 ? asked : first || 0);
bar.hidden = false;
