// @ts-check
// The page of a try: it sends the bank that is asked for, and draws what it is told. It computes no flight.

import { Above } from "./try-above.js";
import { tilting } from "./try-tilt.js";
import { metric, speed } from "./units.js";

/**
 * @typedef {{told: "moment", seconds: number, east_m: number, north_m: number, heading_deg: number, bank_deg: number, bank_needed_deg: number, ground_speed_kt: number, outside_m: number}} Moment
 * @typedef {{told: "held", path_m: [number, number][], says: string}} Held
 * @typedef {{told: "drifted", from_m: [number, number], to_m: [number, number], says: string}} Drifted
 * @typedef {Moment | Held | Drifted | {told: "says", says: string} | {told: "done", page: string} | {told: "begun" | "let-go"}} Told
 */

const place = /** @type {HTMLElement} */ (document.querySelector(".trying"));
const slider = /** @type {HTMLInputElement} */ (document.getElementById("bank"));
const asking = /** @type {HTMLOutputElement} */ (place.querySelector("output"));
const line = /** @type {HTMLElement} */ (document.getElementById("above-says"));
const finding = /** @type {HTMLElement} */ (place.querySelector(".finding"));
const above = new Above(/** @type {SVGSVGElement} */ (place.querySelector(".above")));
const unit = metric || place.dataset.unit === "m" ? { name: "m", size: 1 } : { name: "ft", size: 0.3048 };
const small = matchMedia("(max-width: 61.99rem)"); // there the picture and the hands fill the screen, beneath the form
const STILL_HERE = 20_000; // [ms] between signs of life while the page is looked at

/** @type {WebSocket | undefined} */
let line_out;
let paused = true;
let over = false;
let asked = 0;
let sent = 0;

/** @param {string} name */
const button = (name) => /** @type {HTMLButtonElement} */ (place.querySelector(`[data-does="${name}"]`));
/** @param {string} name @param {string} text */
const show = (name, text) => { /** @type {HTMLElement} */ (place.querySelector(`[data-is="${name}"]`)).textContent = text; };
/** @param {object} order */
const say = (order) => { if (line_out && line_out.readyState === WebSocket.OPEN) line_out.send(JSON.stringify(order)); };
/** @param {number} angle */
const sided = (angle) => (Math.round(Math.abs(angle)) ? `${Math.round(Math.abs(angle))}° ${angle > 0 ? "right" : "left"}` : "0°");

/** A reason as a sentence. @param {string} reason */
const sentence = (reason) => `${reason.charAt(0).toUpperCase()}${reason.slice(1)}${/[.?!]$/.test(reason) ? "" : "."}`;

function connect() {
  above.clear();
  finding.textContent = line.textContent = "";
  over = false;
  ask(0);
  held(false);
  const socket = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/try/fly?${place.dataset.address}`);
  line_out = socket;
  socket.addEventListener("message", (event) => { if (socket === line_out) told(JSON.parse(event.data)); });
  socket.addEventListener("close", (event) => {
    if (socket !== line_out) return;
    pause(true);
    // Ended as asked before there was anything to debrief: what was told of that stands.
    if (!over) line.textContent = `${event.code === 1000 ? line.textContent : sentence(event.reason || "the server does not answer; is it still running?")} To fly again, press Start anew.`;
    over = true;
    button("go").disabled = true;
  });
  pause(true);
  button("go").disabled = false;
}

/** @param {Told} message */
function told(message) {
  if (message.told === "moment") moment(message);
  else if (message.told === "says") line.textContent = message.says;
  else if (message.told === "held") { above.next(message.path_m); held(true); finding.textContent = message.says; }
  else if (message.told === "drifted") { above.drift(message.from_m, message.to_m); finding.textContent = message.says; }
  else if (message.told === "let-go") held(false);
  else if (message.told === "done") { over = true; location.assign(message.page); }
}

/** @param {Moment} now */
function moment(now) {
  above.move(now.east_m, now.north_m, now.heading_deg);
  show("speed", speed(now.ground_speed_kt));
  show("bank", sided(now.bank_deg));
  show("needed", sided(now.bank_needed_deg));
  const off = Math.round(Math.abs(now.outside_m) / unit.size);
  show("off", `${off.toLocaleString("en")} ${unit.name} ${now.outside_m > 0 ? "outside" : "inside"}`);
  show("time", `${Math.floor(now.seconds / 60)}:${String(Math.floor(now.seconds % 60)).padStart(2, "0")}`);
  /** @type {Element} */ (place.querySelector(".banks .held")).setAttribute("d", `M0 0H${now.bank_deg}`);
  /** @type {Element} */ (place.querySelector(".banks .needs")).setAttribute("d", `M${now.bank_needed_deg}-14V14`);
}

/** @param {number} bank */
function ask(bank) {
  const most = Number(slider.max);
  asked = Math.max(-most, Math.min(most, Math.round(bank)));
  slider.value = String(asked);
  slider.setAttribute("aria-valuetext", asked ? sided(asked) : "wings level");
  asking.textContent = asked ? sided(asked) : "wings level";
}

/** Ask for a bank, at most once a frame. @param {number} bank */
function bank(bank) {
  ask(bank);
  held(false);
  if (!sent) sent = requestAnimationFrame(() => { sent = 0; say({ bank_deg: asked }); });
}

/** @param {boolean} whether */
function held(whether) {
  button("hold").setAttribute("aria-pressed", String(whether));
  if (!whether) above.next([]);
}

/** @param {boolean} whether */
function pause(whether) {
  paused = whether;
  button("go").textContent = paused ? "Fly" : "Pause";
  say({ paused });
}

/** @type {Record<string, () => void>} */
const does = {
  left: () => bank(asked - 1),
  right: () => bank(asked + 1),
  level: () => bank(0),
  go: () => { if (!over) pause(!paused); if (!paused && small.matches) place.scrollIntoView(); },
  hold: () => say({ hold: button("hold").getAttribute("aria-pressed") !== "true" }),
  end: () => say({ done: true }),
  anew: () => { if (line_out) { const old = line_out; line_out = undefined; old.close(); } connect(); },
  help: () => place.classList.toggle("without", !(/** @type {HTMLInputElement} */ (place.querySelector('[data-does="help"]')).checked)),
};

for (const element of place.querySelectorAll("[data-does]")) {
  const name = /** @type {HTMLElement} */ (element).dataset.does || "";
  if (does[name]) element.addEventListener(name === "help" ? "change" : "click", does[name]);
}
slider.addEventListener("input", () => bank(Number(slider.value)));
document.addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const elsewhere = target.closest("form, a, summary") || (target instanceof HTMLInputElement && target !== slider);
  if (elsewhere || event.ctrlKey || event.altKey || event.metaKey) return;
  const by = event.shiftKey ? 5 : 1;
  if (event.key === "ArrowLeft") bank(asked - by);
  else if (event.key === "ArrowRight") bank(asked + by);
  else if (event.key === "ArrowDown") bank(0);
  else if (event.key === "h" || event.key === "H") does.hold();
  else if (event.key === " " && !(target instanceof HTMLButtonElement)) does.go();
  else return;
  event.preventDefault();
});
document.addEventListener("visibilitychange", () => { if (document.hidden && !paused) pause(true); });
addEventListener("pagehide", () => { if (line_out) line_out.close(); });
addEventListener("pageshow", (event) => { if (event.persisted) does.anew(); });
setInterval(() => { if (!document.hidden) say({}); }, STILL_HERE);
tilting(button("tilt"), bank);
place.hidden = false;
/** @type {HTMLElement} */ (document.querySelector(".no-script")).remove();
connect();
