// Only a convenience: one slider that points to the same moment in all pictures of a maneuver.
for (const article of document.querySelectorAll("article.maneuver")) {
  const data = JSON.parse(article.querySelector("script.moments").textContent);
  const box = article.querySelector(".moment");
  const slider = box.querySelector("input");
  const output = box.querySelector("output");
  const pictures = [...article.querySelectorAll("svg.figure")];
  const over = pictures.map((svg) => [svg, svg.querySelector(".cursor"), data[svg.id.slice(article.id.length + 1)]]).filter(([, dot]) => dot);
  const along = pictures.map((svg) => [svg, svg.querySelector(".cursor-line")]).filter(([, line]) => line);
  const show = (step) => {
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
    if (step >= 0) show(step);
  });
  const times = data.time.map((t) => [t, 0]);
  for (const [svg, , places] of over) follow(svg, (at) => nearest(places, at.x, at.y));
  for (const [svg] of along) follow(svg, (at) => nearest(times, at.x, null));
  slider.max = data.time.length - 1;
  slider.addEventListener("input", () => show(Number(slider.value)));
  output.textContent = data.says[0];
  slider.setAttribute("aria-valuetext", data.says[0]);
  box.hidden = false;
}
