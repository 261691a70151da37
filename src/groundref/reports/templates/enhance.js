// Only a convenience: one slider that points to the same moment in all pictures of a maneuver. A page around this one
// is told of it by the event "moment", and moves it with the event "go"; both carry seconds from the start.
for (const article of document.querySelectorAll("article.maneuver")) {
  const data = JSON.parse(article.querySelector("script.moments").textContent);
  const box = article.querySelector(".moment");
  const slider = box.querySelector("input");
  const output = box.querySelector("output");
  const pictures = [...article.querySelectorAll("svg.figure")];
  const over = pictures.map((svg) => [svg, svg.querySelector(".cursor"), data[svg.id.slice(article.id.length + 1)]]).filter(([, dot]) => dot);
  const along = pictures.map((svg) => [svg, svg.querySelector(".cursor-line")]).filter(([, line]) => line);
  let shown = -1;
  const show = (step) => {
    if (step === shown) return;
    shown = step;
    for (const [, dot, places] of over) {
      const place = places[step];
      dot.setAttribute("visibility", place ? "visible" : "hidden");
      if (place) { dot.setAttribute("cx", place[0]); dot.setAttribute("cy", place[1]); }
    }
    for (const [, line] of along) {
      line.setAttribute("visibility", "visible");
      line.setAttribute("x1", data.time[step]);
      line.setAttribute("x2", data.time[step]);
    }
    output.textContent = data.says[step];
    slider.setAttribute("aria-valuetext", data.says[step]);
    slider.value = step;
  };
  const chosen = (step) => {
    show(step);
    article.dispatchEvent(new CustomEvent("moment", { bubbles: true, detail: data.seconds[step] }));
  };
  const nearest = (places, x, y) => {
    let best = -1, least = 900;
    places.forEach((p, i) => {
      if (!p) return;
      const far = (p[0] - x) ** 2 + (y === null ? 0 : (p[1] - y) ** 2);
      if (far < least) { least = far; best = i; }
    });
    return best;
  };
  const follow = (svg, find) => svg.addEventListener("pointermove", (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    const step = find(at);
    if (step >= 0) chosen(step);
  });
  const times = data.time.map((t) => [t, 0]);
  for (const [svg, , places] of over) follow(svg, (at) => nearest(places, at.x, at.y));
  for (const [svg] of along) follow(svg, (at) => nearest(times, at.x, null));
  slider.max = data.time.length - 1;
  slider.addEventListener("input", () => chosen(Number(slider.value)));
  article.dataset.from = data.seconds[0];
  article.dataset.to = data.seconds[data.seconds.length - 1];
  article.addEventListener("go", (event) => {
    let low = 0, high = data.seconds.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (data.seconds[middle] < event.detail) low = middle + 1; else high = middle;
    }
    show(low > 0 && event.detail - data.seconds[low - 1] < data.seconds[low] - event.detail ? low - 1 : low);
  });
  output.textContent = data.says[0];
  slider.setAttribute("aria-valuetext", data.says[0]);
  box.hidden = false;
}
