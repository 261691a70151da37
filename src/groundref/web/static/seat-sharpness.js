// @ts-check
// How finely the picture is drawn: in motion as finely as the renderer keeps up with, at rest finer than the screen,
// which smooths its edges. What a frame costs without a graphics card goes with its pixels, whatever is in it.

const FINEST = 2, COARSEST = 0.5; // pixels of the picture along one CSS pixel
const LATE = 34, WANTED = 22, IN_TIME = 20; // [ms] from asking for a frame to drawing it
const FINER = 1.25; // a step back up
const PATIENCE = 60; // frames in time before one
export const REST = 300; // [ms] without a movement

export class Sharpness {
  constructor() {
    this.most = FINEST; // that it has kept up with
    this.moving = Math.min(devicePixelRatio, FINEST);
    this.late = this.inTime = 0;
    this.raised = false;
  }

  /** For a picture that stands still. */
  get still() {
    return FINEST;
  }

  /** For the next frame of a movement. @param {number} waited for this one [ms] */
  next(waited) {
    this.late = waited > LATE ? this.late + 1 : 0;
    this.inTime = waited < IN_TIME ? this.inTime + 1 : 0;
    if (this.late === 2) this.coarser(waited);
    else if (this.inTime === PATIENCE) this.finer();
    return this.moving;
  }

  /** @param {number} waited [ms] */
  coarser(waited) {
    if (this.raised) this.most = this.moving / FINER; // and it stays there
    this.moving = Math.max(COARSEST, this.moving * Math.max(0.5, Math.sqrt(WANTED / waited)));
    this.late = this.inTime = 0;
    this.raised = false;
  }

  finer() {
    const before = this.moving;
    this.moving = Math.max(before, Math.min(this.most, before * FINER));
    this.raised = this.moving > before;
    this.late = this.inTime = 0;
  }
}
