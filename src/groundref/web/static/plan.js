// @ts-check
// A changed number is a new plan at once: the same address is asked for its plan alone, one request at a time, and
// what was changed meanwhile is asked for as soon as the answer is there.

import { dropTyped, keepTyped, putBack } from "./plan-typed.js";

const form = /** @type {HTMLFormElement} */ (document.querySelector("form.asked"));
const result = /** @type {HTMLElement} */ (document.querySelector(".result"));
const status = /** @type {HTMLElement} */ (form.querySelector("[role=status]"));
const above = /** @type {HTMLElement} */ (result.querySelector(".no-plan"));
const atOnce = /** @type {HTMLAnchorElement} */ (form.querySelector(".at-once a"));
const maneuver = /** @type {HTMLSelectElement} */ (form.elements.namedItem("maneuver"));
const QUIET = 900; // before what it comes to is read aloud [ms]

const noAnswer = /** @type {HTMLElement} */ (result.querySelector(".no-answer"));
const NO_ANSWER = "The server does not answer; is it still running?";
const MEANWHILE = "This is the plan before your last change. The server is asked again by itself; what you typed stays, also when this page is loaded again.";
const SOONEST = 1000, LATEST = 15000; // until the server is asked again that did not answer [ms]
let asking = false;
let changed = false;
let pressed = false; // the button, and no answer yet
let reading = 0;
let again = 0, wait = SOONEST;

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */
/** @type {Record<string, [string, string]>} What the lesson before fills in, and where that is from. */
let filled = JSON.parse(/** @type {HTMLElement} */ (result.querySelector(".planned")).dataset.filled || "{}");

/** Whether a field is empty, or still as the lesson before filled it in. @param {Field} field */
const untouched = (field) => !field.value.trim() || field.value === field.dataset.filled;

/** What is filled in by hand, as asked for: in the units of this form. */
function asked() {
  const said = new URLSearchParams();
  for (const field of /** @type {Iterable<Field>} */ (form.elements)) {
    if (!field.name || field.name === "was" || field.name === "exact" || field.disabled || untouched(field)) continue;
    if (field instanceof HTMLInputElement && field.type === "checkbox" && !field.checked) continue;
    said.append(field.name, field.value);
  }
  const exact = form.elements.namedItem("exact");
  if (exact instanceof HTMLInputElement) said.append("exact", exact.value);
  return `${form.getAttribute("action")}?${said}`;
}

/** Fill in what nobody typed, say where it is from, and take back what the lesson no longer says. */
function fill() {
  for (const field of /** @type {Iterable<Field>} */ (form.elements)) {
    const line = field.id && document.getElementById(`${field.id}-from`);
    if (!line) continue;
    const lesson = filled[field.id];
    // A field that was just emptied stays so until it is left, or nobody could type another value.
    if (untouched(field) && !(field === document.activeElement && !field.value.trim())) {
      if (lesson) {
        if (field.value !== lesson[0]) field.value = lesson[0];
        field.dataset.filled = lesson[0];
        field.closest("details")?.setAttribute("open", "");
      } else if (field.dataset.filled !== undefined) {
        if (field instanceof HTMLSelectElement) field.selectedIndex = 0;
        else field.value = "";
        delete field.dataset.filled;
      }
    }
    line.textContent = lesson && field.value === lesson[0] && field.dataset.filled === lesson[0] ? lesson[1] : "";
  }
}

/** What another maneuver has no use for is put away, not lost. */
function fit() {
  for (const line of /** @type {NodeListOf<HTMLElement>} */ (form.querySelectorAll("[data-kinds]"))) {
    const fits = (line.dataset.kinds || "").split(" ").includes(maneuver.value);
    line.hidden = !fits;
    for (const field of line.querySelectorAll("input, select")) field.toggleAttribute("disabled", !fits);
  }
}

/** All fields that are wrong, each with why. @param {Record<string, string>} wrong */
function mark(wrong) {
  for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
  for (const line of form.querySelectorAll(".wrong")) line.textContent = "";
  for (const [name, says] of Object.entries(wrong)) {
    const field = form.elements.namedItem(name);
    if (!(field instanceof HTMLElement)) continue;
    field.setAttribute("aria-invalid", "true");
    field.closest("details")?.setAttribute("open", "");
    const line = document.getElementById(`${name}-wrong`);
    if (line) line.textContent = says;
  }
}

