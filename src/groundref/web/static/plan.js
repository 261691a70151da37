// @ts-check
// A changed number is a new plan at once: the same address is asked for its plan alone, one request at a time, and
// what was changed meanwhile is asked for as soon as the answer is there.

const form = /** @type {HTMLFormElement} */ (document.querySelector("form.asked"));
const result = /** @type {HTMLElement} */ (document.querySelector(".result"));
const status = /** @type {HTMLElement} */ (form.querySelector("[role=status]"));
const atOnce = /** @type {HTMLAnchorElement} */ (form.querySelector(".at-once a"));
const maneuver = /** @type {HTMLSelectElement} */ (form.elements.namedItem("maneuver"));
const QUIET = 900; // before what it comes to is read aloud [ms]

let asking = false;
let changed = false;
let reading = 0;

/** The address of what is filled in. */
function address() {
  const said = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (String(value).trim()) said.append(name, String(value));
  return `${form.getAttribute("action")}?${said}`;
}

/** What another maneuver has no use for is put away, not lost. */
function fit() {
  for (const line of /** @type {NodeListOf<HTMLElement>} */ (form.querySelectorAll("[data-kinds]"))) {
    const fits = (line.dataset.kinds || "").split(" ").includes(maneuver.value);
    line.hidden = !fits;
    for (const field of line.querySelectorAll("input, select")) field.toggleAttribute("disabled", !fits);
  }
}

/** @param {string} name @param {string} says */
function mark(name, says) {
  for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
  for (const line of form.querySelectorAll(".wrong")) line.textContent = "";
  const field = name && form.elements.namedItem(name);
  if (!(field instanceof HTMLElement)) return;
  field.setAttribute("aria-invalid", "true");
  field.closest("details")?.setAttribute("open", "");
  const line = document.getElementById(`${name}-wrong`);
  if (line) line.textContent = says;
}

async function plan() {
  changed = asking;
  if (asking) return;
  asking = true;
  const here = address();
  /** @type {Record<string, string>} */
  const headers = { "groundref-part": "plan", "groundref-letters": result.clientWidth < 480 ? "narrow" : "wide" };
  try {
    const answer = await fetch(here, { headers });
    if (!answer.ok) return form.submit();
    show(await answer.text());
    history.replaceState(null, "", here);
  } catch {
    result.classList.add("stale");
    tell("The server does not answer; is it still running?");
  } finally {
    asking = false;
  }
  if (changed) plan();
}

/** @param {string} text */
function show(text) {
  const held = names();
  const parsed = new DOMParser().parseFromString(text, "text/html");
  const made = /** @type {HTMLElement} */ (parsed.querySelector(".planned"));
  const says = made.dataset.says || "", field = made.dataset.field || "";
  mark(field, says);
  atOnce.textContent = says;
  const there = result.querySelector(".plan-head");
  // Beside a field that is only half typed the plan before stays, dimmed.
  if (field && there) result.classList.add("stale");
  else {
    result.classList.remove("stale");
    result.replaceChildren(document.adoptNode(made));
    document.dispatchEvent(new Event("drawn"));
    document.dispatchEvent(new Event("drawn"));
    for (const [id, value] of held) {
      const input = document.getElementById(id);
      if (input instanceof HTMLInputElement || input instanceof HTMLSelectElement) input.value = value;
    }
  }
  tell(field ? `No plan: ${says}` : says);
}

/** What is typed below the plan outlives it. */
function names() {
  const fields = /** @type {NodeListOf<HTMLInputElement | HTMLSelectElement>} */ (result.querySelectorAll(".to-take [id]"));
  return Array.from(fields, (field) => /** @type {[string, string]} */ ([field.id, field.value]));
}

/** @param {string} says */
function tell(says) {
  clearTimeout(reading);
  reading = window.setTimeout(() => { status.textContent = says; }, QUIET);
}

form.addEventListener("input", () => {
  fit();
  plan();
});
form.addEventListener("submit", (event) => { event.preventDefault(); plan(); });
window.addEventListener("pageshow", () => { fit(); if (result.clientWidth < 480 && result.querySelector(".drawn.wide")) plan(); });
