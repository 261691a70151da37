// Only a convenience: one slider that points to the same moment in all three pictures.
for (const article of document.querySelectorAll("article.maneuver")) {
  const data = JSON.parse(article.querySelector("script.moments").textContent);
  const box = article.querySelector(".moment");
  const slider = box.querySelector("input");
  const output = box.querySelector("output");
  const dots = ["circle", "bank"].map((name) => [data[name], article.querySelector(`#${article.id}-${name} .cursor`)]);
  const line = article.querySelector(`#${article.id}-strips .cursor-line`);
  const show = (step) => {
    for (const [places, dot] of dots) {
      const place = places[step];
      dot.setAttribute("visibility", place ? "visible" : "hidden");
      if (place) { dot.setAttribute("cx", place[0]); dot.setAttribute("cy", place[1]); }
    }
    line.setAttribute("visibility", "visible");
    line.setAttribute("x1", data.time[step]);
    line.setAttribute("x2", data.time[step]);
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
  slider.max = data.time.length - 1;
  slider.addEventListener("input", () => show(Number(slider.value)));
  for (const name of ["circle", "bank", "strips"]) {
    const svg = article.querySelector(`#${article.id}-${name}`);
    svg.addEventListener("pointermove", (event) => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      const step = name === "strips" ? nearest(data.time.map((t) => [t, 0]), at.x, null) : nearest(data[name], at.x, at.y);
      if (step >= 0) show(step);
    });
  }
  output.textContent = data.says[0];
  slider.setAttribute("aria-valuetext", data.says[0]);
  box.hidden = false;
}
