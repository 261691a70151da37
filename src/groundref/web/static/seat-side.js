// @ts-check
// The drawing from the side, where there are no three dimensions: its mark moves with the moment.

import { nearest } from "./seat-moment.js";

/** @param {SVGSVGElement} svg @param {import("./seat.js").Flight} flight @param {number} at [s] */
export function mark(svg, flight, at) {
  const dot = /** @type {SVGCircleElement} */ (svg.querySelector(".cursor")), row = nearest(flight.seconds, at);
  const columns = flight.seat.columns;
  const ahead = columns && columns.ahead_of_wing_deg[row], above = columns && columns.above_wing_deg[row];
  dot.toggleAttribute("hidden", ahead === null || above === null);
  if (ahead === null || above === null) return;
  dot.setAttribute("cx", String(Number(dot.dataset.x) + Number(dot.dataset.right) * ahead));
  dot.setAttribute("cy", String(Number(dot.dataset.y) - Number(dot.dataset.up) * above));
}
