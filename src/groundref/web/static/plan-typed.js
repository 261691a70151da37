// @ts-check
// What is typed into the form of a plan and not planned yet outlives a reload: it is kept in this tab, for the address
// and the units that it was typed at, and dropped once there is a plan of it.

const KEPT = "plan typed";

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */
/** @typedef {{at: string, values: Record<string, string>}} Typed */

const at = () => `${document.documentElement.dataset.units} ${location.search}`;

/** @param {HTMLFormElement} form */
function fields(form) {
  return /** @type {Field[]} */ ([...form.elements].filter((one) => one.id && "value" in one));
}

/** @param {Field} field */
function value(field) {
  return field instanceof HTMLInputElement && field.type === "checkbox" ? (field.checked ? "on" : "") : field.value;
}

/** @param {HTMLFormElement} form */
export function keepTyped(form) {
  const values = Object.fromEntries(fields(form).map((field) => [field.id, value(field)]));
  sessionStorage.setItem(KEPT, JSON.stringify({ at: at(), values }));
}

export function dropTyped() {
  sessionStorage.removeItem(KEPT);
}

/** Put back what was typed at this address; whether anything was. @param {HTMLFormElement} form */
export function putBack(form) {
  /** @type {Typed | null} */
  const typed = JSON.parse(sessionStorage.getItem(KEPT) || "null");
  if (!typed || typed.at !== at()) return false;
  let any = false;
  for (const field of fields(form)) {
    const was = typed.values[field.id];
    if (was === undefined || was === value(field)) continue;
    if (field instanceof HTMLInputElement && field.type === "checkbox") field.checked = was === "on";
    else field.value = was;
    field.closest("details")?.setAttribute("open", "");
    any = true;
  }
  return any;
}
