"""Invented debriefs of every other kind of maneuver, flown step by step in steady wind with chosen faults."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from groundref.angles import difference, wrap, wrap_signed
from groundref.assessment.assessed import Assessed, ElementResult, Finding, Held, Profile
from groundref.assessment.details import (
    CornerFlown,
    CourseFlown,
    Crossing,
    EightFlown,
    LegFlown,
    LineFlown,
    PivotalFlown,
    Segment,
    SteepFlown,
    SteepTurn,
)
from groundref.debriefing import Debrief
from groundref.detection.maneuver import NOTHING, Entry, Lap, Leg, Maneuver, Reference
from groundref.standards.loading import load_standard
from groundref.units import degree, foot, knot, standard_gravity
from tests.reports import invented

SPEED, WIND, WIND_TO = 95.0 * knot, 14.0 * knot, 60.0 * degree
WIND_EAST, WIND_NORTH = WIND * np.sin(WIND_TO), WIND * np.cos(WIND_TO)
RADIUS = 1300.0 * foot
STEP = 0.1
ELEVATION = 290.0


@dataclass(frozen=True)
class Piece:
    """A stretch of flight: straight (sign 0), about a place at a radius, or at one bank through the air."""

    sign: float
    turn: float = 0.0  # of track, or heading for a bank [rad]
    seconds: float = 0.0
    radius: float = RADIUS
    swell: float = 0.0
    bank: float = 0.0
    lap: int = 0


@dataclass
class Flight:
    """What was flown, at 1 Hz."""

    rows: list = field(default_factory=list)

    def column(self, n):
        """Return one column."""
        return np.array(self.rows)[:: round(1 / STEP), n]


def ground(track):
    """Ground speed along a track."""
    along = WIND * np.cos(track - WIND_TO)
    across = WIND * np.sin(track - WIND_TO)
    return along + np.sqrt(SPEED**2 - across**2)


def crab(track):
    """Crab that holds a track."""
    return np.arcsin(WIND / SPEED * np.sin(track - WIND_TO))


def track_of(heading):
    """Track and ground speed of a heading."""
    east, north = SPEED * np.sin(heading) + WIND_EAST, SPEED * np.cos(heading) + WIND_NORTH
    return np.arctan2(east, north), np.hypot(east, north)


def fly(track, pieces, east=0.0, north=0.0):
    """Fly the pieces one after the other."""
    flight = Flight()
    for piece in pieces:
        turned, flown = 0.0, 0.0
        heading = track + crab(track)
        while (turned < piece.turn) if piece.sign else (flown < piece.seconds):
            speed = ground(track)
            bank = 0.0
            if piece.sign and piece.bank:
                bank = piece.bank + 2 * degree * np.sin(flown / 5)
                rate = standard_gravity * np.tan(bank) / SPEED
                heading += piece.sign * rate * STEP
                turned += rate * STEP
                track, speed = track_of(heading)
            elif piece.sign:
                radius = piece.radius * (1 + piece.swell * np.sin(np.pi * turned / piece.turn))
                rate = speed / radius
                track += piece.sign * rate * STEP
                turned += rate * STEP
                bank = np.arctan(speed**2 / (standard_gravity * radius * np.cos(crab(track))))
            east += speed * STEP * np.sin(track)
            north += speed * STEP * np.cos(track)
            flown += STEP
            flight.rows.append((east, north, track, piece.lap, piece.sign, piece.sign * bank, speed))
    return flight


BEFORE, AFTER = 90.0, 60.0


def _laps(number, first):
    """First and last index of each lap, counted over the whole flight."""
    return [
        (first + int(np.flatnonzero(number == n)[0]), first + int(np.flatnonzero(number == n)[-1]))
        for n in range(1, int(number.max()) + 1)
    ]


STANDARD = load_standard("commercial-pilot")


def whole(kind, flight, *, reference, radius, abouts, direction, details, legs=None, findings=()):
    """Put a debrief round a maneuver whose samples are those with a lap, and what lies between them."""
    number = flight.column(3).astype(np.int64)
    inside = np.flatnonzero(number)
    first, last = int(inside[0]), int(inside[-1])
    size = number.size
    base = invented.debrief(transit=max(size, 120), laps=1)
    states = base.states
    time = np.arange(size, dtype=float)
    east, north, track, bank, speed = (flight.column(n) for n in (0, 1, 2, 5, 6))
    altitude = 560.0 + 14 * np.sin(time / 23.0)
    full = np.full
    known = {
        "time": time, "piece": np.zeros(size, dtype=np.int64), "east": east, "north": north,
        "velocity_east": speed * np.sin(track), "velocity_north": speed * np.cos(track),
        "ground_speed": speed, "track": wrap(track), "altitude": altitude, "height": altitude - ELEVATION,
        "bank": bank, "crab": crab(track), "heading": wrap(track + crab(track)),
        "true_airspeed": SPEED + 2.2 * knot * np.cos(time / 17.0),
        "wind_east": full(size, WIND_EAST), "wind_north": full(size, WIND_NORTH),
    }  # fmt: skip
    rest = {
        name: full(size, float(np.asarray(getattr(states, name))[0]))
        for name in (
            "acceleration_east", "acceleration_north", "position_sd", "velocity_sd", "acceleration_sd",
            "track_rate", "altitude_sd", "vertical_speed", "height_sd", "wind_east_sd", "wind_north_sd",
            "wind_covariance", "true_airspeed_sd", "bank_sd",
        )
    }  # fmt: skip
    states = replace(states, **known, **rest)
    spans = _laps(number, 0)
    sign = flight.column(4)
    lap_signs = [float(np.sign(sign[a : b + 1].sum() or 1.0)) for a, b in spans]
    laps = []
    for n, (a, b) in enumerate(spans):
        at_east, at_north = abouts[n] if abouts else (np.nan, np.nan)
        far = np.hypot(east[a : b + 1] - at_east, north[a : b + 1] - at_north)
        radial = far - radius
        turned = float(np.sum(np.abs(difference(track[a + 1 : b + 1], track[a:b]))))
        end = float(b + (b + 1 < size and number[b + 1] > 0))
        laps.append(
            Lap(
                a, b, float(a), end, lap_signs[n] * turned, at_east, at_north, 2.0, float(far.mean()),
                3.0, float(np.sqrt(np.mean(radial**2))), float(radial.max()), float(radial.min()),
                at_east, at_north, legs[n] if legs else (),
            )
        )  # fmt: skip
    wind = replace(base.winds[0], start=0.0, end=float(size), east=WIND_EAST, north=WIND_NORTH)
    wind = replace(wind, true_airspeed=SPEED)
    far_in = float(np.hypot(east[first] - laps[0].about_east, north[first] - laps[0].about_north))
    maneuver = Maneuver(
        kind=kind, first=first, last=last, start=float(first), end=float(last), direction=direction,
        confidence=0.97, reference=reference, radius=radius, radius_sd=4.0 if np.isfinite(radius) else np.nan,
        wind=wind, entry=Entry(None, float(first), float(wrap(track[first])), far_in, 5.0), laps=tuple(laps),
    )  # fmt: skip
    part = slice(first, last + 1)
    lap = number[part]
    turn = np.array(lap_signs)[np.maximum(lap, 1) - 1]
    places = np.array([(np.nan, np.nan), *(abouts or [(np.nan, np.nan)] * len(laps))])[lap]
    off_east, off_north = east[part] - places[:, 0], north[part] - places[:, 1]
    distance = np.hypot(off_east, off_north)
    required = turn * np.arctan(speed[part] ** 2 / (standard_gravity * radius * np.cos(crab(track[part]))))
    profile = Profile(
        lap=lap,
        turn=turn,
        position=wrap_signed(turn * (track[part] - WIND_TO)),
        azimuth=wrap(np.arctan2(off_east, off_north)),
        distance=distance,
        radial=distance - radius,
        bank_required=required,
        bank_required_sd=full(lap.size, 0.6 * degree),
    )
    start = float(first)
    held = Held(
        "measured", 560.0, float(altitude[part].max()), float(altitude[part].min()), start, start, 2.5
    )
    fast = Held("derived", SPEED, SPEED + 2.2 * knot, SPEED - 2.2 * knot, start + 3, start + 50, 0.9 * knot)
    banked = np.abs(bank[part])
    task = STANDARD.task(kind)
    assessed = Assessed(
        maneuver=maneuver,
        profile=profile,
        altitude=held,
        airspeed=fast,
        bank=Held(
            "derived", float(banked.mean()), float(banked.max()), 0.1, start + 5, start + 9, 0.9 * degree
        ),
        height_reference=270.0,
        height_sd=9.0,
        bank_limit=(40 if kind == "eights-on-pylons" else 45) * degree,
        bank_limit_source="the standard",
        elements=tuple(_result(element, start) for element in task.elements),
        findings=findings,
        entry_off_downwind=4 * degree,
        entry_off_downwind_sd=5 * degree,
        details=details(states, maneuver, profile),
    )
    frame = base.track.frame
    latitude, longitude = frame.to_geographic(east, north)
    recording = replace(
        base.track.recording, time=time, latitude=latitude, longitude=longitude, altitude_msl=altitude
    )
    track_ = replace(
        base.track, recording=recording, time=time, east=east, north=north, piece=states.piece,
        samples=size + 3,
    )  # fmt: skip
    return Debrief(
        track=track_, states=states, winds=(wind,), maneuvers=(assessed,), standard=STANDARD, aircraft=None
    )


def _result(element, start):
    """Met where there is a limit, open where only an instructor sees it."""
    verdict = "undetermined" if element.limit is None or not element.published else "met"
    worst = None if element.limit is None else 0.6 * element.limit
    why = "Only an instructor on board can see it." if worst is None else "Well within the limit."
    return ElementResult(
        element.code, element.what, verdict, element.limit, element.unit, worst,
        None if worst is None else 0.1 * element.limit, start + 20, why, element.published, element.basis,
        quantity=element.quantity,
    )  # fmt: skip


def s_turns(*, half_circles=6, bearing=330.0, swell=0.14):
    """S-turns whose first half circle begins downwind, to the left."""
    road = bearing * degree
    square = road + 90 * degree  # downwind for a wind square to the road
    pieces = [Piece(0.0, seconds=BEFORE)]
    for n in range(half_circles):
        sign = -1.0 if n % 2 == 0 else 1.0
        grown = swell if n == 1 else -swell / 2 if n == 2 else 0.03
        pieces.append(Piece(sign, turn=np.pi, swell=grown, lap=n + 1))
    flight = fly(square, [*pieces, Piece(0.0, seconds=AFTER)])
    number = flight.column(3)
    first = int(np.flatnonzero(number)[0])
    east, north = (flight.column(n) for n in (0, 1))
    along = np.array([np.sin(road), np.cos(road)])
    base = np.array([east[first], north[first]])
    abouts = [tuple(base + (2 * n + 1) * RADIUS * along) for n in range(half_circles)]
    starts = [int(np.flatnonzero(number == n)[0]) for n in range(1, half_circles + 1)]
    ends = base, base + 2 * half_circles * RADIUS * along
    crossings = tuple(
        Crossing(
            float(at), (2.0 + 3 * n) * degree * (-1) ** n, 1.2 * degree, (-1) ** n * 2 * n * degree,
            1.0 * degree, 2 * n * RADIUS,
        )
        for n, at in enumerate([*starts, starts[-1] + 40])
    )  # fmt: skip
    reference = Reference("line", tuple(map(tuple, ends)), 6.0, "fitted", road % np.pi, 0.8 * degree)
    finding = Finding(
        "unequal-half-circles", (2, 3), 310.0, 22.0, "ft", float(starts[1]), float(starts[3]), "", 310.0, 2.4,
        "Half circle 2 was flown 310 ft wider than half circle 3.",
        "Pick the next three places on the line before you cross it.",
    )  # fmt: skip
    return whole(
        "s-turns", flight, reference=reference, radius=RADIUS, abouts=abouts, direction="both",
        details=lambda *_: LineFlown(crossings), findings=(finding,),
    )  # fmt: skip


def closed(track, radius, apart, loops, swell):
    """Loops about two places in turn, tangent to the straight lines between them, and those places."""
    open_by = np.arccos(radius / apart)
    turn, straight = 2 * np.pi - 2 * open_by, 2 * np.sqrt(apart**2 - radius**2)
    pieces = [Piece(0.0, seconds=BEFORE)]
    for n in range(loops):
        sign = -1.0 if n % 2 == 0 else 1.0
        pieces.append(Piece(sign, turn=turn, radius=radius, swell=swell * (-1) ** (n // 2), lap=n + 1))
        if n + 1 < loops and straight > 1.0:
            way = track - turn if n % 2 == 0 else track
            pieces.append(Piece(0.0, seconds=straight / ground(way)))
    flight = fly(track, [*pieces, Piece(0.0, seconds=AFTER)])
    first = int(np.flatnonzero(flight.column(3))[0])
    begin = np.array([flight.column(0)[first], flight.column(1)[first]])
    left = np.array([-np.cos(track), np.sin(track)])
    # From the first place to the other, seen from where the loop begins.
    axis = track + np.pi / 2 + open_by
    one = begin + radius * left
    other = one + 2 * apart * np.array([np.sin(axis), np.cos(axis)])
    return flight, (tuple(one), tuple(other))


def eights(kind="eights-across-a-road", *, track=100.0, loops=4):
    """Two loops to a figure; the straight segments lie between."""
    apart = (1.0 if kind == "eights-along-a-road" else 1.35) * RADIUS
    flight, places = closed(track * degree, RADIUS, apart, loops, 0.06)
    abouts = [places[n % 2] for n in range(loops)]
    middle = np.mean(places, axis=0)
    axis = np.subtract(places[1], places[0]) / (2 * apart)
    if kind == "eights-along-a-road":
        axis = np.array([-axis[1], axis[0]])  # the road runs between the loops
    if kind == "eights-around-pylons":
        reference = Reference("pylons", places, 8.0, "fitted")
    else:
        ends = (tuple(middle - 3 * RADIUS * axis), tuple(middle + 3 * RADIUS * axis))
        bearing = float(np.arctan2(axis[0], axis[1]) % np.pi)
        reference = Reference("line", ends, 0.0, "given", bearing, 0.0)
    return whole(
        kind, flight, reference=reference, radius=RADIUS, abouts=abouts, direction="both",
        details=lambda *_: EightFlown(tuple(ways(flight, loops))),
    )  # fmt: skip


def ways(flight, loops):
    """Return how the straight ways between the loops were flown; none where one follows the other at once."""
    number, track, speed = (flight.column(n) for n in (3, 2, 6))
    for n in range(1, loops):
        between = np.arange(np.flatnonzero(number == n)[-1] + 1, np.flatnonzero(number == n + 1)[0])
        if between.size < 5:
            continue
        at = int(between[between.size // 2])
        name = "outward" if n % 2 else "return"
        yield LegFlown(
            n, name, float(between[0]), float(between[-1]), float(wrap(track[at])), 2.0 * degree,
            0.5 * degree, 0.4 * degree, 5.0, 4.0, 9.0, 1.0, 3.0 * degree, float(crab(track[at])),
            1.2 * degree, float(speed[at]),
        )  # fmt: skip


def rectangular_course(*, circuits=2, bearing=60.0, given=False):
    """Circuits to the left, downwind first, with a crab that is short on base."""
    heading = bearing * degree
    turn, side, end = 400.0, 1900.0, 1100.0
    names = ("downwind", "base", "upwind", "crosswind")
    pieces = [Piece(0.0, seconds=BEFORE)]
    for circuit in range(1, circuits + 1):
        for n in range(4):
            track = heading - n * 90 * degree
            pieces.append(Piece(0.0, seconds=(side if n % 2 == 0 else end) / ground(track), lap=circuit))
            swell = 0.2 if (circuit, n) == (1, 1) else 0.0
            pieces.append(Piece(-1.0, turn=np.pi / 2, radius=turn, swell=swell, lap=circuit))
    flight = fly(heading, [*pieces, Piece(0.0, seconds=AFTER)])
    number, sign, track = (flight.column(n) for n in (3, 4, 2))
    east, north, speed = (flight.column(n) for n in (0, 1, 6))
    first = int(np.flatnonzero(number)[0])
    course = np.array([np.sin(heading), np.cos(heading)])
    left = np.array([-np.cos(heading), np.sin(heading)])
    off = 300.0
    start = np.array([east[first], north[first]]) + off * left
    a, b = side + 2 * turn - 2 * off, end + 2 * turn - 2 * off
    near = start + (side + turn - off) * course
    corners = (near, near + b * left, near + b * left - a * course, near - a * course)
    edges = np.flatnonzero(np.diff(np.concatenate(([1], ((sign != 0) | (number == 0)).astype(int), [1]))))
    runs = [(int(i), int(j) - 1) for i, j in edges.reshape(-1, 2) if j - i > 3]
    legs, flown, corner_rows = [], [], []
    outside = np.full(number.size, np.nan)
    for k, (i, j) in enumerate(runs):
        n, lap = k % 4, k // 4 + 1
        along = wrap(heading - n * 90 * degree)
        to_left = np.array([-np.cos(along), np.sin(along)])
        inward = (corners[n][0] - east) * to_left[0] + (corners[n][1] - north) * to_left[1]
        outside[i : j + 1] = inward[i : j + 1]
        legs.append(Leg(names[n], i, j, float(i), float(j), float(along)))
        mine = outside[i : j + 1]
        flown.append(
            LegFlown(
                lap, names[n], float(i), float(j), float(along), (1.0 - n) * degree, 0.8 * degree,
                1.1 * degree,
                float(mine.mean()), 9.0, float(mine.max()), float(mine.min()),
                float(crab(track[i])) * (0.6 if n == 1 else 1.0), float(crab(track[i])), 1.0 * degree,
                float(speed[i]),
            )
        )  # fmt: skip
        nxt = names[(n + 1) % 4]
        corner_rows.append(
            CornerFlown(
                lap, f"{names[n]} to {nxt}", float(j), float(j + 12), -90 * degree,
                -(90 + (8 if n % 2 else -8)) * degree, -(90 + (10 if n % 2 else -10)) * degree,
                (24 + 3 * n) * degree, (60.0 - 30 * n), 9.0,
            )
        )  # fmt: skip
    reference = Reference(
        "rectangle", tuple(map(tuple, corners)), 0.0 if given else 12.0, "given" if given else "fitted",
        float(wrap(heading)),
    )  # fmt: skip

    def details(_states, maneuver, _profile):
        part = outside[maneuver.first : maneuver.last + 1]
        return CourseFlown(tuple(flown), tuple(corner_rows[:-1]), 43 * degree, 2 * degree, part)

    return whole(
        "rectangular-course", flight, reference=reference, radius=np.nan, abouts=None, direction="left",
        details=details, legs=[tuple(legs[4 * n : 4 * n + 4]) for n in range(circuits)],
    )  # fmt: skip


def eights_on_pylons(*, eights=2, elevations=True):
    """Two pylons across the wind, downwind between them; the height follows too late."""
    radius = 800.0
    flight, pylons = closed(WIND_TO + 60 * degree, radius, 1.02 * radius, 2 * eights, 0.04)
    abouts = [pylons[n % 2] for n in range(2 * eights)]
    known = (ELEVATION, ELEVATION + 6.0) if elevations else ()
    reference = Reference("pylons", pylons, 15.0, "fitted", elevations=known)

    def details(states, maneuver, profile):
        part = slice(maneuver.first, maneuver.last + 1)
        gone = np.where(profile.lap > 0, 0.0, np.nan)
        speed, angle = states.ground_speed[part], states.crab[part]
        pivotal = SPEED * speed * np.cos(angle) / standard_gravity + gone
        handbook = speed**2 / standard_gravity + gone
        late = np.roll(np.where(np.isfinite(pivotal), pivotal, np.nanmean(pivotal)), 8)
        height = np.convolve(np.pad(late, 4, "edge"), np.ones(9) / 9, "valid") + gone
        bearing = np.arctan2(-np.sin(profile.azimuth), -np.cos(profile.azimuth))
        wing = states.heading[part] + profile.turn * np.pi / 2
        ahead = profile.turn * -wrap_signed(bearing - wing) * 0.5 + gone
        straight = np.flatnonzero(np.diff(np.concatenate(([0], (profile.lap == 0).astype(int), [0]))))
        segments = tuple(
            Segment(maneuver.start + i, maneuver.start + j, 0.9 * degree) for i, j in straight.reshape(-1, 2)
        )
        full = np.full(gone.size, 1.0) + gone
        return PivotalFlown(
            height if elevations else None, full * 9.0 if elevations else None, pivotal, full * 6.0, handbook,
            ahead, full * 2.0 * degree, segments, 90.0 * degree,
        )  # fmt: skip

    return whole(
        "eights-on-pylons", flight, reference=reference, radius=np.nan, abouts=abouts, direction="both",
        details=details,
    )  # fmt: skip


def steep_turns(*, signs=(-1.0, 1.0)):
    """Turns of 360° at the commercial bank, one each way, carried by the wind."""
    pieces = [Piece(0.0, seconds=BEFORE)]
    for n, sign in enumerate(signs):
        pieces.append(Piece(sign, turn=2 * np.pi + (8 * degree if n else 0.0), bank=50 * degree, lap=n + 1))
        pieces.append(Piece(0.0, seconds=12.0))
    flight = fly(100 * degree, [*pieces, Piece(0.0, seconds=AFTER)])
    number, east, north, track = (flight.column(n) for n in (3, 0, 1, 2))
    turns = []
    for n in range(1, len(signs) + 1):
        a, b = (int(np.flatnonzero(number == n)[k]) for k in (0, -1))
        heading = float(wrap(track[a - 2] + crab(track[a - 2])))
        off = 8 * degree if n == 2 else 0.5 * degree
        turns.append(
            SteepTurn(
                n, 50.4 * degree, 0.8 * degree, heading, float(wrap(heading + signs[n - 1] * off)), off,
                1.2 * degree, float(np.hypot(east[b] - east[a], north[b] - north[a])), WIND * (b - a),
            )
        )  # fmt: skip
    direction = "both" if len(set(signs)) > 1 else "left" if signs[0] < 0 else "right"
    return whole(
        "steep-turns", flight, reference=NOTHING, radius=np.nan, abouts=None, direction=direction,
        details=lambda *_: SteepFlown(tuple(turns)),
    )  # fmt: skip


KINDS = {
    "s-turns": s_turns,
    "eights-along-a-road": lambda: eights("eights-along-a-road"),
    "eights-across-a-road": lambda: eights("eights-across-a-road"),
    "eights-around-pylons": lambda: eights("eights-around-pylons"),
    "rectangular-course": rectangular_course,
    "eights-on-pylons": eights_on_pylons,
    "steep-turns": steep_turns,
}
