// @ts-check
// Where a browser keeps what was typed and is not kept by the server: by lesson, form and field.

/** @typedef {{from: string, to: string, called: string, words: string}} Draft */

const MARK = "draft ";

/** @param {string} key @returns {Draft | null} */
export function kept(key) {
  const text = localStorage.getItem(MARK + key);
  return text === null ? null : JSON.parse(text);
}

/** @param {string} key @param {Draft} draft */
export function put(key, draft) {
  localStorage.setItem(MARK + key, JSON.stringify(draft));
}

/** @param {string} key */
export function drop(key) {
  localStorage.removeItem(MARK + key);
}

/** All of a lesson but who was about to sign it. @param {string} lesson @returns {[string, Draft][]} */
export function keptOf(lesson) {
  return Object.keys(localStorage)
    .filter((name) => name.startsWith(`${MARK}${lesson} `) && !name.startsWith(`${MARK}${lesson} signature`))
    .sort()
    .map((name) => name.slice(MARK.length))
    .map((key) => /** @type {[string, Draft]} */ ([key, kept(key)]));
}

/** @param {string} lesson */
export function dropAll(lesson) {
  for (const name of Object.keys(localStorage)) if (name.startsWith(`${MARK}${lesson} `)) localStorage.removeItem(name);
}

/** Drop what this tab sent and the server has kept; what another tab typed since stays. @param {string} where */
export function dropSent(where) {
  /** @type {Record<string, string>} */
  const sent = JSON.parse(sessionStorage.getItem(where) || "{}");
  for (const [key, value] of Object.entries(sent)) if (kept(key)?.to === value) drop(key);
  sessionStorage.removeItem(where);
}
