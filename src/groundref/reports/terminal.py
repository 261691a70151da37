"""The debrief as a summary for a terminal: at most 100 columns, plain text where there is no terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rich import box
from rich.console import Group, RenderableType
from rich.constrain import Constrain
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import recorded, tables, words

COLUMNS: Final = 100
_LAPS_A_TABLE: Final = 5  # as many columns as fit beside the names
_STYLES: Final = {"met": "", "not-met": "bold", "undetermined": "dim"}


def summary(debrief: Debrief, *, console_width: int = COLUMNS) -> RenderableType:
    """Return the summary, for `rich` to print; without colours and frames it reads the same.

    Parameters
    ----------
    debrief
        What was concluded.
    console_width
        Columns of the console; never more than :data:`COLUMNS` are used.
    """
    recording = debrief.track.recording
    start, end = float(debrief.track.time[0]), float(debrief.track.time[-1])
    times = f"{words.moment(recording.epoch, start)} to {words.moment(recording.epoch, end)} UTC"
    parts: list[RenderableType] = [
        Text(f"Debrief of {words.plain(recording.source)}", style="bold"),
        Text(f"{words.day(recording.epoch, start)}, {times}"),
    ]
    if not debrief.maneuvers:
        parts += [Text(), Text("No ground-reference maneuver was found in this recording.", style="bold")]
    for number, one in enumerate(debrief.maneuvers, 1):
        parts += [Text(), *_maneuver(debrief, one, number)]
    parts += [*_titled("What was recorded", *_recorded(debrief))]
    parts += [Text(), Text(f"{tables.ABOUT_SD} {' '.join(tables.CAUTIONS)}", style="dim")]
    return Constrain(Group(*parts), min(console_width, COLUMNS))


def _maneuver(debrief: Debrief, one: Assessed, number: int) -> Iterator[RenderableType]:
    m, epoch = one.maneuver, debrief.track.recording.epoch
    head = f"{number}. " if len(debrief.maneuvers) > 1 else ""
    yield Text(f"{head}{tables.heading(one)}", style="bold underline")
    yield Text(f"{words.moment(epoch, m.start)} to {words.moment(epoch, m.end)} UTC", style="dim")
    if m.drifts:
        yield Text(tables.drift(one), style="bold")
    yield from _findings(debrief, one)
    yield from _titled("How it was flown", _facts(tables.facts(debrief, one)))
    yield from _titled("Against the standard", _verdicts(debrief, one))
    seen = tables.observed(debrief, one)
    if seen:
        yield Padding(
            Text(f"can't tell, only an instructor on board sees it: {'; '.join(seen)}."), (0, 0, 0, 2)
        )
    yield from _titled("Lap by lap", *_laps(debrief, one))
    yield from _titled("Round the circle", _places(debrief, one))
    yield from (Text(f"Note: {note}", style="dim") for note in m.notes)


def _recorded(debrief: Debrief) -> Iterator[RenderableType]:
    yield _facts(recorded.flight_facts(debrief))
    yield from (Text(loss) for loss in recorded.losses(debrief))
    yield from (Text(f"Note: {note}", style="dim") for note in recorded.notes(debrief))


def _titled(title: str, *parts: RenderableType) -> Iterator[RenderableType]:
    yield Text()
    yield Text(title, style="bold")
    yield from (Padding(part, (0, 0, 0, 2)) for part in parts)


def _findings(debrief: Debrief, one: Assessed) -> Iterator[RenderableType]:
    grid = Table.grid(padding=(0, 1))
    grid.add_column(justify="right", style="bold")
    grid.add_column()
    for number, finding in enumerate(one.findings, 1):
        grid.add_row(Text(f"{number}."), Text(finding.says, style="bold"))
        grid.add_row(Text(), Text(f"Next time: {finding.cure}"))
        grid.add_row(Text(), Text(tables.finding_place(debrief, finding), style="dim"))
    nothing = Text("No common error stood out beyond what the recording can be trusted for.")
    yield from _titled("What to talk about first", grid if one.findings else nothing)


def _facts(facts: list[tables.Fact]) -> Table:
    grid = Table.grid(padding=(0, 2))
    grid.add_column(style="dim", no_wrap=True)
    grid.add_column()
    for fact in facts:
        grid.add_row(Text(fact.name), Text(fact.value))
    return grid


def _table(*heads: str, right: bool) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    table.add_column(Text(heads[0]))
    for head in heads[1:]:
        table.add_column(Text(head), justify="right" if right else "left", overflow="fold")
    return table


def _verdicts(debrief: Debrief, one: Assessed) -> Table:
    table = _table("verdict", "element", "limit", "worst flown", right=False)
    for verdict in tables.verdicts(debrief, one):
        table.add_row(
            Text(verdict.said, style=_STYLES[verdict.verdict]),
            _element(verdict),
            Text(f"{verdict.limit.main}, {verdict.basis}"),
            Text(verdict.worst.main),
        )
    return table


def _element(verdict: tables.Verdict) -> Text:
    """Return what is asked, and why where the answer is not simply that it was met."""
    said = Text(f"{verdict.what} ({verdict.code})")
    return said if verdict.verdict == "met" else said.append(f"\n{verdict.why}", style="dim")


def _laps(debrief: Debrief, one: Assessed) -> Iterator[Table]:
    rows = tables.lap_rows(debrief, one)
    for first in range(0, len(one.maneuver.laps), _LAPS_A_TABLE):
        shown = range(first, min(first + _LAPS_A_TABLE, len(one.maneuver.laps)))
        table = _table("", *(f"lap {n + 1}" for n in shown), right=True)
        for row in rows:
            table.add_row(Text(row.name), *(Text(row.cells[n].main) for n in shown))
        yield table


def _places(debrief: Debrief, one: Assessed) -> Table:
    table = _table("lap · place", *tables.PLACE_HEADS, right=True)
    for name, cells in tables.place_rows(debrief, one):
        table.add_row(Text(name), *(Text(cell.main) for cell in cells))
    return table
