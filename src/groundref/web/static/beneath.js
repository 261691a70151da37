// @ts-check
// A map beneath the pictures from above, where the user named a source: off until it is switched on, and then in all
// pictures of this browser. The server draws it in the units of the picture that it is for.

const KEPT = "map-beneath";
const named = /** @type {HTMLMetaElement} */ (document.querySelector("meta[name=map]"));
export const credit = `Map: ${named.dataset.credit || ""}`;

/**
 * The map that an address draws: its group, and why there is none.
 * @param {string} path @param {Record<string, string | number>} asked
 * @returns {Promise<{group: SVGGElement | null, says: string}>}
 */
export async function drawn(path, asked) {
  const said = new URLSearchParams({ of: named.content });
  for (const [name, value] of Object.entries(asked)) said.set(name, String(value));
  try {
    const answer = await fetch(`${path}?${said}`);
    if (!answer.ok) return { group: null, says: (await answer.json()).error };
    const whole = new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement;
    const group = /** @type {SVGGElement} */ (document.adoptNode(/** @type {Element} */ (whole.firstElementChild)));
    return { group, says: whole.dataset.says || "" };
  } catch {
    return { group: null, says: "The server does not answer; is it still running?" };
  }
}

/** The switches on the page, one for each picture from above. @type {Set<{svg: SVGSVGElement, set: (on: boolean) => void}>} */
const switches = new Set();

/** @returns {boolean} */
function wanted() {
  try { return localStorage.getItem(KEPT) === "on"; } catch { return false; }
}

/** @param {boolean} on */
function want(on) {
  try { localStorage.setItem(KEPT, on ? "on" : "off"); } catch { /* not kept, then */ }
  for (const one of switches) one.set(on);
}

/** @param {SVGSVGElement} svg */
function add(svg) {
  const [lat, lon, x, y, scale] = String(svg.dataset.ground).split(" ");
  const { width, height } = svg.viewBox.baseVal;
  const row = document.createElement("div");
  row.className = "map-row";
  const label = document.createElement("label");
  const box = document.createElement("input");
  box.type = "checkbox";
  label.append(box, " Map beneath");
  const says = document.createElement("span");
  says.setAttribute("role", "status");
  row.append(label, says);
  const figure = svg.closest("figure") || /** @type {HTMLElement} */ (svg.parentElement);
  const caption = figure.querySelector("figcaption");
  if (caption) caption.before(row); else figure.append(row);

  /** @type {SVGGElement | null} */
  let group = null;
  let asking = false;
  /** @param {boolean} on */
  const set = async (on) => {
    box.checked = on;
    if (group) group.classList.toggle("off", !on);
    says.textContent = on && group ? credit : "";
    if (!on || group || asking) return;
    asking = true;
    const found = await drawn("/api/map/beneath", { lat, lon, x, y, scale, width, height });
    asking = false;
    if (found.group && !found.says) {
      group = found.group;
      /** @type {Element} */ (svg.querySelector("desc")).after(group);
      group.classList.toggle("off", !box.checked);
    }
    says.textContent = box.checked ? found.says || credit : "";
  };
  box.addEventListener("change", () => want(box.checked));
  switches.add({ svg, set });
  set(wanted());
}

/** Bring the switch to pictures that are new on the page, and forget those that are gone. */
function look() {
  for (const one of switches) if (!one.svg.isConnected) switches.delete(one);
  const known = new Set(Array.from(switches, (one) => one.svg));
  for (const svg of /** @type {NodeListOf<SVGSVGElement>} */ (document.querySelectorAll("svg[data-ground]"))) {
    if (!known.has(svg)) add(svg);
  }
}

look();
document.addEventListener("drawn", look); // a plan that took another's place
addEventListener("storage", (event) => { if (event.key === KEPT) for (const one of switches) one.set(wanted()); });
