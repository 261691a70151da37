"""Which column of a table feeds which channel, and how what is not said is understood.

Two open conventions of ADS-B state-vector tables are known besides headings that state their unit: the
one with `velocity`, `vertrate` and `baroaltitude` in SI, and the one with `groundspeed`, `vertical_rate`
and `altitude` in knots and feet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from groundref.errors import ColumnsError
from groundref.readers._units import AVIATION
from groundref.readers.headings import Heading
from groundref.track.recording import CHANNELS

_ADSB_SI: Final = frozenset(
    {"velocity", "vertrate", "baroaltitude", "baro_altitude", "lastposupdate", "time_position"}
)
_ADSB_AVIATION: Final = frozenset({"timestamp", "groundspeed", "vertical_rate"})
_COMPANIONS: Final = frozenset({"true_airspeed", "indicated_airspeed", "airspeed_plain", "bank", "pitch"})
_TIMES: Final = ("time_utc", "time", "elapsed")
HELPERS: Final = (
    *_TIMES,
    "date_utc",
    "date",
    "utc_offset",
    "position_time",
    "icao24",
    "callsign",
    "latitude_side",
    "longitude_side",
)


@dataclass(frozen=True, slots=True)
class Layout:
    """What each column is.

    Attributes
    ----------
    channels
        Heading by the recording's name of the channel, or by a helper's name.
    adsb
        `si`, `aviation` or empty: the convention of state vectors that the table follows.
    cockpit
        Whether columns without a unit are in feet, knots and feet per minute.
    notes
        How what the headings do not say was understood.
    """

    channels: dict[str, Heading]
    adsb: str
    cockpit: bool
    notes: tuple[str, ...]

    @property
    def columns(self) -> tuple[int, ...]:
        """Numbers of all columns in use, ascending."""
        return tuple(sorted({heading.index for heading in self.channels.values()}))


def lay_out(headings: Sequence[Heading], where: str) -> Layout:
    """Decide which column feeds which channel.

    Raises
    ------
    ColumnsError
        When there is no latitude, longitude or time; the sentence names the columns that were seen.
    """
    found: dict[str, Heading] = {}
    # A time stamp stands before a plain time, which may count from the start of the recorder.
    for heading in sorted(headings, key=lambda heading: not heading.words & {"stamp", "date"}):
        if heading.quantity:
            found.setdefault(heading.quantity, heading)
    _require(found, headings, where)
    adsb = _convention(headings)
    notes: list[str] = []
    _settle_altitudes(found, adsb, notes)
    _settle_headings(found, adsb, notes)
    _settle(found, "speed_plain", "ground_speed", "as ground speed", [] if adsb else notes)
    _settle(found, "airspeed_plain", "indicated_airspeed", "as indicated airspeed", notes)
    if "track_magnetic" in found:
        notes.append(f"Column '{found.pop('track_magnetic').text}' is a magnetic track and was not used.")
    used = {name: heading for name, heading in found.items() if name in CHANNELS or name in HELPERS}
    notes += _unused(headings, used)
    stated = {heading.unit.factor for heading in used.values() if heading.unit}
    return Layout(used, adsb, adsb == "aviation" or (not adsb and bool(stated & AVIATION)), tuple(notes))


def _require(found: dict[str, Heading], headings: Sequence[Heading], where: str) -> None:
    missing = [name for name in ("latitude", "longitude") if name not in found]
    if not any(name in found for name in _TIMES):
        missing.append("time")
    if missing:
        lines = " | ".join(["[columns]", *(f'{name} = "…"' for name in missing)])
        raise ColumnsError(
            f"has no column for {' and '.join(missing)}; its columns are {seen(headings)}",
            where,
            f"give a text file of these lines with --columns FILE: {lines} (see docs/recordings.md)",
        )


def seen(headings: Sequence[Heading]) -> str:
    """Return the headings for a sentence, not too many of them."""
    names = [f"'{heading.text[:30]}'" for heading in headings if heading.text]
    return ", ".join(names[:30]) + (f" and {len(names) - 30} more" if len(names) > 30 else "")


def _convention(headings: Sequence[Heading]) -> str:
    names = {heading.text.strip().lower() for heading in headings}
    if names & _ADSB_SI:
        return "si"
    if names >= _ADSB_AVIATION or (
        names & {"icao24", "callsign"} and names & {"groundspeed", "vertical_rate"}
    ):
        return "aviation"
    return "si" if "icao24" in names else ""


def _settle(found: dict[str, Heading], plain: str, channel: str, how: str, notes: list[str]) -> None:
    """Let a column that does not say which of several quantities it is be the usual one."""
    heading = found.pop(plain, None)
    if heading is None:
        return
    if channel in found:
        return
    found[channel] = replace(heading, quantity=channel)
    notes.append(f"Column '{heading.text}' was taken {how}.")


def _settle_altitudes(found: dict[str, Heading], adsb: str, notes: list[str]) -> None:
    _settle(found, "altitude_gps", "altitude_ellipsoid", "as height above the ellipsoid", notes)
    if adsb:
        _settle(found, "altitude_plain", "altitude_pressure", "as pressure altitude", notes)
    _settle(found, "altitude_plain", "altitude_msl", "as altitude above mean sea level", notes)
    how = "as altitude above mean sea level, as set on the altimeter"
    _settle(found, "altitude_indicated", "altitude_msl", how, notes)


def _settle_headings(found: dict[str, Heading], adsb: str, notes: list[str]) -> None:
    heading = found.get("heading_plain")
    if heading is None:
        return
    if adsb == "si" and "track" not in found:
        _settle(found, "heading_plain", "track", "as the true track, as state vectors mean it", notes)
    elif found.keys() & _COMPANIONS:
        _settle(found, "heading_plain", "heading_magnetic", "as magnetic heading", notes)
    else:
        # Many phones call the direction of motion a heading; taken for the nose it would hide the wind.
        del found["heading_plain"]
        notes.append(f"Column '{heading.text}' may be heading or track and was not used.")


def _unused(headings: Sequence[Heading], used: dict[str, Heading]) -> list[str]:
    taken = {heading.index for heading in used.values()}
    rest = [heading.text for heading in headings if heading.text and heading.index not in taken]
    if not rest:
        return []
    more = f" and {len(rest) - 12} more" if len(rest) > 12 else ""
    return [f"Columns not used: {', '.join(rest[:12])}{more}."]
