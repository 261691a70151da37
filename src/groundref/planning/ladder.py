"""The next exercise out of the last debrief: a small change where something was weak, else a step up.

The rules are common practice, no source: one thing made easier at a time, as little as serves, and one thing
made harder when all was well. Each says what it saw, what it changes, and why. They propose; the instructor
decides.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil
from pathlib import Path
from typing import Final

import msgspec
from msgspec import Struct, field

from groundref.errors import InputError, UsageError
from groundref.mechanics.circle import smallest_radius
from groundref.planning.asked import Blowing, Wanted
from groundref.planning.fit import CEILING
from groundref.standards.usual import usual
from groundref.units import degree, foot, knot

SCHEMA: Final = "groundref/debrief/1"
WIDER: Final = 1.25
"""A radius that is made wider grows by this: a fifth less of tan φ everywhere."""
TIGHTER: Final = 0.9
_REMEDY: Final = "give the file that groundref debrief --json wrote"
_TOO_STEEP: Final = frozenset({"bank-over-limit"})
_BY_PLACE: Final = frozenset(
    {"overbanked-upwind", "underbanked-downwind", "bank-held-constant", "wrong-crab"}
)
_UNEVEN: Final = frozenset(
    {"radius-changed", "unequal-half-circles", "leg-distance-uneven", "not-level-at-line"}
)
_HELD: Final = frozenset({"altitude-not-held", "airspeed-not-held", "outside-height-band", "uncoordinated"})
_ENTRY: Final = frozenset({"late-turn-entry", "entry-not-downwind", "entry-too-close", "entry-too-far"})
_BRISK: Final = 12.0 * knot
"""A wind in which a maneuver is first practiced less; own figure."""


class _Wind(Struct):
    from_deg: float
    speed_kt: float
    tas_kt: float


class _Finding(Struct):
    fault: str
    says: str = ""


class _Element(Struct):
    code: str
    what: str
    verdict: str


class _Maneuver(Struct):
    kind: str
    direction: str
    radius_ft: float | None = None
    wind: _Wind | None = None
    laps: list[object] = field(default_factory=list)
    findings: list[_Finding] = field(default_factory=list)
    elements: list[_Element] = field(default_factory=list)


class _File(Struct):
    schema: str
    maneuvers: list[_Maneuver]


@dataclass(frozen=True, slots=True)
class Step:
    """One change that is proposed.

    Attributes
    ----------
    rule
        Short and stable, for programs, such as `wider-radius`.
    saw
        What in the debrief asks for it.
    change
        What is changed.
    why
        Why it helps.
    """

    rule: str
    saw: str
    change: str
    why: str


@dataclass(frozen=True, slots=True)
class Next:
    """The exercise proposed.

    Attributes
    ----------
    wanted
        How to fly it.
    wind
        That of the last flight, to plan with where no other is given; None where it could not be told.
    steps
        What is changed, and why, most important first.
    """

    wanted: Wanted
    wind: Blowing | None
    steps: tuple[Step, ...]


def read_last(path: str, kind: str) -> tuple[_Maneuver, ...]:
    """Read the maneuvers of a kind from the JSON of a debrief, in the order flown.

    Parameters
    ----------
    path
        Of the JSON.
    kind
        Such as `s-turns`.

    Raises
    ------
    UsageError
        When nothing of the kind is in it.
    InputError
        When there is no such file, or it is no debrief.
    """
    try:
        content = Path(path).read_bytes()
    except FileNotFoundError as problem:
        raise InputError("there is no such file", path, _REMEDY) from problem
    except OSError as problem:
        raise InputError(f"it cannot be read ({problem.strerror})", path, _REMEDY) from problem
    return parse_last(content, path, kind)


def parse_last(content: bytes, where: str, kind: str) -> tuple[_Maneuver, ...]:
    """Read the maneuvers of a kind from the bytes of a debrief's JSON; ``where`` names it in messages."""
    try:
        file = msgspec.json.decode(content, type=_File)
    except (msgspec.DecodeError, UnicodeDecodeError) as problem:
        raise InputError(f"this is not a debrief ({problem})", where, _REMEDY) from problem
    if file.schema != SCHEMA:
        raise InputError(f"its schema is {file.schema!r} and not {SCHEMA!r}", where, _REMEDY)
    flown = tuple(each for each in file.maneuvers if each.kind == kind)
    if not flown:
        had = ", ".join(dict.fromkeys(each.kind for each in file.maneuvers)) or "no maneuver at all"
        raise UsageError(
            f"no {kind} was flown in it, but {had}", where, "plan what was flown, or another debrief"
        )
    return flown


def propose(flown: Sequence[_Maneuver], wanted: Wanted) -> Next:
    """Return the next exercise after the last of some maneuvers of one kind.

    Parameters
    ----------
    flown
        In the order flown, as `read_last` returns them.
    wanted
        What is asked for anyway: that stands, and no rule changes it.
    """
    last = flown[-1]
    begun = _as_flown(last, wanted)
    steps: list[Step] = []
    for rule in _RULES:
        begun, step = rule(flown, begun, wanted, bool(steps))
        steps += [] if step is None else [step]
    wind = None
    if last.wind is not None:
        wind = Blowing(
            speed=last.wind.speed_kt * knot,
            direction_from=last.wind.from_deg * degree,
            how="that of the flight debriefed, as measured",
        )
    return Next(begun, wind, tuple(steps))


def _as_flown(last: _Maneuver, wanted: Wanted) -> Wanted:
    """Return what was flown, where nothing else is asked for."""
    radius = wanted.radius
    if radius is None and last.radius_ft is not None and wanted.bank_limit is None:
        radius = 10.0 * foot * round(last.radius_ft / 10.0)
    direction = last.direction if last.direction in ("left", "right") else wanted.direction
    speed = wanted.true_airspeed
    if speed is None and wanted.calibrated_airspeed is None and last.wind is not None:
        speed = last.wind.tas_kt * knot
    return replace(wanted, radius=radius, direction=direction, true_airspeed=speed)


