// @ts-check
// Own verdicts: a reason is asked for where a verdict contradicts the recording, before the form is sent.

for (const row of document.querySelectorAll(".fields.own")) {
  const choice = row.querySelector("select");
  const why = row.querySelector("textarea");
  const whether = row.querySelector(".whether");
  if (!choice || !why || !whether) continue;
  const recorded = choice.dataset.recorded || "";

  const ask = () => {
    const contradicts = choice.value !== "" && choice.value !== recorded && recorded !== "undetermined";
    const missing = contradicts && !why.value.trim();
    whether.textContent = contradicts ? "(needed: it differs from the recording)" : "(optional)";
    why.required = contradicts;
    why.setCustomValidity(missing ? "Say why you saw it otherwise than the recording shows." : "");
  };
  choice.addEventListener("input", ask);
  why.addEventListener("input", ask);
  ask();
}
