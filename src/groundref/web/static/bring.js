// @ts-check
// A recording by drop, choice or paste: sent at once, with what is being done said in words.

const form = /** @type {HTMLFormElement} */ (document.querySelector("form.bring"));
const files = /** @type {HTMLInputElement} */ (form.elements.namedItem("recordings"));
const doing = /** @type {HTMLElement} */ (form.querySelector(".doing"));
const ways = /** @type {HTMLElement} */ (form.querySelector(".goes-on"));

/** Say how far it is, or why it did not work. @param {string} words @param {boolean} [wrong] */
function said(words, wrong = false) {
  doing.textContent = words;
  doing.classList.toggle("wrong", wrong);
  ways.replaceChildren();
  doing.scrollIntoView({ block: "nearest" });  // what is dropped far down the page is answered up here
}

/** @typedef {{place: number, lesson: number, page: string}} Held what the record has already */

/** What was brought is there already: said, and nobody is led away unasked. @param {string} words @param {Held[]} held @param {File[]} list */
function thereAlready(words, held, list) {
  said(words);
  const rest = list.filter((_, place) => held.every((one) => one.place !== place));
  for (const one of new Map(held.map((each) => [each.lesson, each])).values()) {
    const link = document.createElement("a");
    link.className = "as-button";
    link.href = one.page;
    link.textContent = `Go on to lesson ${one.lesson}`;
    ways.append(link);
  }
  if (rest.length) {
    const alone = document.createElement("button");
    alone.type = "button";
    alone.textContent = rest.length === 1 ? "Debrief the new file alone" : `Debrief the ${rest.length} new files alone`;
    alone.addEventListener("click", () => send(rest));
    ways.append(alone);
  }
  /** @type {HTMLElement | null} */ (ways.querySelector("a, button"))?.focus();
}

let sending = false;

/** @param {FileList | File[]} files */
function send(files) {
  if (sending) return;  // such as by the button, while what was chosen is on its way
  sending = true;
  const list = [...files];
  const data = new FormData();
  for (const file of list) data.append("recordings", file, file.name || "pasted");
  const request = new XMLHttpRequest();
  request.open("POST", form.action);
  request.setRequestHeader("accept", "application/json");
  request.upload.addEventListener("progress", (event) => {
    said(event.loaded < event.total
      ? `Sending, ${Math.round((100 * event.loaded) / event.total)} % …`
      : "Reading it and working out the debrief …");
  });
  request.addEventListener("load", () => {
    sending = request.status === 201;  // until its lesson is there
    /** @type {{page: string, error: string, says: string, held?: Held[]}} the one or the other, by the status */
    const answer = JSON.parse(request.responseText);
    if (answer.held) thereAlready(answer.says, answer.held, list);
    else if (request.status === 201) location.assign(answer.page);
    else said(answer.error, true);
  });
  request.addEventListener("error", () => {
    sending = false;
    said("The server does not answer; is it still running?", true);
  });
  request.send(data);
}

form.addEventListener("submit", (event) => {
  if (!files.files || !files.files.length) return;
  event.preventDefault();
  send(files.files);
});
addEventListener("pageshow", () => { sending = false; });  // come back to
files.addEventListener("change", () => { if (files.files && files.files.length) send(files.files); });
for (const name of ["dragenter", "dragover"]) {
  document.addEventListener(name, (event) => { event.preventDefault(); form.classList.add("over"); });
}
document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) form.classList.remove("over"); });
document.addEventListener("drop", (event) => {
  event.preventDefault();
  form.classList.remove("over");
  if (event.dataTransfer && event.dataTransfer.files.length) send(event.dataTransfer.files);
});
document.addEventListener("paste", (event) => {
  const pasted = event.clipboardData;
  if (!pasted || event.target instanceof HTMLTextAreaElement) return;
  if (pasted.files.length) send(pasted.files);
  else if (pasted.getData("text").length > 200) send([new File([pasted.getData("text")], "pasted")]);
});
