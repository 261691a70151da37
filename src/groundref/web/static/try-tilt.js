// @ts-check
// The bank by tilting the device, where it has a sensor and its owner allows it: level is how it was held then.

/** Some devices ask their owner first. @typedef {{requestPermission?: () => Promise<"granted" | "denied">}} Asked */

/**
 * @param {HTMLButtonElement} button @param {(bank: number) => void} bank
 */
export function tilting(button, bank) {
  if (!("DeviceOrientationEvent" in globalThis) || !navigator.maxTouchPoints) return;
  const sensor = /** @type {Asked} */ (DeviceOrientationEvent);
  button.hidden = false;
  /** @type {number | undefined} */
  let level;

  /** @param {DeviceOrientationEvent} event */
  const turned = (event) => {
    const now = roll(event);
    if (now === undefined) return;
    level ??= now;
    bank(now - level);
  };

  button.addEventListener("click", async () => {
    const on = button.getAttribute("aria-pressed") === "true";
    removeEventListener("deviceorientation", turned);
    if (!on && typeof sensor.requestPermission === "function" && (await sensor.requestPermission()) !== "granted") return;
    button.setAttribute("aria-pressed", String(!on));
    level = undefined;
    if (!on) addEventListener("deviceorientation", turned);
  });
}

/** How far the screen is turned like a wheel, clockwise positive; whichever way up it is held. @param {DeviceOrientationEvent} event */
function roll(event) {
  if (event.beta === null || event.gamma === null) return undefined;
  const way = screen.orientation ? screen.orientation.angle : 0;
  if (way === 90) return event.beta;
  if (way === 270) return -event.beta;
  return event.gamma;
}
