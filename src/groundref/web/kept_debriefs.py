"""A debrief that was kept of a lesson beside the one that counts, maneuver by maneuver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from groundref.progress.flown import ManeuverFlown, flown_in
from groundref.record.changes import changes, pairs
from groundref.record.earlier import KeptDebrief
from groundref.reports import html, kept
from groundref.track.counting import counted
from groundref.web.side_by_side import Beside, Side, elements, wind_and_size
from groundref.web.side_known import known_of_two

_ABOUT: Final = ("maneuver", "verdict", "finding", "figure")


@dataclass(frozen=True, slots=True)
class Told:
    """A maneuver by one debrief, by the other, or by both.

    Attributes
    ----------
    name
        Starts the ids of what stands about it.
    heading
        What it was and when.
    sides
        By the kept debrief and by the one that counts; None where it was not found.
    rows
        Of the table of both; empty where one of them has none.
    known
        How its figures are known, as HTML.
    """

    name: str
    heading: str
    sides: tuple[Side | None, Side | None]
    rows: tuple[Beside, ...] = ()
    known: str = ""


def told(one: KeptDebrief) -> list[Told]:
    """Return the maneuvers of both debriefs, in the order flown; verdicts are those of the recording.

    Parameters
    ----------
    one
        The debrief and the one that counts.
    """
    then, now = one.plain
    flown = flown_in(then), flown_in(now)
    both = {each.number: other for each, other in pairs(*flown)}
    alone = set(range(1, len(flown[1]) + 1)) - {other.number for other in both.values()}

    def side(document: Mapping[str, Any], maneuver: ManeuverFlown | None, turn: int) -> Side | None:
        if maneuver is None:
            return None
        said = tuple(document["maneuvers"][maneuver.number - 1]["findings"])
        return Side(one.lesson, maneuver, said, document, f"Debrief {turn}")

    found = [
        (each, (side(then, each, one.turn), side(now, both.get(each.number), one.counts)))
        for each in flown[0]
    ]
    found += [(each, (None, side(now, each, one.counts))) for each in flown[1] if each.number in alone]
    found.sort(key=lambda each: each[0].start)
    return [_told(number, each, sides) for number, (each, sides) in enumerate(found, start=1)]


def _told(number: int, flown: ManeuverFlown, sides: tuple[Side | None, Side | None]) -> Told:
    heading = f"{kept.heading(flown)}, {kept.clock(flown.start)} to {kept.clock(flown.end)} UTC"
    first, second = sides
    if first is None or second is None:
        return Told(f"b{number}", heading, sides)
    rows = (*wind_and_size(first, second), *elements(first, second))
    return Told(
        f"b{number}", heading, sides, rows, html.known(f"b{number}", known_of_two(first, second), "figures")
    )


def otherwise(one: KeptDebrief) -> str:
    """Return in words how much the debrief that counts says otherwise; empty where it says the same."""
    number = Counter(each.about for each in changes(*(flown_in(each) for each in one.plain)))
    return ", ".join(counted(number[about], about) for about in _ABOUT if number[about])
