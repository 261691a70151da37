"""A student's progress on a terminal: what the lessons show first, the numbers below."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rich import box
from rich.console import Group, RenderableType
from rich.constrain import Constrain
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from groundref.detection import named
from groundref.progress.evidence import STANDING
from groundref.progress.told import ElementProgress, ManeuverProgress, Progress
from groundref.reports import notices, words
from groundref.reports.progress import words as said

COLUMNS: Final = 100
_NARROW: Final = 84  # columns below which the elements are lists and not rows
_STYLES: Final = {"not-met": "bold", "met": "", "undetermined": "dim", "too-few": "dim"}


def summary(progress: Progress, *, console_width: int = COLUMNS) -> RenderableType:
    """Return the summary, for `rich` to print; without colors and frames it reads the same.

    Parameters
    ----------
    progress
        The student's.
    console_width
        Columns of the console; never more than :data:`COLUMNS` are used.
    """
    wide = min(console_width, COLUMNS)
    parts: list[RenderableType] = [
        Text(f"Progress of {words.plain(progress.name)}", style="bold"),
        Text(said.span(progress)),
    ]
    if not progress.maneuvers:
        return Constrain(Group(*parts, Text(), Text(STANDING, style="bold")), wide)
    for one in progress.maneuvers:
        parts += _shown(one)
    parts += [Text(), Text(STANDING, style="bold")]
    for one in progress.maneuvers:
        parts += [Text(), *_numbers(one, wide)]
    parts += [Text(), Text(f"{said.ABOUT} {notices.ABOUT_SD} {notices.CAUTIONS[0]}", style="dim")]
    return Constrain(Group(*parts), wide)


def _shown(one: ManeuverProgress) -> Iterator[RenderableType]:
    """Return what the lessons show in one kind of maneuver."""
    yield Text()
    yield Text(named.title(one.kind), style="bold underline")
    for sentence in one.evidence:
        grid = Table.grid(padding=(0, 1))
        grid.add_row(Text("-"), Text(sentence))
        yield grid


def _numbers(one: ManeuverProgress, wide: int) -> Iterator[RenderableType]:
    yield Text(f"{named.title(one.kind)}, by numbers", style="bold underline")
    yield Text(f"{said.flown(one)}; wind {said.wind(one)}; turns: {said.directions(one)}", style="dim")
    measured = [each for each in one.elements if said.measured(each)]
    if measured:
        yield _table(measured) if wide >= _NARROW else Group(*(_listed(each) for each in measured))
    if said.unmeasured(one):
        yield Text(said.unmeasured(one), style="dim")
    yield Text(said.turns(one.elements))
    yield Text(said.winds(one.elements))
    if one.faults:
        yield Text("Common errors", style="bold")
        for fault in one.faults:
            yield Padding(Text(f"{said.error(fault)}: {said.how_often(fault)}"), (0, 0, 0, 2))


def _table(elements: list[ElementProgress]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    table.add_column("element")
    for head, right in (
        ("asked", True),
        ("last three", False),
        ("now", True),
        ("a lesson", True),
        ("trend", False),
    ):
        table.add_column(head, justify="right" if right else "left", no_wrap=True)
    for one in elements:
        table.add_row(
            said.compared(one),
            said.asked(one),
            Text(said.last_three(one), style=_STYLES[one.last_three.says]),
            said.now(one),
            said.change(one),
            said.trend(one),
        )
    return table


def _listed(one: ElementProgress) -> Group:
    going = f"{said.change(one)} a lesson, {said.trend(one)}"
    numbers = f"{said.last_three(one)}; now {said.now(one)}; {going}"
    return Group(Text(f"{said.compared(one)}, asked {said.asked(one)}"), Padding(Text(numbers), (0, 0, 0, 2)))