Rule = Callable[[Sequence[_Maneuver], Wanted, Wanted, bool], tuple[Wanted, Step | None]]


def _wider(
    flown: Sequence[_Maneuver], now: Wanted, asked: Wanted, anything: bool
) -> tuple[Wanted, Step | None]:
    """Make the radius wider where the bank was too steep, or wrong by place in a brisk wind."""
    last = flown[-1]
    steep = _seen(last, _TOO_STEEP) or _not_met(last, "bank")
    windy = last.wind is not None and last.wind.speed_kt * knot >= _BRISK
    saw = steep or (_seen(last, _BY_PLACE) if windy else "")
    if not saw or now.radius is None or asked.radius is not None:
        return now, None
    radius = 50.0 * foot * ceil(max(now.radius * WIDER, _needed(last)) / (50.0 * foot) - 1e-9)
    why = "a wider circle needs less bank everywhere, and the bank has to change more slowly"
    change = f"radius {radius / foot:,.0f} ft in place of {now.radius / foot:,.0f} ft"
    return replace(now, radius=radius), Step("wider-radius", saw, change, why)


def _needed(last: _Maneuver) -> float:
    """Return the radius that keeps within the handbook's 45° flying downwind in the wind flown [m]."""
    if last.wind is None:
        return 0.0
    return float(smallest_radius(last.wind.tas_kt * knot, last.wind.speed_kt * knot, CEILING))


def _lighter(
    flown: Sequence[_Maneuver], now: Wanted, asked: Wanted, anything: bool
) -> tuple[Wanted, Step | None]:
    """Advise less wind where bank by place was wrong in a brisk one."""
    last = flown[-1]
    saw = _seen(last, _BY_PLACE)
    if not saw or last.wind is None or last.wind.speed_kt * knot < _BRISK:
        return now, None
    why = (
        "the tangents of the banks are as the squares of the ground speeds, so with half of the wind they "
        "differ about half as much"
    )
    change = f"a day or an hour with less wind than these {last.wind.speed_kt:.0f} kt"
    return now, Step("less-wind", saw, change, why)


def _more(
    flown: Sequence[_Maneuver], now: Wanted, asked: Wanted, anything: bool
) -> tuple[Wanted, Step | None]:
    """Fly more laps where what differs from lap to lap, or what should be held, was weak."""
    last = flown[-1]
    saw = _seen(last, _UNEVEN) or _seen(last, _HELD) or _not_met(last, "altitude", "airspeed", "height")
    if not saw or asked.laps is not None:
        return now, None
    laps = usual(last.kind).laps + 1.0
    change = f"{laps:g} in place of {usual(last.kind).laps:g} in a row"
    why = "the first ones settle height, airspeed and the circle; the later ones show whether it holds"
    return replace(now, laps=laps), Step("more-laps", saw, change, why)


def _entries(
    flown: Sequence[_Maneuver], now: Wanted, asked: Wanted, anything: bool
) -> tuple[Wanted, Step | None]:
    """Fly several short ones where the entry was weak."""
    last = flown[-1]
    saw = _seen(last, _ENTRY)
    if not saw or asked.laps is not None:
        return now, None
    few = 2.0 if last.kind == "s-turns" else 1.0
    change = f"several entries, {few:g} each time"
    why = "an entry is learned by entering, and what follows is only as good as it"
    return replace(now, laps=few), Step("more-entries", saw, change, why)


def _other_way(
    flown: Sequence[_Maneuver], now: Wanted, asked: Wanted, anything: bool
) -> tuple[Wanted, Step | None]:
    """Fly the other way round when all was well, as long as only one way was flown."""
    ways = {each.direction for each in flown}
    if anything or _weak(flown[-1]) or "both" in ways or len(ways) != 1:
        return now, None
    other = "right" if ways == {"left"} else "left"
    saw = f"nothing stood out to the {now.direction}"
    why = "the point is then seen past the other wing, and a standard may ask for either"
    return replace(now, direction=other), Step("other-direction", saw, f"turns to the {other}", why)


def _tighter(
    flown: Sequence[_Maneuver], now: Wanted, asked: Wanted, anything: bool
) -> tuple[Wanted, Step | None]:
    """Make the radius tighter when all was well both ways."""
    if anything or _weak(flown[-1]) or now.radius is None or asked.radius is not None:
        return now, None
    radius = 50.0 * foot * round(now.radius * TIGHTER / (50.0 * foot))
    change = f"radius {radius / foot:,.0f} ft in place of {now.radius / foot:,.0f} ft"
    why = "a tighter circle asks for more bank and a quicker change of it, within the same limit"
    return replace(now, radius=radius), Step("tighter-radius", "nothing stood out either way", change, why)


_RULES: Final[tuple[Rule, ...]] = (_wider, _lighter, _more, _entries, _other_way, _tighter)


def _seen(last: _Maneuver, faults: frozenset[str]) -> str:
    """Return the common errors of a group that were said; empty for none."""
    return ", ".join(each.fault.replace("-", " ") for each in last.findings if each.fault in faults)


def _not_met(last: _Maneuver, *words: str) -> str:
    """Return the first element that was not met and begins with one of some words; empty for none."""
    missed = (each for each in last.elements if each.verdict == "not-met" and each.what.startswith(words))
    return next((f"not met: {each.what}" for each in missed), "")


def _weak(last: _Maneuver) -> bool:
    """Return whether anything was found, or a limit not met."""
    return bool(last.findings) or any(each.verdict == "not-met" for each in last.elements)
