// @ts-check
// The picture from the pilot's seat, for any page: ground, horizon, wing and what is flown about, at any instant.
// Where the airplane is comes from the server (groundref/replay/1); here it is only drawn, in perspective.

import { between } from "./seat-moment.js";
import { REST, Sharpness } from "./seat-sharpness.js";

/**
 * @typedef {typeof import("./vendor/three-0.185.0/three.module.min.js")} Three
 * @typedef {(number | null)[]} Column
 * @typedef {[number, number, number]} Corner ahead, outward, below, from the eye
 * @typedef {{what: string, east_m: number, north_m: number}} Spot
 * @typedef {{type: string, places_m: [number, number][], radius_m: number | null}} Ground
 * @typedef {{up_m: Column, about: Column, side: number[], depression_deg: Column, above_wing_deg: Column, ahead_of_wing_deg: Column, hidden: boolean[]}} Columns
 * @typedef {{wing_m: Record<"left" | "right", [Corner, Corner, Corner, Corner]>}} Airplane
 * @typedef {{why: string, spots: Spot[], ground: Ground[], columns: Columns | null, airplane: Airplane}} Seen
 * @typedef {{seconds: number[], east_m: Column, north_m: Column, heading_deg: Column, bank_deg: Column, positions?: string[], start?: string, seat: Seen}} Flight
 */

const VIEW = 70; // degrees from the upper to the lower edge
const UNDER_FROM = -75, OVER_TO = 60; // degrees that the head is raised or lowered at most
const degree = Math.PI / 180;

/** Whether this browser draws in three dimensions. */
export function drawsInSpace() {
  try {
    return !!document.createElement("canvas").getContext("webgl2");
  } catch {
    return false;
  }
}

/**
 * Draw the view into an element; the library is loaded now and not before.
 * @param {HTMLElement} element @param {Flight} flight @param {number} at [s]
 */
export async function seat(element, flight, at) {
  const [three, { Scenery }] = await Promise.all([import("./vendor/three-0.185.0/three.module.min.js"), import("./seat-scenery.js")]);
  return new Seat(three, Scenery, element, flight, at);
}

export class Seat {
  /** @param {Three} three @param {typeof import("./seat-scenery.js").Scenery} Scenery @param {HTMLElement} element @param {Flight} flight @param {number} at */
  constructor(three, Scenery, element, flight, at) {
    this.three = three;
    this.element = element;
    this.flight = flight;
    this.renderer = new three.WebGLRenderer({ antialias: false, depth: false, stencil: false });
    this.canvas = /** @type {HTMLCanvasElement} */ (this.renderer.domElement);
    this.canvas.setAttribute("aria-hidden", "true");
    element.append(this.canvas);
    this.camera = new three.PerspectiveCamera(VIEW, 1.5, 0.05, 4e5);
    this.camera.rotation.order = "YXZ";
    this.airplane = new three.Group();
    this.airplane.rotation.order = "YXZ";
    this.airplane.add(this.camera);
    this.scenery = new Scenery(three, flight, this.airplane);
    this.turned = 0; // of the head from the wing line on the side of what is looked at, right positive, degrees
    this.raised = 0;
    this.side = -1;
    this.frames = 0;
    this.width = this.height = 1; // CSS pixels
    this.sharpness = new Sharpness();
    this.ratio = 0; // pixels of the picture along one CSS pixel
    this.asked = this.asking = this.resting = 0;
    this.resized = new ResizeObserver(() => this.fit());
    this.resized.observe(element);
    this.dark = matchMedia("(prefers-color-scheme: dark)");
    this.recolor = () => { this.scenery.paint(this.dark.matches); this.draw(); };
    this.dark.addEventListener("change", this.recolor);
    this.scenery.paint(this.dark.matches);
    this.at = at;
    this.place();
    this.fit();
  }

  fit() {
    const { clientWidth, clientHeight } = this.element;
    if (this.ratio && clientWidth === this.width && clientHeight === this.height) return;
    this.width = Math.max(clientWidth, 1);
    this.height = Math.max(clientHeight, 1);
    this.camera.aspect = this.width / this.height;
    this.camera.updateProjectionMatrix();
    this.ratio = 0;
    this.draw();
  }

  /** @param {number} ratio */
  sharpen(ratio) {
    if (ratio === this.ratio) return;
    this.ratio = ratio;
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(this.width, this.height, false);
  }

  /** Show another instant. @param {number} seconds */
  show(seconds) {
    if (seconds === this.at) return;
    this.at = seconds;
    this.place();
    this.draw();
  }

  /** Turn the head by so many degrees, right and up positive. @param {number} right @param {number} up */
  look(right, up) {
    this.turned = Math.max(-150, Math.min(150, this.turned + right));
    this.raised = Math.max(UNDER_FROM, Math.min(OVER_TO, this.raised + up));
    this.place();
    this.draw();
  }

  /** Look along the wing again. */
  lookAlong() {
    this.turned = this.raised = 0;
    this.place();
    this.draw();
  }

  place() {
    const now = between(this.flight, this.at);
    if (!now) return;
    this.side = now.side || this.side;
    this.airplane.position.set(now.east, now.up, -now.north);
    this.airplane.rotation.set(0, -now.heading * degree, -now.bank * degree);
    this.camera.rotation.set(this.raised * degree, -(90 * this.side + this.turned) * degree, 0);
    this.scenery.at(now);
    this.airplane.updateMatrixWorld(true);
    this.now = now;
  }

  /** Where a place on the ground stands in the picture, in CSS pixels from its upper left; null behind one's back. @param {number} east @param {number} north */
  project(east, north) {
    const at = new this.three.Vector3(east, 0, -north).applyMatrix4(this.camera.matrixWorldInverse);
    if (at.z > -this.camera.near) return null;
    at.applyMatrix4(this.camera.projectionMatrix);
    return { x: (0.5 + 0.5 * at.x) * this.width, y: (0.5 - 0.5 * at.y) * this.height };
  }

  /** Where what is flown about stands in the picture, and what the picture is of. */
  marker() {
    const about = this.now ? this.now.about : null, spot = about === null ? undefined : this.flight.seat.spots[about];
    const at = spot ? this.project(spot.east_m, spot.north_m) : null;
    return { at, width: this.width, height: this.height, view_deg: VIEW, side: this.side };
  }

  draw() {
    if (this.asked) return;
    this.asking = performance.now();
    this.asked = requestAnimationFrame(() => {
      this.sharpen(this.sharpness.next(performance.now() - this.asking));
      this.drawNow();
      clearTimeout(this.resting);
      this.resting = setTimeout(() => this.rest(), REST);
    });
  }

  rest() {
    if (this.ratio === this.sharpness.still) return;
    this.sharpen(this.sharpness.still);
    this.drawNow();
  }

  drawNow() {
    this.asked = 0;
    this.renderer.render(this.scenery.world, this.camera);
    this.frames += 1;
  }

  dispose() {
    this.resized.disconnect();
    this.dark.removeEventListener("change", this.recolor);
    cancelAnimationFrame(this.asked);
    clearTimeout(this.resting);
    this.renderer.dispose();
    this.renderer.getContext().getExtension("WEBGL_lose_context")?.loseContext(); // a browser has few of them
    this.canvas.remove();
  }
}
