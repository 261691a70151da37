// @ts-check
// What is typed into a lesson's forms is not lost: each field is kept in the browser until the server has said that
// it has it. Kept by the lesson's own name, so that no other lesson ever shows it.

import { drop, dropAll, dropSent, kept, keptOf, put } from "./drafts-kept.js";

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */
/** @typedef {import("./drafts-kept.js").Draft} Draft */

const said = document.getElementById("said");
const gone = document.querySelector("[data-unkept-of]");
let leaving = false; // with what was typed left behind on purpose

/** The value that the server has. @param {Field} field */
function given(field) {
  if (field.dataset.now !== undefined) return field.dataset.now;
  if (field instanceof HTMLSelectElement) {
    const chosen = [...field.options].find((option) => option.defaultSelected) || field.options[0];
    return chosen ? chosen.value : "";
  }
  return field.defaultValue;
}

/** @param {HTMLFormElement} form */
function fields(form) {
  return /** @type {Field[]} */ ([...form.querySelectorAll("input[name]:not([type=hidden]), select[name], textarea[name]")]);
}

/** @param {Field} field */
function key(field) {
  return `${field.form?.dataset.draft} ${field.name}`;
}

/** What a field is called, with what it is a field of. @param {Field} field */
function called(field) {
  const label = field.labels && field.labels[0] ? String(field.labels[0].firstChild?.textContent).trim() : field.name;
  const whole = field.closest("section")?.querySelector("h2")?.textContent || "";
  return `${whole}, ${label}`;
}

/** @param {Field} field @param {string} value */
function inWords(field, value) {
  if (!(field instanceof HTMLSelectElement)) return value;
  return [...field.options].find((option) => option.value === value)?.text || value;
}

/** @param {Field} field */
function keep(field) {
  if (field.value === given(field)) drop(key(field));
  else put(key(field), { from: given(field), to: field.value, called: called(field), words: inWords(field, field.value) });
}

/** What stands there now, beside a field that holds something else: nobody keeps one over the other unseen. @param {Field} field */
function beside(field) {
  const there = given(field), line = document.createElement("span");
  if (!there) return;
  line.className = "now written";
  line.dataset.units = "kept";
  line.textContent = `now: ${inWords(field, there)}`;
  field.after(line);
  const follow = () => { line.hidden = field.value === there; };
  field.addEventListener("input", follow);
  follow();
}

/** Whether all of a form is kept, in words at its foot. @param {HTMLFormElement} form */
function tell(form) {
  const says = form.querySelector(".unkept[role=status]");
  const open = fields(form).some((field) => field.value !== given(field));
  if (says && open !== Boolean(says.textContent)) says.textContent = open ? "Not kept yet." : "";
}

/** @param {string} text @param {() => void} does */
function button(text, does) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "plain";
  made.textContent = text;
  made.addEventListener("click", does);
  return made;
}

/** What was typed upon something else than what stands there now. @param {Field} field @param {Draft} draft */
function offer(field, draft) {
  const line = document.createElement("p");
  line.className = "unkept offered";
  const words = document.createElement("span");
  words.className = "written";
  words.textContent = `${called(field)}: you typed “${inWords(field, draft.to)}”, and it was changed before that was kept.`;
  line.append(
    words,
    button("Put it in its field", () => { field.value = draft.to; beside(field); keep(field); line.remove(); field.focus(); tell(/** @type {HTMLFormElement} */ (field.form)); }),
    button("Drop it", () => { drop(key(field)); line.remove(); field.focus(); }),
  );
  field.closest("details")?.setAttribute("open", "");
  (field.closest(".fields") || field).after(line);
}

/** @param {HTMLFormElement} form */
function restore(form) {
  for (const field of fields(form)) {
    const draft = kept(key(field));
    if ("unkept" in form.dataset) {
      if (field.value !== given(field)) keep(field); // the server could not keep it, and gave it back
    } else if (draft) {
      if (draft.to === given(field)) drop(key(field));
      else if (draft.from !== given(field)) offer(field, draft);
      else {
        field.value = draft.to;
        beside(field);
        field.closest("details")?.setAttribute("open", "");
      }
    }
  }
  const says = document.createElement("p");
  says.className = "unkept";
  says.setAttribute("role", "status");
  form.append(says);
  tell(form);
}

/** What was typed on a lesson that was signed before it was kept. @param {HTMLElement} section */
function listed(section) {
  const all = section.querySelector("ul");
  for (const [name, draft] of keptOf(String(section.dataset.unkeptOf))) {
    const line = document.createElement("li"), words = document.createElement("span");
    words.className = "written";
    words.textContent = `${draft.called}: ${draft.words}`;
    line.append(words, button("Drop it", () => {
      drop(name);
      line.remove();
      section.hidden = !all?.children.length;
    }));
    all?.append(line);
    section.hidden = false;
  }
}

/** Nobody signs past what is still only typed, here or in another tab, without being told. @param {HTMLFormElement} form @param {Event} event */
function beforeSigning(form, event) {
  const open = keptOf(String(form.dataset.draft).split(" ")[0]);
  const names = [...new Set(open.map(([, draft]) => draft.called.split(",")[0]))].join(", ");
  if (!open.length || form.dataset.told === names) return;
  event.preventDefault();
  form.dataset.told = names;
  const says = form.querySelector(".unkept[role=status]");
  if (says) says.textContent = `Typed and not kept: ${names}. Keep it first; signed once more, the lesson is signed without it.`;
}

/** To what was kept, and its word is taken out of the address: it is good for once. */
function arrive() {
  history.replaceState(null, "", `${location.pathname}#${said?.dataset.part}`);
  const at = document.activeElement;
  if (!at || at === document.body || at.matches("main")) said?.focus();
}

const forms = /** @type {HTMLFormElement[]} */ ([...document.querySelectorAll("form[data-draft]")]);
const sent = "groundref sent";
if (said) {
  dropSent(sent);
  if (gone instanceof HTMLElement && said.dataset.part === "signature") dropAll(String(gone.dataset.unkeptOf));
  const place = document.getElementById(String(said.dataset.part));
  if (place?.matches("article")) place.prepend(said);
  // Not before the browser has gone to the place in the address itself: it takes the focus along.
  if (document.readyState === "complete") arrive();
  else addEventListener("load", () => setTimeout(arrive));
}
for (const form of forms) restore(form);
if (gone instanceof HTMLElement) listed(gone);

document.addEventListener("input", (event) => {
  const field = /** @type {Field} */ (event.target), form = field.form;
  if (!form || !form.dataset.draft || !field.name) return;
  keep(field);
  tell(form);
});
document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  if (!form.dataset.draft) return;
  if (form.matches("#signature form") && form.elements.namedItem("instructor")) beforeSigning(form, event);
  if (event.defaultPrevented) return;
  const values = fields(form).map((field) => [key(field), field.value]);
  sessionStorage.setItem(sent, JSON.stringify(Object.fromEntries(values)));
});
document.addEventListener("click", (event) => {
  const link = event.target instanceof HTMLElement && event.target.closest("[data-drop]");
  if (!(link instanceof HTMLElement)) return;
  leaving = true;
  for (const form of forms) for (const field of fields(form)) drop(key(field));
});
// Another tab may have kept its own words, or dropped these, while they stood in this one.
addEventListener("pagehide", () => {
  if (!leaving) for (const form of forms) for (const field of fields(form)) if (field.value !== given(field)) keep(field);
});
addEventListener("pageshow", (event) => { if (event.persisted) said?.remove(); });
