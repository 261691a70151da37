// @ts-check
// Only a convenience: one slider that points to the same moment in all pictures of a maneuver. A page around this one
// is told of it by the event "moment", and moves it with the event "go"; both carry seconds from the start.

/** @typedef {([number, number] | null)[]} Places on the paper of a picture, null where off it */

/** @param {HTMLElement} article */
function link(article) {
  const text = /** @type {Element} */ (article.querySelector("script.moments")).textContent || "";
  /** @type {{time: number[], seconds: number[], says: string[]}} */
  const data = JSON.parse(text);
  /** @type {Record<string, Places>} by the name of a picture */
  const placed = JSON.parse(text);
  const box = /** @type {HTMLElement} */ (article.querySelector(".moment"));
  const slider = /** @type {HTMLInputElement} */ (box.querySelector("input"));
  const output = /** @type {HTMLOutputElement} */ (box.querySelector("output"));
  /** @type {{svg: SVGSVGElement, dot: Element, places: Places}[]} */
  const over = [];
  /** @type {{svg: SVGSVGElement, line: Element}[]} */
  const along = [];
  for (const svg of /** @type {NodeListOf<SVGSVGElement>} */ (article.querySelectorAll("svg.figure"))) {
    const dot = svg.querySelector(".cursor"), line = svg.querySelector(".cursor-line");
    if (dot) over.push({ svg, dot, places: placed[svg.id.slice(article.id.length + 1)] });
    if (line) along.push({ svg, line });
  }
  const elsewhere = "The moment marked is not in this maneuver; this slider brings it here.";
  let shown = -1;
  /** @param {number} step */
  const show = (step) => {
    if (step === shown) return;
    shown = step;
    for (const { dot, places } of over) {
      const place = places[step];
      dot.setAttribute("visibility", place ? "visible" : "hidden");
      if (place) { dot.setAttribute("cx", String(place[0])); dot.setAttribute("cy", String(place[1])); }
    }
    for (const { line } of along) {
      line.setAttribute("visibility", "visible");
      line.setAttribute("x1", String(data.time[step]));
      line.setAttribute("x2", String(data.time[step]));
    }
    output.textContent = data.says[step];
    slider.setAttribute("aria-valuetext", data.says[step]);
    slider.value = String(step);
  };
  /** Mark nothing: the moment is before this maneuver or after it. @param {boolean} after */
  const away = (after) => {
    slider.value = after ? slider.max : "0";
    if (output.textContent === elsewhere) return;
    shown = -1;
    for (const mark of [...over.map((each) => each.dot), ...along.map((each) => each.line)]) mark.setAttribute("visibility", "hidden");
    output.textContent = elsewhere;
    slider.setAttribute("aria-valuetext", elsewhere);
  };
  /** @param {number} step */
  const chosen = (step) => {
    show(step);
    article.dispatchEvent(new CustomEvent("moment", { bubbles: true, detail: data.seconds[step] }));
  };
  /** @param {Places} places @param {number} x @param {number | null} y */
  const nearest = (places, x, y) => {
    let best = -1, least = 900;
    places.forEach((p, i) => {
      if (!p) return;
      const far = (p[0] - x) ** 2 + (y === null ? 0 : (p[1] - y) ** 2);
      if (far < least) { least = far; best = i; }
    });
    return best;
  };
  /** @param {SVGSVGElement} svg @param {(at: DOMPoint) => number} find */
  const follow = (svg, find) => svg.addEventListener("pointermove", (event) => {
    const shape = svg.getScreenCTM();
    const step = shape ? find(new DOMPoint(event.clientX, event.clientY).matrixTransform(shape.inverse())) : -1;
    if (step >= 0) chosen(step);
  });
  /** @type {Places} */
  const times = data.time.map((t) => [t, 0]);
  for (const { svg, places } of over) follow(svg, (at) => nearest(places, at.x, at.y));
  for (const { svg } of along) follow(svg, (at) => nearest(times, at.x, null));
  slider.max = String(data.time.length - 1);
  slider.addEventListener("input", () => chosen(Number(slider.value)));
  article.dataset.from = String(data.seconds[0]);
  article.dataset.to = String(data.seconds[data.seconds.length - 1]);
  /** @param {number} asked seconds from the start */
  const go = (asked) => {
    const last = data.seconds.length - 1;
    if (asked < data.seconds[0] || asked > data.seconds[last]) { away(asked > data.seconds[last]); return; }
    let low = 0, high = data.seconds.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (data.seconds[middle] < asked) low = middle + 1; else high = middle;
    }
    show(low > 0 && asked - data.seconds[low - 1] < data.seconds[low] - asked ? low - 1 : low);
  };
  article.addEventListener("go", (event) => go(/** @type {CustomEvent<number>} */ (event).detail));
  // The page has one moment: what is pointed at in one maneuver is not in the others.
  document.addEventListener("moment", (event) => {
    if (event.target !== article) go(/** @type {CustomEvent<number>} */ (event).detail);
  });
  output.textContent = data.says[0];
  slider.setAttribute("aria-valuetext", data.says[0]);
  box.hidden = false;
}

for (const article of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("article.maneuver"))) link(article);
