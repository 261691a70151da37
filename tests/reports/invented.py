"""Invented debriefs in closed form: circles of nearly constant radius in steady wind, with chosen faults.

They stand in for the pipeline, so that what the page prints can be compared with numbers known in advance.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np

from groundref.angles import wrap, wrap_signed
from groundref.assessment.assessed import Assessed, ElementResult, Finding, Held, Profile
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Entry, Lap, Maneuver, point_at
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.geo.frame import LocalFrame
from groundref.standards.standard import Element, Standard, Task
from groundref.track.recording import Recording, Rejection
from groundref.track.track import Gap, Track
from groundref.units import degree, foot, knot, standard_gravity

EPOCH = datetime(2026, 5, 1, 14, 0, 7, tzinfo=UTC)

TRAFFIC = "divides attention and watches for traffic"

STANDARD = Standard(
    name="private-pilot",
    title="Private pilot, ground reference maneuvers",
    publication="An invented standard",
    edition="first edition",
    note="The codes are invented.",
    tasks=(
        Task(
            "turns-around-a-point",
            "Turns around a point",
            (
                Element("X.1", "altitude held", "altitude", 100.0, None, "ft", True, "invented", True),
                Element("X.2", "airspeed held", "airspeed", 10.0, None, "kt", True, "invented", True),
                Element(
                    "X.3", "height of the entry", "height-band", 1000.0, 600.0, "ft", True, "invented", True
                ),
                Element("X.4", "constant radius", "radius", 100.0, None, "ft", False, "practice", True),
                Element("X.5", TRAFFIC, "observed", None, None, "", True, "invented", True),
            ),
        ),
    ),
)


def _path(direction, speed, wind_speed, wind_to, radius, laps, faults):
    """Return time and motion at 1 Hz of a circle whose radius swells by the fault in each lap."""
    sign = 1.0 if direction == "right" else -1.0
    p = np.linspace(0, 2 * np.pi * laps, 4000 * laps)
    lap = np.minimum((p // (2 * np.pi)).astype(int), laps - 1)
    r = radius * (1 + np.asarray(faults)[lap] * np.sin(p / 2) ** 2 * np.sin(p - 0.6))
    ground = wind_speed * np.cos(p) + np.sqrt(speed**2 - (wind_speed * np.sin(p)) ** 2)
    time = np.concatenate(([0.0], np.cumsum((r / ground)[:-1] * np.diff(p))))
    azimuth = wind_to - sign * np.pi / 2 + sign * p
    seconds = np.arange(0.0, time[-1])
    at = np.interp(seconds, time, p)
    return (
        seconds,
        at,
        np.interp(seconds, time, r),
        np.interp(seconds, time, ground),
        np.interp(seconds, time, azimuth),
        sign,
    )


def debrief(
    *,
    direction="left",
    laps=2,
    wind_from=240.0,
    wind_kt=14.0,
    tas_kt=90.0,
    radius_ft=1400.0,
    faults=(0.09, -0.07),
    wind_known=True,
    altitude_known=True,
    height_known=True,
    drifts=False,
    source="lesson-7.gpx",
    transit=240,
    findings=True,
    count=1,
):
    """Return an invented debrief; the defaults are two laps to the left with visible faults."""
    speed, wind_speed, radius = tas_kt * knot, wind_kt * knot, radius_ft * foot
    to = (wind_from + 180) * degree
    wind_east, wind_north = wind_speed * np.sin(to), wind_speed * np.cos(to)
    faults = tuple(faults) + (0.03,) * max(laps - len(faults), 0)
    seconds, position, r, ground, azimuth, sign = _path(
        direction, speed, wind_speed, to, radius, laps, faults
    )
    east, north = r * np.sin(azimuth), r * np.cos(azimuth)
    if drifts:
        lapse = position / (2 * np.pi)
        east, north = east + lapse * 120 * np.sin(to), north + lapse * 120 * np.cos(to)
    track = azimuth + sign * np.pi / 2
    r, azimuth = np.hypot(east, north), np.arctan2(east, north)
    crab = sign * np.arcsin(np.clip(wind_speed / speed * np.sin(position), -1, 1))
    needed = sign * np.arctan(ground**2 / (standard_gravity * radius * np.cos(crab)))
    shares = np.array([0.18, 0.1, 0.04, 0.0])[np.minimum((position // (2 * np.pi)).astype(int), 3)]
    flown = needed * (1 - shares * np.cos(position)) + sign * 1.2 * degree * np.sin(3 * position)
    wander = np.sin(seconds / 23.0)
    altitude = 560.0 + 14 * wander
    airspeed = speed + 2.2 * knot * np.cos(seconds / 17.0)

    before, after = transit, transit // 2
    lead, trail = np.arange(-before, 0) * ground[0], np.arange(1, after + 1) * ground[-1]

    def around(middle, ahead, behind):
        return np.concatenate((ahead, middle, behind))

    def flat(middle, level=None):
        value = middle[0] if level is None else level
        return around(middle, np.full(before, value), np.full(after, value))

    heading0, heading1 = track[0], track[-1]
    all_east = around(east, east[0] + lead * np.sin(heading0), east[-1] + trail * np.sin(heading1))
    all_north = around(north, north[0] + lead * np.cos(heading0), north[-1] + trail * np.cos(heading1))
    bank = around(flown, np.zeros(before), np.zeros(after))
    one = all_east.size
    # Later maneuvers are the same one flown again, farther on.
    shift = np.repeat(np.arange(count), one)

    def tiled(values):
        return np.tile(values, count)

    all_east, all_north = tiled(all_east) + shift * 4000.0, tiled(all_north) + shift * 2500.0
    size = all_east.size
    time = np.arange(size, dtype=float)
    none = np.full(size, np.nan)
    full = np.full
    east_sd, north_sd = 0.9 * knot, 0.8 * knot
    states = States(
        time=time,
        piece=np.zeros(size, dtype=np.int64),
        east=all_east,
        north=all_north,
        velocity_east=np.gradient(all_east),
        velocity_north=np.gradient(all_north),
        acceleration_east=full(size, 0.0),
        acceleration_north=full(size, 0.0),
        position_sd=full(size, 1.2),
        velocity_sd=full(size, 0.2),
        acceleration_sd=full(size, 0.2),
        ground_speed=tiled(flat(ground)),
        track=tiled(flat(track)),
        track_rate=full(size, 0.0),
        altitude=tiled(flat(altitude)) if altitude_known else None,
        altitude_sd=full(size, 2.5) if altitude_known else None,
        altitude_datum="msl" if altitude_known else None,
        vertical_speed=full(size, 0.0) if altitude_known else None,
        height=tiled(flat(altitude)) - 290.0 if altitude_known and height_known else None,
        height_sd=full(size, 9.0) if altitude_known and height_known else None,
        height_source="ground elevation from the time on the runway before takeoff" if height_known else "",
        wind_east=full(size, wind_east) if wind_known else none,
        wind_north=full(size, wind_north) if wind_known else none,
        wind_east_sd=full(size, east_sd),
        wind_north_sd=full(size, north_sd),
        wind_covariance=full(size, 0.0),
        true_airspeed=tiled(flat(airspeed)) if wind_known else none,
        true_airspeed_sd=full(size, 0.9 * knot) if wind_known else none,
        airspeed_source="derived",
        airspeed_wander=0.4,
        heading=wrap(tiled(flat(track + crab))),
        crab=tiled(flat(crab)) if wind_known else none,
        bank=tiled(bank) if wind_known else none,
        bank_sd=full(size, 0.9 * degree) if wind_known else none,
        bank_source="derived",
        lateral_acceleration=None,
    )
    frame = LocalFrame(40.1 * degree, -90.2 * degree)
    latitude, longitude = frame.to_geographic(all_east, all_north)
    recording = Recording(
        source=source,
        format="gpx",
        epoch=EPOCH,
        time=time,
        latitude=latitude,
        longitude=longitude,
        altitude_msl=np.array(states.altitude) if altitude_known else None,
    )
    track_ = Track(
        recording=recording,
        frame=frame,
        time=time,
        east=all_east,
        north=all_north,
        piece=states.piece,
        interval=1.0,
        samples=size + 3,
        rejected=(Rejection(31.0, "position jumps by 900 m and back"), Rejection(90.0, "same time twice")),
        gaps=(Gap(120.0, 131.0),),
        notes=("The recorder's noise was estimated from the data: 1.6 m.",),
    )
    assessed = tuple(
        _assessed(
            n * one + before,
            seconds,
            position,
            r,
            azimuth,
            needed,
            sign,
            direction,
            laps,
            radius,
            n,
            (wind_east, wind_north, east_sd, north_sd, speed),
            wind_known,
            altitude_known,
            height_known,
            drifts,
            to,
            altitude,
            airspeed,
            flown,
            track,
            findings,
        )
        for n in range(count)
    )
    winds = (
        (Wind(0, time[-1], wind_east, wind_north, east_sd, north_sd, 0.0, speed, 0.9 * knot),)
        if wind_known
        else ()
    )
    return Debrief(
        track=track_, states=states, winds=winds, maneuvers=assessed, standard=STANDARD, aircraft=None
    )


def _assessed(
    first,
    seconds,
    position,
    r,
    azimuth,
    needed,
    sign,
    direction,
    laps,
    radius,
    n,
    wind,
    wind_known,
    altitude_known,
    height_known,
    drifts,
    to,
    altitude,
    airspeed,
    flown,
    track,
    findings,
):
    size = seconds.size
    last = first + size - 1
    start, end = float(first), float(last)
    number = np.minimum((position // (2 * np.pi)).astype(np.int64), laps - 1) + 1
    pieces = []
    for lap in range(1, laps + 1):
        mine = np.flatnonzero(number == lap)
        radial = r[mine] - radius
        drift = (lap - 0.5) * 120 if drifts else 0.0
        pieces.append(
            Lap(
                int(first + mine[0]),
                int(first + mine[-1]),
                start + mine[0],
                start + mine[-1] + (lap < laps),
                sign * 2 * np.pi,
                n * 4000 + drift * np.sin(to),
                n * 2500 + drift * np.cos(to),
                2.0,
                float(r[mine].mean()),
                3.0,
                float(np.sqrt(np.mean(radial**2))),
                float(radial.max()),
                float(radial.min()),
                n * 4000.0,
                n * 2500.0,
            )
        )
    w_east, w_north, east_sd, north_sd, speed = wind
    maneuver = Maneuver(
        kind="turns-around-a-point",
        first=int(first),
        last=int(last),
        start=start,
        end=end,
        direction=direction,
        confidence=0.99,
        reference=point_at(n * 4000.0, n * 2500.0, 4.0, "fitted"),
        radius=radius,
        radius_sd=3.0,
        wind=Wind(start, end, w_east, w_north, east_sd, north_sd, 0.0, speed, 0.9 * knot)
        if wind_known
        else None,
        entry=Entry(start - 1, start, float(track[0] + 4 * degree), radius, 5.0),
        laps=tuple(pieces),
        drift_east=120 * np.sin(to) if drifts else 0.5,
        drift_north=120 * np.cos(to) if drifts else 0.5,
        drift_sd=4.0,
        drifts=drifts,
        notes=("The last lap was cut 3 s short of a whole turn.",),
    )
    missing = np.full(size, np.nan)
    profile = Profile(
        lap=number,
        turn=np.full(size, float(sign)),
        position=wrap_signed(position) if wind_known else missing,
        azimuth=wrap(azimuth),
        distance=r,
        radial=r - radius,
        bank_required=needed if wind_known else missing,
        bank_required_sd=np.full(size, 0.6 * degree) if wind_known else missing,
    )
    held = Held("measured", 560.0, float(altitude.max()), float(altitude.min()), start + 30, start + 70, 2.5)
    fast = Held(
        "derived", speed, float(airspeed.max()), float(airspeed.min()), start + 3, start + 50, 0.9 * knot
    )
    return Assessed(
        maneuver=maneuver,
        profile=profile,
        altitude=held if altitude_known else None,
        airspeed=fast if wind_known else None,
        bank=Held(
            "derived",
            float(np.abs(flown).mean()),
            float(np.abs(flown).max()),
            0.1,
            start + 5,
            start + 9,
            0.9 * degree,
        )
        if wind_known
        else None,
        height_reference=270.0 if altitude_known and height_known else None,
        height_sd=9.0 if altitude_known and height_known else None,
        bank_limit=45 * degree,
        bank_limit_source="common practice, no number in the standard",
        elements=ELEMENTS
        if altitude_known
        else (
            replace(
                ELEMENTS[0],
                verdict="undetermined",
                worst=None,
                worst_sd=None,
                time=None,
                why="No altitude was recorded.",
            ),
            *ELEMENTS[1:],
        ),
        findings=_findings(start) if findings else (),
        entry_off_downwind=4 * degree if wind_known else None,
        entry_off_downwind_sd=5 * degree if wind_known else None,
    )


ELEMENTS = (
    ElementResult(
        "X.1",
        "altitude held",
        "met",
        100.0,
        "ft",
        46.0,
        8.0,
        300.0,
        "The largest deviation stayed well within the limit.",
        True,
        quantity="altitude",
    ),
    ElementResult(
        "X.2",
        "airspeed held",
        "undetermined",
        10.0,
        "kt",
        9.1,
        1.9,
        310.0,
        "The limit lies within the uncertainty of the airspeed.",
        True,
        quantity="airspeed",
    ),
    ElementResult(
        "X.3",
        "height of the entry",
        "met",
        1000.0,
        "ft",
        886.0,
        30.0,
        300.0,
        "The height lay inside the band.",
        True,
        quantity="height-band",
    ),
    ElementResult(
        "X.4",
        "constant radius",
        "not-met",
        100.0,
        "ft",
        152.0,
        18.0,
        350.0,
        "The circle was left by more than the practice allows.",
        False,
        quantity="radius",
    ),
    ElementResult(
        "X.5",
        TRAFFIC,
        "undetermined",
        None,
        "",
        None,
        None,
        None,
        "Only an instructor on board can see it.",
        True,
    ),
)


def _findings(start):
    return (
        Finding(
            "overbanked-upwind",
            (1, 2),
            6.2,
            1.1,
            "deg",
            start + 20,
            start + 60,
            "upwind",
            -130.0,
            3.1,
            "On the upwind side you banked 6° more than needed, and were 130 ft inside after that.",
            "Roll the bank out further as the ground speed falls; upwind needs the shallowest bank.",
        ),
        Finding(
            "underbanked-downwind",
            (1,),
            4.0,
            1.0,
            "deg",
            start,
            start + 15,
            "downwind",
            90.0,
            2.0,
            "Downwind in lap 1 the bank was 4° short of what was needed, and the circle opened by 90 ft.",
            "Begin with the steepest bank of the maneuver at once when you enter downwind.",
        ),
        Finding(
            "airspeed-not-held",
            (2,),
            9.1,
            1.9,
            "kt",
            start + 60,
            start + 90,
            "",
            None,
            0.9,
            "The airspeed moved 9 kt away from the 95 kt you began with.",
            "Trim for the speed before you begin, and keep the pitch.",
        ),
    )


def empty(**options):
    """Return a flight in which nothing was found."""
    return replace(debrief(**options), maneuvers=())
