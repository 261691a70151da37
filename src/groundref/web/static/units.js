// @ts-check
// Lengths and speeds that a script writes, in the units that the reader chose; the page itself says which.

export const metric = document.documentElement.dataset.units === "metric";

/** @param {number} feet */
export const length = (feet) => (metric ? `${Math.round(feet * 0.3048)} m` : `${Math.round(feet)} ft`);

/** A length with the other unit beside it. @param {number} feet */
export const both = (feet) => {
  const us = `${Math.round(feet)} ft`, si = `${Math.round(feet * 0.3048)} m`;
  return metric ? `${si} (${us})` : `${us} (${si})`;
};

/** @param {number} knots */
export const speed = (knots) => (metric ? `${Math.round(knots * 1.852)} km/h` : `${Math.round(knots)} kt`);
