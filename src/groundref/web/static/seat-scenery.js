// @ts-check
// What is drawn: sky, invented fields and roads for scale, what is flown about, and the wings. Flat paper colors.
// Nothing stands before anything else on flat ground, so it is painted from far to near without a depth buffer.

const FIELD = 400, ROAD_EVERY = 4, FIELDS = 48; // [m], in fields, along each side
const FAR = 2e5; // [m]
const RIM = 0.04; // [m]  dark edge of a wing
const LIGHT = { sky: 0xdfe8ee, horizon: 0x55595f, ground: 0xb9bf9d, fields: [0xb3bb93, 0xc3c49f, 0xa8b28c, 0xcabf98, 0xbcc6a6], road: 0xf4f1e6, wing: 0xe4e0d4, edge: 0x1d2126, mark: 0x7a2f63, halo: 0xffffff };
const DARK = { sky: 0x2b3a47, horizon: 0xc9c5ba, ground: 0x3a4230, fields: [0x39422f, 0x454a35, 0x323b2c, 0x4a4633, 0x40493a], road: 0x8b887c, wing: 0x8d8a82, edge: 0xebe8e0, mark: 0xf0b6da, halo: 0x17191c };
const ORDER = { ground: 0, fields: 1, roads: 2, asked: 3, halo: 4, mark: 5, horizon: 6, wing: 7, edge: 8, line: 9 };

/**
 * @typedef {import("./seat.js").Three} Three
 * @typedef {InstanceType<Three["Group"]>} Group
 * @typedef {InstanceType<Three["Object3D"]>} Thing
 * @typedef {InstanceType<Three["LineBasicMaterial"] | Three["MeshBasicMaterial"]>} Paint
 * @typedef {"sky" | "horizon" | "ground" | "road" | "wing" | "edge" | "mark" | "halo"} Color
 */

export class Scenery {
  /** @param {Three} three @param {import("./seat.js").Flight} flight @param {Group} airplane */
  constructor(three, flight, airplane) {
    this.three = three;
    this.world = new three.Scene();
    this.world.add(airplane);
    /** @type {[Paint, Color | number][]} a number is one of the fields */
    this.painted = [];
    const [first] = flight.seat.spots;
    const middle = first || { east_m: flight.east_m[0] || 0, north_m: flight.north_m[0] || 0 };
    this.country(middle.east_m, middle.north_m);
    for (const ground of flight.seat.ground) this.reference(ground);
    this.spots = flight.seat.spots.map((spot) => this.spot(spot, flight.seat.ground));
    this.horizon = this.lines(circle(1000, 180), "horizon", ORDER.horizon, this.world);
    for (const [side, corners] of Object.entries(flight.seat.airplane.wing_m)) this.wing(side === "right" ? 1 : -1, corners, airplane);
  }

  /** Follow the airplane with what is infinitely far, and point out what is looked at. @param {{east: number, north: number, up: number, about: number | null}} now */
  at(now) {
    this.horizon.position.set(now.east, now.up, -now.north);
    this.spots.forEach((group, number) => { group.visible = number === now.about || now.about === null; });
  }

  /** @param {boolean} dark */
  paint(dark) {
    const colors = dark ? DARK : LIGHT;
    this.world.background = new this.three.Color(colors.sky);
    for (const [material, what] of this.painted) material.color.set(typeof what === "number" ? colors.fields[what] : colors[what]);
  }

  /** @param {Color | number} what @param {boolean} [lines] */
  material(what, lines) {
    const { LineBasicMaterial, MeshBasicMaterial, DoubleSide } = this.three;
    const made = lines ? new LineBasicMaterial({ depthTest: false }) : new MeshBasicMaterial({ depthTest: false, side: DoubleSide });
    made.depthWrite = false;
    this.painted.push([made, what]);
    return made;
  }