async function plan() {
  changed = asking;
  if (asking) return;
  asking = true;
  clearTimeout(again);
  const here = asked();
  /** @type {Record<string, string>} */
  const headers = { "groundref-part": "plan", "groundref-letters": result.clientWidth < 480 ? "narrow" : "wide" };
  /** @type {Response} */
  let answer;
  /** @type {string} */
  let text;
  try {
    answer = await fetch(here, { headers });
    text = await answer.text();
  } catch {
    unanswered(here);
    return;
  } finally {
    asking = false;
  }
  answered();
  if (!answer.ok) return form.submit();
  show(text);
  alongside();
  if (changed) plan();
}

/** The server is silent: that stands over the plan before, and what is typed in the address. @param {string} here */
function unanswered(here) {
  history.replaceState(null, "", here);
  alongside();
  result.classList.add("stale");
  if (noAnswer.hidden) noAnswer.textContent = `${NO_ANSWER} ${MEANWHILE}`;
  noAnswer.hidden = false;
  atOnce.textContent = NO_ANSWER;
  again = window.setTimeout(plan, wait);
  wait = Math.min(2 * wait, LATEST);
}

function answered() {
  wait = SOONEST;
  noAnswer.hidden = true;
  noAnswer.textContent = "";
}

/** @param {string} text */
function show(text) {
  const held = names();
  const parsed = new DOMParser().parseFromString(text, "text/html");
  const made = /** @type {HTMLElement} */ (parsed.querySelector(".planned"));
  const says = made.dataset.says || "", field = made.dataset.field || "";
  // The server says the address: what was typed in meters stands in it in feet, for whoever opens it.
  history.replaceState(null, "", `${form.getAttribute("action")}?${made.dataset.query}`);
  filled = JSON.parse(made.dataset.filled || "{}");
  fill();
  const notes = JSON.parse(made.dataset.notes || "{}");
  for (const line of form.querySelectorAll(".beside")) line.textContent = notes[line.id.replace(/-note$/, "")] || "";
  mark(JSON.parse(made.dataset.wrong || "{}"));
  refuse(field, made.dataset.named || "", says);
  const there = result.querySelector(".plan-head");
  // Beside a field that is only half typed the plan before stays, dimmed, and above it stands why.
  above.hidden = !(field && there);
  if (field && there) result.classList.add("stale");
  else {
    result.classList.remove("stale");
    result.replaceChildren(noAnswer, above, document.adoptNode(made));
    document.dispatchEvent(new Event("drawn"));
    for (const [id, value] of held) {
      const input = document.getElementById(id);
      if (input instanceof HTMLInputElement || input instanceof HTMLSelectElement) input.value = value;
    }
  }
  tell(field ? `No plan: ${made.dataset.named}: ${says}` : says);
  if (changed) return; // asked anew at once
  if (field) keepTyped(form);
  else dropTyped();
  if (pressed && field) document.getElementById(field)?.focus();
  pressed = false;
}

/** Beside the button and above a plan that is none any more: which field, and why. @param {string} field @param {string} named @param {string} says */
function refuse(field, named, says) {
  for (const link of [atOnce, /** @type {HTMLAnchorElement} */ (above.querySelector("a"))]) {
    link.textContent = field ? `No plan: ${named}: ${says}` : says;
    link.href = `#${field || "planned"}`;
  }
  atOnce.parentElement?.classList.toggle("wrong-so", Boolean(field));
}

/** What is typed below the plan outlives it. */
function names() {
  const fields = /** @type {NodeListOf<HTMLInputElement | HTMLSelectElement>} */ (result.querySelectorAll(".to-take [id]"));
  return Array.from(fields, (field) => /** @type {[string, string]} */ ([field.id, field.value]));
}

/** What is typed below the plan stands in the address, too, so that a reload loses nothing. */
function alongside() {
  const said = new URLSearchParams(location.search), before = said.toString();
  for (const id of ["student", "instructor", "lesson"]) {
    const field = document.getElementById(id);
    if (!(field instanceof HTMLInputElement)) continue;
    if (field.value.trim()) said.set(id, field.value);
    else said.delete(id);
  }
  if (said.toString() !== before) history.replaceState(null, "", `${location.pathname}?${said}`);
}

/** @param {string} says */
function tell(says) {
  clearTimeout(reading);
  reading = window.setTimeout(() => { status.textContent = says; }, QUIET);
}

form.addEventListener("input", () => {
  fit();
  keepTyped(form);
  plan();
});
form.addEventListener("focusout", () => window.setTimeout(fill));
form.addEventListener("submit", (event) => { event.preventDefault(); pressed = true; plan(); });
form.querySelector("a.as-button")?.addEventListener("click", dropTyped);
window.addEventListener("pageshow", () => { const typed = putBack(form); fit(); if (typed || result.clientWidth < 480 && result.querySelector(".drawn.wide")) plan(); });
result.addEventListener("input", alongside);
