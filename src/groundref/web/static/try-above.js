// @ts-check
// The picture from above, north up, in meters about the point: the way flown, and what a held bank leads to.

const LEAST = 12; // [m] between points of the way that are drawn

export class Above {
  /** @param {SVGSVGElement} svg */
  constructor(svg) {
    this.svg = svg;
    this.radius = Number(svg.dataset.radius);
    this.way = /** @type {SVGPolylineElement} */ (svg.querySelector(".way"));
    this.plane = /** @type {SVGGElement} */ (svg.querySelector(".plane"));
    this.point = /** @type {SVGGElement} */ (svg.querySelector(".point"));
    this.ahead = /** @type {SVGPathElement} */ (svg.querySelector(".next"));
    this.line = /** @type {SVGLineElement} */ (svg.querySelector(".drift"));
    /** Left, upper, right and lower edge of what is shown. @type {[number, number, number, number]} */
    this.box = [0, 0, 0, 0];
    this.size = 1;
    this.clear();
  }

  clear() {
    this.way.points.clear();
    /** @type {[number, number] | undefined} */
    this.last = undefined;
    this.next([]);
    this.line.setAttribute("hidden", "");
    const half = 1.7 * this.radius;
    this.box = [-half, -half, half, half];
    this.fit();
  }

  /** Show as much as there is to see, square. */
  fit() {
    const [left, top, right, bottom] = this.box;
    const side = Math.max(right - left, bottom - top);
    const x = (left + right - side) / 2, y = (top + bottom - side) / 2;
    this.svg.setAttribute("viewBox", `${x} ${y} ${side} ${side}`);
    this.size = side / 420; // of the marks, so that they stay as large whatever is shown
    this.point.setAttribute("transform", `scale(${this.size})`);
  }

  /** @param {number} east @param {number} north */
  include(east, north) {
    const room = 0.25 * this.radius;
    const [left, top, right, bottom] = this.box;
    /** @type {[number, number, number, number]} */
    const grown = [Math.min(left, east - room), Math.min(top, -north - room), Math.max(right, east + room), Math.max(bottom, -north + room)];
    if (grown.some((edge, i) => edge !== this.box[i])) { this.box = grown; this.fit(); }
  }

  /** @param {number} east @param {number} north @param {number} heading */
  move(east, north, heading) {
    this.include(east, north);
    this.plane.setAttribute("transform", `translate(${east} ${-north}) rotate(${heading}) scale(${this.size})`);
    if (this.last && Math.hypot(east - this.last[0], north - this.last[1]) < LEAST) return;
    this.last = [east, north];
    const at = this.svg.createSVGPoint();
    at.x = east;
    at.y = -north;
    this.way.points.appendItem(at);
  }

  /** The lap that the held bank leads to. @param {[number, number][]} path */
  next(path) {
    this.ahead.toggleAttribute("hidden", !path.length);
    if (!path.length) return;
    for (const [east, north] of path) this.include(east, north);
    this.ahead.setAttribute("d", `M${path.map(([east, north]) => `${east} ${-north}`).join("L")}`);
  }

  /** @param {[number, number]} from @param {[number, number]} to */
  drift(from, to) {
    this.line.removeAttribute("hidden");
    this.line.setAttribute("x1", String(from[0]));
    this.line.setAttribute("y1", String(-from[1]));
    this.line.setAttribute("x2", String(to[0]));
    this.line.setAttribute("y2", String(-to[1]));
  }
}
