"""The one pipeline: from a recording to a debrief."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from groundref.aircraft.aircraft import Aircraft
from groundref.angles import wrap
from groundref.assessment.assess import assess
from groundref.assessment.assessed import Assessed
from groundref.assessment.document import maneuver_document, wind_document
from groundref.assessment.particulars_document import patterns_document
from groundref.assessment.pattern import PatternFlown, patterns_flown
from groundref.assessment.plain import clock
from groundref.assessment.plain import number as in_unit
from groundref.detection import named
from groundref.detection.candidate import Ground, Place
from groundref.detection.cut_short import CutShort, cut_short
from groundref.detection.detect import detect
from groundref.detection.maneuver import AT_ONE_THROTTLE, Maneuver
from groundref.detection.runway import checked_runway
from groundref.detection.said import Said, Unread, corrected
from groundref.errors import NothingToWorkOnError, UsageError
from groundref.estimation.estimate import Given, estimate
from groundref.estimation.height import Elevation
from groundref.estimation.mean_wind import wind_over, winds
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.standards.loading import KINDS, load_standard
from groundref.standards.standard import Standard
from groundref.track.clean import LONGEST_TIME, clean
from groundref.track.counting import counted
from groundref.track.recording import Recording
from groundref.track.time_of_day import time_of_day
from groundref.track.track import Track
from groundref.units import degree, foot, hectopascal, knot

GIVEN_WIND_SD = 0.5 * knot  # a wind that the user states is meant to be used, not corrected
DEFAULT_STANDARD = "private-pilot"

Geographic = tuple[float, float]  # latitude and longitude [rad]


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything that was concluded from a recording, traceable to its samples.

    Attributes
    ----------
    track
        Clean samples.
    states
        Motion at each of them.
    winds
        Wind along the flight where it could be told.
    maneuvers
        In the order flown.
    standard
        The standard used.
    aircraft
        The airplane, None when none was named.
    left_out
        What of the recording was left out as asked, one plain sentence each; also in the track's notes.
    traffic_patterns
        Circuits of the runway given, in the order flown; None when none was given.
    altimeter
        Altimeter setting that pressure altitude was read with; None when none was given [Pa]
    cut_short
        Turns that stopped short of what a maneuver needs, where no maneuver was found.
    place_given
        Whether what was flown about was given.
    said
        What the instructor said of stretches of the flight.
    unread
        Of that, what could not be read so, and why.
    """

    track: Track
    states: States
    winds: tuple[Wind, ...]
    maneuvers: tuple[Assessed, ...]
    standard: Standard
    aircraft: Aircraft | None
    left_out: tuple[str, ...] = ()
    traffic_patterns: tuple[PatternFlown, ...] | None = None
    altimeter: float | None = None
    cut_short: tuple[CutShort, ...] = ()
    place_given: bool = False
    said: tuple[Said, ...] = ()
    unread: tuple[Unread, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the debrief JSON: plain data, units in the names, None where it could not be told."""
        recording, stamp = self.track.recording, clock(self.track.recording.epoch)
        return {
            "schema": "groundref/debrief/1",
            "flight": {
                "source": recording.source,
                "format": recording.format,
                "start": stamp(float(self.track.time[0])),
                "end": stamp(float(self.track.time[-1])),
                "samples": self.track.samples,
                "samples_used": len(self.track),
                "interval_s": round(self.track.interval, 3),
                "rejected": [{"time": stamp(row.time), "why": row.why} for row in self.track.rejected],
                "gaps": [{"start": stamp(gap.start), "end": stamp(gap.end)} for gap in self.track.gaps],
                "measured": list(_measured(recording)),
                "altitude_datums": [
                    name.removeprefix("altitude_")
                    for name in recording.measured
                    if name.startswith("altitude_")
                ],
                "altimeter_setting_hpa": in_unit(self.altimeter, hectopascal),
                "notes": [*self.track.notes, *self.states.notes, *self.not_read()],
            },
            "standard": {
                "name": self.standard.name,
                "publication": self.standard.publication,
                "edition": self.standard.edition,
            },
            "aircraft": None if self.aircraft is None else self.aircraft.name,
            "wind": [
                {"start": stamp(wind.start), "end": stamp(wind.end), **(wind_document(wind) or {})}
                for wind in self.winds
            ],
            "maneuvers": [
                maneuver_document(assessed, self.states, self.track.frame, stamp)
                for assessed in self.maneuvers
            ],
            **patterns_document(self.traffic_patterns, stamp),
        }

    def not_read(self) -> tuple[str, ...]:
        """Return a sentence for each stretch that cannot be read as what the instructor said it was."""
        return tuple(
            f"{self._stretch(one.said)}; no {named.in_sentence(one.said.kind or '')} could be made of it: "
            f"{one.why}."
            for one in self.unread
        )

    def set_aside(self) -> tuple[str, ...]:
        """Return a sentence for each stretch that the instructor said is not a maneuver."""
        return tuple(f"{self._stretch(one)}." for one in self.said if one.kind is None)

    def _stretch(self, one: Said) -> str:
        epoch = self.track.recording.epoch
        first, last = (time_of_day(epoch + timedelta(seconds=each)) for each in (one.start, one.end))
        what = "not a maneuver" if one.kind is None else named.in_sentence(one.kind)
        return f"The instructor said that {first} to {last} UTC is {what}"

    def series(self) -> dict[str, NDArray[np.generic]]:
        """Return one value a sample for each column of the series; NaN where it could not be told."""
        states, frame = self.states, self.track.frame
        latitude, longitude = frame.to_geographic(states.east, states.north)
        unknown = np.full(len(states), np.nan)
        columns: dict[str, NDArray[np.generic]] = {
            "time": _moments(self.track.recording.epoch, states.time),
            "lat": latitude / degree,
            "lon": longitude / degree,
            "altitude_ft": unknown if states.altitude is None else states.altitude / foot,
            "height_agl_ft": unknown if states.height is None else states.height / foot,
            "ground_speed_kt": states.ground_speed / knot,
            "track_deg": wrap(states.track) / degree,
            "tas_kt": states.true_airspeed / knot,
            "heading_deg": wrap(states.heading) / degree,
            "crab_deg": states.crab / degree,
            "bank_deg": states.bank / degree,
            "bank_sd_deg": states.bank_sd / degree,
            "bank_required_deg": unknown.copy(),
            "radial_ft": unknown.copy(),
            "wind_from_deg": wrap(np.arctan2(-states.wind_east, -states.wind_north)) / degree,
            "wind_kt": np.hypot(states.wind_east, states.wind_north) / knot,
            "maneuver": np.zeros(len(states), dtype=np.int64),
            "lap": np.zeros(len(states), dtype=np.int64),
        }
        for number, assessed in enumerate(self.maneuvers, start=1):
            part = slice(assessed.maneuver.first, assessed.maneuver.last + 1)
            columns["bank_required_deg"][part] = assessed.profile.bank_required / degree
            columns["radial_ft"][part] = assessed.profile.radial / foot
            columns["maneuver"][part] = number
            columns["lap"][part] = assessed.profile.lap
        return columns


def debrief(
    recording: Recording,
    *,
    standard: Standard | None = None,
    aircraft: Aircraft | None = None,
    point: Geographic | None = None,
    line: tuple[Geographic, Geographic] | None = None,
    corners: tuple[Geographic, Geographic, Geographic, Geographic] | None = None,
    pylons: tuple[Geographic, Geographic] | None = None,
    pylon_elevations: tuple[float, float] | None = None,
    runway: tuple[Geographic, Geographic] | None = None,
    ground: float | None = None,
    elevation: Elevation | None = None,
    altimeter: float | None = None,
    wind: tuple[float, float] | None = None,
    start: datetime | None = None,
    end: datetime | None = None,
    said: Sequence[tuple[datetime, datetime, str | None]] = (),
) -> Debrief:
    """Turn a recording into a debrief.

    Parameters
    ----------
    recording
        What the file said.
    standard
        The standard to judge by; that of the private pilot when None.
    aircraft
        The airplane.
    point
        Latitude and longitude of the point that was circled [rad]
    line
        Two places on the line that S-turns or eights along or across a road were flown about [rad]
    corners
        The four corners of a rectangular course, in order round it [rad]
    pylons
        The two pylons of eights [rad]
    pylon_elevations
        Elevation of the ground at each of them, above mean sea level [m]
    runway
        The two ends of a runway, in any order, to have its traffic pattern looked at [rad]
    ground
        Elevation of the ground at the maneuvers, above mean sea level [m]
    elevation
        Ground elevation as a function of latitude and longitude [rad] → [m]
    altimeter
        Altimeter setting (QNH) to read pressure altitude with, which is then above mean sea level [Pa]
    wind
        Velocity of the air if it is known: east, north, where it moves *to* [m s⁻¹]
    start, end
        Look only at this part of the recording.
    said
        Stretches of the flight that the instructor says what they were: from, to, and the kind of maneuver,
        None for none. They go before what the recording is taken for.

    Raises
    ------
    NothingToWorkOnError
        When there is no usable second of flight.
    UsageError
        When nothing lies between ``start`` and ``end``, when places given make no sense, or when there
        is no pressure altitude for an altimeter setting.
    """
    part, left_out = _between(recording, start, end)
    track = clean(part)
    if left_out:
        # The samples are those in the file, however many were asked for.
        written = len(recording) + len(recording.rejected)
        track = replace(track, samples=written, notes=(*left_out, *track.notes))
    given = Given(ground, elevation, None if wind is None else (*wind, GIVEN_WIND_SD), altimeter=altimeter)
    states = estimate(track, given)
    on_ground = Ground(
        point=None if point is None else _local(track, point),
        line=None if line is None else (_local(track, line[0]), _local(track, line[1])),
        corners=None if corners is None else _four(track, corners),
        pylons=None if pylons is None else (_local(track, pylons[0]), _local(track, pylons[1])),
        pylon_elevations=pylon_elevations,
    )
    judge = standard if standard is not None else load_standard(DEFAULT_STANDARD)
    found = detect(states, on_ground)
    spoken = _stretches(recording, said)
    found, unread = corrected(states, on_ground, found, spoken)
    states, found = _with_height_traded(track, given, states, found)
    return Debrief(
        track=track,
        states=states,
        winds=winds(states),
        maneuvers=tuple(assess(states, maneuver, judge, aircraft) for maneuver in found),
        standard=judge,
        aircraft=aircraft,
        left_out=left_out,
        traffic_patterns=None if runway is None else _patterns(track, states, runway),
        altimeter=altimeter,
        cut_short=() if found or spoken else cut_short(states, on_ground),
        place_given=any(each is not None for each in (point, line, corners, pylons)),
        said=spoken,
        unread=tuple(unread),
    )


def _stretches(
    recording: Recording, said: Sequence[tuple[datetime, datetime, str | None]]
) -> tuple[Said, ...]:
    """Return what the instructor says, in the recording's seconds.

    Raises
    ------
    UsageError
        When a kind is none, or a stretch ends before it begins.
    """
    for start, end, kind in said:
        if kind is not None and kind not in KINDS:
            raise UsageError(f"there is no maneuver {kind!r}", "said", f"take one of {', '.join(KINDS)}")
        if start >= end:
            raise UsageError("a stretch ends before it begins", "said", "exchange its times")
    epoch = recording.epoch
    return tuple(
        Said((start - epoch).total_seconds(), (end - epoch).total_seconds(), kind)
        for start, end, kind in said
    )


def _with_height_traded(
    track: Track, given: Given, states: States, found: list[Maneuver]
) -> tuple[States, list[Maneuver]]:
    """Estimate anew where height was traded for speed, which only the maneuver flown tells.

    With the airspeed recorded or the wind given nothing of this is needed.
    """
    stretches = tuple((one.start, one.end) for one in found if one.kind in AT_ONE_THROTTLE)
    if not stretches or states.airspeed_source == "measured" or given.wind is not None:
        return states, found
    states = estimate(track, replace(given, one_throttle=stretches))
    return states, [replace(one, wind=wind_over(states, one.first, one.last)) for one in found]


def _patterns(
    track: Track, states: States, runway: tuple[Geographic, Geographic]
) -> tuple[PatternFlown, ...]:
    """Return the circuits of a runway."""
    return patterns_flown(states, checked_runway(_local(track, runway[0]), _local(track, runway[1])))


def _local(track: Track, place: Geographic) -> tuple[float, float]:
    """Return a place in the track's frame [m]."""
    east, north = track.frame.to_local(*place)
    return float(east), float(north)


def _four(
    track: Track, corners: tuple[Geographic, Geographic, Geographic, Geographic]
) -> tuple[Place, Place, Place, Place]:
    first, second, third, fourth = corners
    return _local(track, first), _local(track, second), _local(track, third), _local(track, fourth)


def _between(
    recording: Recording, start: datetime | None, end: datetime | None
) -> tuple[Recording, tuple[str, ...]]:
    """Return the part of a recording that was asked for, and a sentence for each part left out."""
    if len(recording) == 0:
        raise NothingToWorkOnError(
            "there is no sample in it", recording.source, "record the flight and try again"
        )
    if start is None and end is None:
        return recording, ()
    first = -np.inf if start is None else (start - recording.epoch).total_seconds()
    last = np.inf if end is None else (end - recording.epoch).total_seconds()
    before, after = recording.time < first, recording.time > last
    if not ((recording.time >= first) & (recording.time <= last)).any():
        raise UsageError(
            "nothing was recorded between the times given",
            recording.source,
            f"give times within the recording, {_span(recording)}",
        )
    sides = ((before, "before", start), (after, "after", end))
    left_out = tuple(
        f"{counted(int(beyond.sum()), 'sample')} {side} {time_of_day(moment)} UTC "
        f"{'was' if beyond.sum() == 1 else 'were'} left out as asked."
        for beyond, side, moment in sides
        if moment is not None and beyond.any()
    )
    return recording.take(~(before | after)), left_out  # what has no time is set aside with its reason


def _span(recording: Recording) -> str:
    """Return the first and the last time of day in a recording, as far as there are times."""
    known = recording.time[np.abs(recording.time) <= LONGEST_TIME]
    if not known.size:
        return "in UTC"
    ends = (recording.epoch + timedelta(seconds=float(time)) for time in (known.min(), known.max()))
    return f"{' to '.join(time_of_day(moment) for moment in ends)} UTC"


def _measured(recording: Recording) -> tuple[str, ...]:
    """Return what was measured, position as one thing and altitude as one, whatever its datum."""
    places = {"latitude": "position", "longitude": "position"}
    names = [
        "altitude" if name.startswith("altitude_") else places.get(name, name) for name in recording.measured
    ]
    return tuple(dict.fromkeys(names))


def _moments(epoch: datetime, seconds: NDArray[np.float64]) -> NDArray[np.datetime64]:
    base = np.datetime64(epoch.astimezone(UTC).replace(tzinfo=None), "ms")
    return base + np.round(seconds * 1000).astype("timedelta64[ms]")
