"""A lesson of the record on a terminal: who and where, what was flown, verdicts, findings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final

from rich.console import Group, RenderableType
from rich.constrain import Constrain
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from groundref.progress.flown import ElementFlown, ManeuverFlown, OwnVerdict
from groundref.reports import given_wind, kept, notices, verdict_words, words
from groundref.reports.verdicts import with_code

COLUMNS: Final = 100
Given = Callable[[ManeuverFlown, ElementFlown], OwnVerdict | None]


def summary(
    title: str,
    facts: Sequence[tuple[str, str]],
    flown: Sequence[ManeuverFlown],
    debrief: Mapping[str, Any],
    given: Given,
    *,
    console_width: int = COLUMNS,
) -> RenderableType:
    """Return a lesson for `rich` to print.

    Parameters
    ----------
    title
        Of the lesson.
    facts
        Name and value of what is known of it.
    flown
        What was flown, with the instructor's own verdicts.
    debrief
        The debrief's JSON.
    given
        The own verdict on an element, with who gave it.
    console_width
        Columns of the console; never more than :data:`COLUMNS` are used.
    """
    parts: list[RenderableType] = [Text(words.plain(title), style="bold"), _grid(facts)]
    for one in flown:
        parts += [Text(), *_maneuver(one, debrief, given)]
    if not flown:
        parts += [Text(), Text("No ground-reference maneuver was found in this recording.")]
    parts += [Text(), Text(f"{notices.ABOUT_SD} {notices.CAUTIONS[0]}", style="dim")]
    return Constrain(Group(*parts), min(console_width, COLUMNS))


def _grid(facts: Sequence[tuple[str, str]]) -> Table:
    grid = Table.grid(padding=(0, 2))
    grid.add_column(style="dim", no_wrap=True)
    grid.add_column()
    for name, value in facts:
        grid.add_row(Text(name), Text(words.plain(value)))
    return grid


def _maneuver(one: ManeuverFlown, debrief: Mapping[str, Any], given: Given) -> Iterator[RenderableType]:
    said = debrief["maneuvers"][one.number - 1]
    yield Text(f"{one.number}. {kept.heading(one)}", style="bold underline")
    yield Text("; ".join(_conditions(one, given_wind.wind_given(debrief["flight"]["notes"]))), style="dim")
    yield from _findings(said["findings"])
    yield Text()
    for element in kept.judged(one):
        yield from _element(one, element, given(one, element))
    unseen = [with_code(each.what, each.code) for each in kept.open_to_eye(one)]
    if unseen:
        yield Text(
            f"{words.CANNOT_TELL}, only an instructor on board sees it: {'; '.join(unseen)}", style="dim"
        )


def _conditions(one: ManeuverFlown, wind_given: str) -> Iterator[str]:
    yield f"{kept.clock(one.start)} to {kept.clock(one.end)} UTC"
    wind = kept.wind(one)
    beside = f" ({wind_given})" if wind_given else ""
    yield f"wind {wind}{beside}" if wind else "wind not known"
    if one.radius_ft is not None:
        yield f"radius {words.size(one.radius_ft, one.radius_sd_ft, 'ft')}"


def _findings(findings: Sequence[Mapping[str, Any]]) -> Iterator[RenderableType]:
    grid = Table.grid(padding=(0, 1))
    grid.add_column(justify="right", style="bold")
    grid.add_column()
    for number, finding in enumerate(findings, 1):
        grid.add_row(Text(f"{number}."), Text(kept.said(finding, "says"), style="bold"))
        grid.add_row(Text(), Text(f"Next time: {kept.said(finding, 'cure')}"))
    nothing = Text("No common error stood out beyond what the recording can be trusted for.")
    yield Padding(grid if findings else nothing, (0, 0, 0, 2))


def _element(one: ManeuverFlown, element: ElementFlown, own: OwnVerdict | None) -> Iterator[RenderableType]:
    """Return an element as a paragraph: the verdict that counts, what was flown, what the instructor said."""
    word = kept.verdict(element)
    head = Text(f"{word.says}: ", style=word.style)
    yield head.append(with_code(element.what, _named(one, element)), style="not bold not dim")
    flown = f"limit {kept.asked(element)}; {kept.worst(element)}"
    yield Padding(Text(flown, style="dim"), (0, 0, 0, 2))
    if own is not None:
        why = f": {own.reason}" if own.reason else ""
        shows = verdict_words.of(element).says
        differs = "" if own.verdict == element.verdict else f" (the recording: {shows})"
        yield Padding(Text(f"{word.says} by {verdict_words.by_whom(own)}{differs}{why}"), (0, 0, 0, 2))


def _named(one: ManeuverFlown, element: ElementFlown) -> str:
    """Return what to call an element on the command line."""
    alone = sum(other.code == element.code for other in one.elements) == 1
    return element.code if alone or not element.quantity else f"{element.code}:{element.quantity}"
