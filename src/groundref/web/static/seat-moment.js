// @ts-check
// One instant of a flight: straight between two samples, as a film is between two pictures.

/** The last sample at or before a time. @param {number[]} seconds @param {number} at */
export function before(seconds, at) {
  let low = 0, high = seconds.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (seconds[middle] <= at) low = middle; else high = middle - 1;
  }
  return low;
}

/** The sample nearest to a time. @param {number[]} seconds @param {number} at */
export function nearest(seconds, at) {
  const low = before(seconds, at), next = Math.min(low + 1, seconds.length - 1);
  return Math.abs(seconds[next] - at) < Math.abs(at - seconds[low]) ? next : low;
}

/** @param {number} from @param {number} to @param {number} share */
const along = (from, to, share) => from + share * (to - from);
/** The short way round, degrees. @param {number} from @param {number} to @param {number} share */
const turned = (from, to, share) => from + share * (((to - from + 540) % 360) - 180);

/**
 * @param {import("./seat.js").Flight} flight @param {number} at [s]
 * @returns {{east: number, north: number, up: number, heading: number, bank: number, about: number | null, side: number} | null}
 */
export function between(flight, at) {
  const { seconds, seat: { columns } } = flight;
  if (!columns) return null;
  const low = before(seconds, at), next = Math.min(low + 1, seconds.length - 1);
  const share = next > low ? Math.max(0, Math.min(1, (at - seconds[low]) / (seconds[next] - seconds[low]))) : 0;
  const row = nearest(seconds, at);
  /** @param {(number | null)[]} column @param {(a: number, b: number, s: number) => number} how */
  const value = (column, how = along) => {
    const one = column[low], other = column[next];
    if (one === null || other === null) return one ?? other;
    return how(one, other, share);
  };
  const east = value(flight.east_m), north = value(flight.north_m), up = value(columns.up_m);
  const heading = value(flight.heading_deg, turned), bank = value(flight.bank_deg);
  if (east === null || north === null || up === null || heading === null || bank === null) return null;
  return { east, north, up, heading, bank, about: columns.about[row], side: columns.side[row] };
}

/** Where the place stands, in one sentence of the server's figures. @param {import("./seat.js").Flight} flight @param {number} at */
export function says(flight, at) {
  if (flight.seat.why) return flight.seat.why;
  const { columns, spots } = flight.seat;
  const row = nearest(flight.seconds, at), bank = flight.bank_deg[row], about = columns && columns.about[row];
  if (!columns || about === null) return "Nothing is flown about here.";
  const ahead = columns.ahead_of_wing_deg[row], above = columns.above_wing_deg[row], below = columns.depression_deg[row];
  if (ahead === null || above === null || below === null || bank === null) return "Nothing is flown about here.";
  const line = Math.round(Math.abs(ahead)) ? `${Math.round(Math.abs(ahead))}° ${ahead > 0 ? "ahead of" : "behind"} the wing line` : "on the wing line";
  const level = Math.round(Math.abs(above)) ? `${Math.round(Math.abs(above))}° ${above > 0 ? "above" : "below"} it` : "level with it";
  const what = spots[about].what;
  const way = Math.round(Math.abs(bank)) ? (bank > 0 ? " right" : " left") : "";
  return `${what[0].toUpperCase()}${what.slice(1)} stands ${Math.round(below)}° below the horizon, ${line} and ${level}, at ${Math.round(Math.abs(bank))}° of bank${way}${columns.hidden[row] ? "; the wing hides it" : ""}.`;
}
