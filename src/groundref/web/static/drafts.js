// @ts-check
// What is typed is not lost on a reload: each field is kept until the server has it.

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */

/** The value that the server gave. @param {Field} field */
function given(field) {
  if (field instanceof HTMLSelectElement) {
    const chosen = [...field.options].find((option) => option.defaultSelected) || field.options[0];
    return chosen ? chosen.value : "";
  }
  return field.defaultValue;
}

for (const [index, form] of [...document.querySelectorAll("form[data-draft]")].entries()) {
  const fields = /** @type {Field[]} */ ([...form.querySelectorAll("input[name]:not([type=hidden]), select[name], textarea[name]")]);
  for (const field of fields) {
    const key = `draft ${location.pathname} ${index} ${field.name}`;
    const kept = localStorage.getItem(key);
    if (kept !== null) {
      /** @type {{from: string, to: string}} */
      const { from, to } = JSON.parse(kept);
      // Somebody else may have written since: then what the server has is shown.
      if (from === given(field) && to !== from) field.value = to;
      else localStorage.removeItem(key);
    }
    field.addEventListener("input", () => {
      if (field.value === given(field)) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify({ from: given(field), to: field.value }));
    });
  }
}
