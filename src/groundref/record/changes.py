"""What changed from one debrief of a lesson to another: maneuvers, verdicts, findings, figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from groundref.progress.flown import ElementFlown, FaultFlown, ManeuverFlown

SAME: Final = 120.0  # a maneuver that two debriefs let begin no farther apart is the same one [s]
_OF_MANEUVER: Final = ("laps", "wind_from_deg", "wind_kt", "tas_kt", "radius_ft")
Value = str | float | None


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that another debrief says otherwise.

    Attributes
    ----------
    about
        `maneuver`, `verdict`, `finding` or `figure`.
    maneuver, kind
        Number in the lesson by the debrief that has it, the new one if both do, and kind.
    what
        The element, the common error or the figure; empty for a whole maneuver.
    words
        The element in the words of the standard; empty for all else.
    before, after
        What was and what is said: a verdict, a size, a figure; None where there was or is nothing.
    """

    about: str
    maneuver: int
    kind: str
    what: str
    before: Value
    after: Value
    words: str = ""


def seconds_apart(one: str, other: str) -> float:
    """Return how far apart two moments of the JSON are [s]."""
    return abs((datetime.fromisoformat(one) - datetime.fromisoformat(other)).total_seconds())


def changes(before: Sequence[ManeuverFlown], after: Sequence[ManeuverFlown]) -> tuple[Change, ...]:
    """Return what changed between two debriefs of one lesson.

    Parameters
    ----------
    before, after
        What was flown by each; the instructor's own verdicts do not count here.
    """
    both = pairs(before, after)
    old, new = {id(one) for one, _ in both}, {id(one) for _, one in both}
    found = [
        Change("maneuver", one.number, one.kind, "", "found", None) for one in before if id(one) not in old
    ]
    found += [
        Change("maneuver", one.number, one.kind, "", None, "found") for one in after if id(one) not in new
    ]
    for one, other in both:
        found += _between(one, other)
    return tuple(found)


def pairs(
    before: Sequence[ManeuverFlown], after: Sequence[ManeuverFlown]
) -> list[tuple[ManeuverFlown, ManeuverFlown]]:
    """Return the maneuvers that are one in both, those first that begin at nearly one moment."""
    near = sorted(
        (
            (apart, one.number, other.number, one, other)
            for one in before
            for other in after
            if one.kind == other.kind and (apart := seconds_apart(one.start, other.start)) <= SAME
        ),
        key=lambda each: each[:3],
    )
    pairs: list[tuple[ManeuverFlown, ManeuverFlown]] = []
    taken: set[int] = set()
    for _, _, _, one, other in near:
        if not {id(one), id(other)} & taken:
            taken |= {id(one), id(other)}
            pairs.append((one, other))
    return pairs


def _between(one: ManeuverFlown, other: ManeuverFlown) -> Iterator[Change]:
    for name in _OF_MANEUVER:
        if getattr(one, name) != getattr(other, name):
            yield _changed(other, "figure", name, getattr(one, name), getattr(other, name))
    yield from _of_elements(one, other)
    yield from _of_faults(one, other)


def _of_elements(one: ManeuverFlown, other: ManeuverFlown) -> Iterator[Change]:
    old, new = _named(one.elements), _named(other.elements)
    for name in dict.fromkeys((*old, *new)):
        was, now = old.get(name), new.get(name)
        if was is None or now is None or was.verdict != now.verdict:
            before, after = (None if each is None else each.verdict for each in (was, now))
            words = next(each.what for each in (now, was) if each is not None)
            yield _changed(other, "verdict", name, before, after, words)
        if was is not None and now is not None:
            for figure in ("worst", "worst_sd", "limit"):
                values = getattr(was, figure), getattr(now, figure)
                if values[0] != values[1]:
                    yield _changed(other, "figure", f"{name} {figure}", *values, now.what)


def _named(elements: Sequence[ElementFlown]) -> dict[str, ElementFlown]:
    """Return elements by code and quantity; those that share both are told apart by their order."""
    found: dict[str, ElementFlown] = {}
    times: dict[str, int] = defaultdict(int)
    for one in elements:
        name = f"{one.code}:{one.quantity}" if one.quantity else one.code
        times[name] += 1
        found[name if times[name] == 1 else f"{name} ({times[name]})"] = one
    return found


def _of_faults(one: ManeuverFlown, other: ManeuverFlown) -> Iterator[Change]:
    old, new = _by_fault(one.faults), _by_fault(other.faults)
    for name in dict.fromkeys((*old, *new)):
        was, now = old.get(name, []), new.get(name, [])
        for n in range(max(len(was), len(now))):
            sizes = tuple(each[n].size if n < len(each) else None for each in (was, now))
            if (n < len(was)) != (n < len(now)):
                yield _changed(other, "finding", name, sizes[0], sizes[1])
            elif sizes[0] != sizes[1]:
                yield _changed(other, "figure", name, sizes[0], sizes[1])


def _by_fault(faults: Sequence[FaultFlown]) -> dict[str, list[FaultFlown]]:
    found: dict[str, list[FaultFlown]] = defaultdict(list)
    for one in faults:
        found[one.fault].append(one)
    return found


def _changed(
    flown: ManeuverFlown, about: str, what: str, before: Value, after: Value, words: str = ""
) -> Change:
    return Change(about, flown.number, flown.kind, what, before, after, words)
