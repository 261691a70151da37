// @ts-check
// The picture from the seat beside the replay: opened by its button, it follows the moment that is marked, wherever
// that was pointed at. What draws it is loaded when it is opened; without three dimensions the server draws the side.

import { flight, maneuver, now } from "./replay.js";
import { drawsInSpace, seat } from "./seat.js";
import { says } from "./seat-moment.js";
import { mark } from "./seat-side.js";

const beside = /** @type {HTMLElement} */ (document.querySelector("#beside"));
const opener = /** @type {HTMLButtonElement} */ (document.querySelector(".to-seat"));
const picture = /** @type {HTMLElement} */ (beside.querySelector(".view"));
const side = /** @type {HTMLElement} */ (beside.querySelector(".side"));
const sentence = /** @type {HTMLElement} */ (beside.querySelector(".says"));
const larger = /** @type {HTMLAnchorElement} */ (beside.querySelector(".larger"));
const NEAR = 30; // [s] about the moment that the side was drawn for, in which only its mark moves
const PAUSE = 150; // [ms] without a movement, before it is drawn for another

/** @type {import("./seat.js").Seat | undefined} */
let view;
let told = "";
let drawn = NaN;
let pause = 0;

function follow() {
  if (beside.hidden) return;
  const of = maneuver(now);
  if (of && !of.contains(beside)) settle();
  if (view) view.show(now);
  const said = says(flight, now);
  if (said !== told) sentence.textContent = told = said;
  larger.href = `${beside.dataset.page}?at=${now.toFixed(1)}`;
  if (side.hidden) return;
  const svg = side.querySelector("svg");
  if (svg) mark(svg, flight, now);
  if (Math.abs(now - drawn) <= NEAR) return;
  clearTimeout(pause);
  pause = setTimeout(draw, PAUSE);
}

/** Have the side drawn for this moment. */
async function draw() {
  const at = (drawn = now);
  const answer = await fetch(`${beside.dataset.page}?at=${at.toFixed(1)}`);
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const svg = page.querySelector("#side-view");
  if (answer.ok && svg) side.replaceChildren(document.adoptNode(svg));
  follow();
}

/** Put it above the pictures of the maneuver of this moment, or of the one flown next. */
function settle() {
  const articles = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("article.maneuver")]);
  const of = maneuver(now) || articles.find((article) => Number(article.dataset.from) > now) || articles[articles.length - 1];
  const pair = /** @type {Element} */ (of.querySelector(".pair"));
  if (beside.nextElementSibling !== pair) pair.before(beside);
}

/** @param {boolean} whether */
async function open(whether) {
  beside.hidden = !whether;
  if (whether) {
    settle();
    beside.focus({ preventScroll: true });
    if (getComputedStyle(beside).position !== "fixed") beside.scrollIntoView();
  }
  opener.setAttribute("aria-expanded", String(whether));
  const known = flight.seat.why === "", flat = known && !drawsInSpace();
  picture.hidden = flat || !known;
  side.hidden = !flat;
  beside.classList.toggle("flat", picture.hidden);
  follow();
  if (!picture.hidden && whether && !view) {
    view = await seat(picture, flight, now);
    Object.assign(globalThis, { groundrefSeat: view }); // for who wants to look at it from outside
    if (beside.hidden) put();
  } else if (!whether) put();
}

/** Give back what the picture holds. */
function put() {
  view?.dispose();
  view = undefined;
}

opener.addEventListener("click", () => open(opener.getAttribute("aria-expanded") === "false"));
/** @type {HTMLElement} */ (beside.querySelector(".close")).addEventListener("click", () => { open(false); opener.focus(); });
beside.addEventListener("keydown", (event) => { if (event.key === "Escape") { open(false); opener.focus(); } });
for (const button of /** @type {NodeListOf<HTMLElement>} */ (beside.querySelectorAll("[data-turn]"))) {
  const turn = String(button.dataset.turn).split(" ").map(Number);
  button.addEventListener("click", () => { if (view) { if (turn.length === 2) view.look(turn[0], turn[1]); else view.lookAlong(); } });
}
picture.addEventListener("pointerdown", (event) => { if (view) picture.setPointerCapture(event.pointerId); });
picture.addEventListener("pointermove", (event) => { if (view && event.buttons) view.look(-0.1 * event.movementX, 0.1 * event.movementY); });
document.addEventListener("replay", follow);