  /** Triangles or quadrilaterals: corners in rows of three numbers. @param {number[][]} quads @param {Color | number} what @param {number} order @param {Thing} into */
  surfaces(quads, what, order, into) {
    const { BufferGeometry, Float32BufferAttribute, Mesh } = this.three;
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new Float32BufferAttribute(quads.flat(), 3));
    geometry.setIndex(quads.flatMap((_, n) => [0, 1, 2, 0, 2, 3].map((corner) => 4 * n + corner)));
    return this.add(new Mesh(geometry, this.material(what)), order, into);
  }

  /** @param {number[]} points @param {Color} what @param {number} order @param {Thing} into */
  lines(points, what, order, into) {
    const { BufferGeometry, Float32BufferAttribute, LineLoop } = this.three;
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new Float32BufferAttribute(points, 3));
    return this.add(new LineLoop(geometry, this.material(what, true)), order, into);
  }

  /** @template {Thing} T @param {T} object @param {number} order @param {Thing} into */
  add(object, order, into) {
    object.renderOrder = order;
    object.frustumCulled = false;
    into.add(object);
    return object;
  }

  /** Fields and roads that nobody flies over: they repeat, so that speed and height can be seen. @param {number} east @param {number} north */
  country(east, north) {
    this.surfaces([flat(east - FAR, north - FAR, east + FAR, north + FAR)], "ground", ORDER.ground, this.world);
    /** @type {number[][][]} */
    const fields = LIGHT.fields.map(() => []);
    const half = (FIELDS * FIELD) / 2, shift = 0.37 * FIELD; // off the middle, so that no road leads through the point
    const west = east - half - shift, south = north - half - shift;
    for (let i = 0; i < FIELDS; i += 1) {
      for (let j = 0; j < FIELDS; j += 1) {
        const [left, low] = [west + i * FIELD, south + j * FIELD];
        fields[(i * 7 + j * 13 + ((i * j) % 5)) % fields.length].push(flat(left, low, left + FIELD, low + FIELD));
      }
    }
    fields.forEach((quads, color) => this.surfaces(quads, color, ORDER.fields, this.world));
    const roads = [];
    for (let i = 0; i <= FIELDS; i += ROAD_EVERY) {
      roads.push(flat(west + i * FIELD - 5, south, west + i * FIELD + 5, south + 2 * half), flat(west, south + i * FIELD - 5, west + 2 * half, south + i * FIELD + 5));
    }
    this.surfaces(roads, "road", ORDER.roads, this.world);
  }

  /** The line, or the sides of the rectangle. @param {import("./seat.js").Ground} ground */
  reference(ground) {
    const places = ground.places_m;
    if (ground.type === "rectangle") {
      this.surfaces(places.map((place, n) => strip(place, places[(n + 1) % places.length], 12)), "mark", ORDER.asked, this.world);
    } else if (ground.type === "line" && places.length > 1) {
      const [[e, n], [f, o]] = places, long = Math.hypot(f - e, o - n) || 1, more = 4000 / long;
      this.surfaces([strip([e - more * (f - e), n - more * (o - n)], [f + more * (f - e), o + more * (o - n)], 14)], "road", ORDER.asked, this.world);
    }
  }

  /** What is flown about: a cross on the ground with a light rim, the circle wanted, on a pylon a mast. @param {import("./seat.js").Spot} spot @param {import("./seat.js").Ground[]} grounds */
  spot(spot, grounds) {
    const group = new this.three.Group();
    this.world.add(group);
    const { east_m: e, north_m: n } = spot;
    const ground = grounds.find((one) => one.places_m.some(([x, y]) => Math.hypot(x - e, y - n) < 1)) || grounds[0];
    for (const [half, wide, what, order] of /** @type {[number, number, "halo" | "mark", number][]} */ ([[30, 18, "halo", ORDER.halo], [26, 10, "mark", ORDER.mark]])) {
      this.surfaces([strip([e - half, n], [e + half, n], wide), strip([e, n - half], [e, n + half], wide)], what, order, group);
    }
    if (ground && ground.type === "pylons") {
      this.surfaces([[e - 3, 0, -n, e + 3, 0, -n, e + 3, 40, -n, e - 3, 40, -n], [e, 0, 3 - n, e, 0, -3 - n, e, 40, -3 - n, e, 40, 3 - n]], "mark", ORDER.mark, group);
    }
    if (ground && ground.radius_m) this.surfaces(ring(e, n, ground.radius_m, 6), "mark", ORDER.asked, group);
    return group;
  }

  /** @param {number} side @param {import("./seat.js").Airplane["wing_m"]["left"]} corners @param {Group} airplane */
  wing(side, corners, airplane) {
    const points = (/** @type {number[][]} */ places) => places.flatMap(([ahead, outward, below]) => [side * outward, -below, -ahead]);
    const [rootLeading, rootTrailing, tipTrailing, tipLeading] = corners;
    const inward = (/** @type {number[]} */ [ahead, outward, below], /** @type {number} */ by) => [ahead + by * RIM, outward, below];
    const short = (/** @type {number[]} */ tip, /** @type {number[]} */ root) => tip.map((value, n) => value + (RIM * (root[n] - value)) / (tip[1] - root[1]));
    this.surfaces([points(corners)], "edge", ORDER.wing, airplane);
    const panel = [inward(rootLeading, -1), inward(rootTrailing, 1), inward(short(tipTrailing, rootTrailing), 1), inward(short(tipLeading, rootLeading), -1)];
    this.surfaces([points(panel)], "wing", ORDER.edge, airplane);
    const far = 100 * side;
    for (const [up, along] of [[2, 0.15], [0.15, 2]]) {
      this.surfaces([[far, -up, -along, far, -up, along, far, up, along, far, up, -along]], "edge", ORDER.line, airplane);
    }
  }
}

/** @param {number} left @param {number} low @param {number} right @param {number} high */
const flat = (left, low, right, high) => [left, 0, -low, right, 0, -low, right, 0, -high, left, 0, -high];

/** A strip along the ground. @param {number[]} from @param {number[]} to @param {number} wide */
function strip([e, n], [f, o], wide) {
  const long = Math.hypot(f - e, o - n) || 1, x = (0.5 * wide * (o - n)) / long, y = (-0.5 * wide * (f - e)) / long;
  return [e + x, 0, -(n + y), f + x, 0, -(o + y), f - x, 0, -(o - y), e - x, 0, -(n - y)];
}

/** @param {number} radius @param {number} steps */
const circle = (radius, steps) => Array.from({ length: steps }, (_, n) => (2 * Math.PI * n) / steps).flatMap((angle) => [radius * Math.sin(angle), 0, -radius * Math.cos(angle)]);

/** @param {number} east @param {number} north @param {number} radius @param {number} wide */
function ring(east, north, radius, wide) {
  const steps = 120, at = (/** @type {number} */ n) => [east + radius * Math.sin((2 * Math.PI * n) / steps), north + radius * Math.cos((2 * Math.PI * n) / steps)];
  return Array.from({ length: steps }, (_, n) => strip(at(n), at(n + 1), wide));
}
