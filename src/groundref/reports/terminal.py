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
from groundref.reports import facts, notices, recorded, tables, verdicts, words
from groundref.reports.cells import Fact

COLUMNS: Final = 100
_LAPS_A_TABLE: Final = 5  # as many columns as fit beside the names
_STYLES: Final = {"met": "", "not-met": "bold", "undetermined": "dim", "unprinted": ""}
_NARROW: Final = 80  # columns below which the elements are lists and not rows
_VERDICT, _LIMIT, _WORST = 16, 26, 13  # columns of a row that hold these


def summary(debrief: Debrief, *, console_width: int = COLUMNS) -> RenderableType:
    """Return the summary, for `rich` to print; without colours and frames it reads the same.

    Parameters
    ----------
    debrief
        What was concluded.
    console_width
        Columns of the console; never more than :data:`COLUMNS` are used.
    """
    wide = min(console_width, COLUMNS)
    recording = debrief.track.recording
    start, end = float(debrief.track.time[0]), float(debrief.track.time[-1])
    times = words.from_to(recording.epoch, start, end)
    parts: list[RenderableType] = [
        Text(f"Debrief of {words.plain(recording.source)}", style="bold"),
        Text(f"{words.day(recording.epoch, start)}, {times}"),
    ]
    parts += [Text(warning, style="bold") for warning in recorded.warnings(debrief)]
    if not debrief.maneuvers:
        parts += [*_nothing_found(debrief)]
    for number, one in enumerate(debrief.maneuvers, 1):
        parts += [Text(), *_maneuver(debrief, one, number, wide)]
    parts += [*_titled("What was recorded", *_recorded(debrief))]
    parts += [Text(), Text(f"{notices.ABOUT_SD} {' '.join(notices.CAUTIONS)}", style="dim")]
    return Constrain(Group(*parts), wide)


def _nothing_found(debrief: Debrief) -> Iterator[RenderableType]:
    yield Text()
    yield Text("No ground-reference maneuver was found in this recording.", style="bold")
    looked = recorded.looked(debrief)
    yield Text(f"The recording could be read, and every turn in it was looked at: {looked}.")
    yield Text(notices.NONE_WHY)
    yield from (_bullet(reason) for reason in recorded.none_reasons(debrief))


def _bullet(said: str) -> Table:
    grid = Table.grid(padding=(0, 1))
    grid.add_row(Text("-"), Text(said))
    return grid


def _maneuver(debrief: Debrief, one: Assessed, number: int, wide: int) -> Iterator[RenderableType]:
    m, epoch = one.maneuver, debrief.track.recording.epoch
    head = f"{number}. " if len(debrief.maneuvers) > 1 else ""
    yield Text(f"{head}{facts.heading(one)}", style="bold underline")
    yield Text(words.from_to(epoch, m.start, m.end), style="dim")
    if m.drifts:
        yield Text(facts.drift(one), style="bold")
    yield from _findings(debrief, one)
    yield from _titled("How it was flown", _facts(facts.facts(debrief, one)))
    yield from _titled("Against the standard", *_verdicts(debrief, one, wide - 2))
    seen = verdicts.observed(debrief, one)
    if seen:
        yield Padding(
            Text(f"can't tell, only an instructor on board sees it: {'; '.join(seen)}."), (0, 0, 0, 2)
        )
    yield from _titled("Lap by lap", *_laps(debrief, one))
    yield from _titled("Round the circle", _places(debrief, one))
    yield from (Text(f"Note: {note}", style="dim") for note in facts.notes(one))


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
        grid.add_row(Text(), Text(facts.finding_place(debrief, finding), style="dim"))
    nothing = Text("No common error stood out beyond what the recording can be trusted for.")
    yield from _titled("What to talk about first", grid if one.findings else nothing)


def _facts(facts: list[Fact]) -> Table:
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


def _verdicts(debrief: Debrief, one: Assessed, wide: int) -> Iterator[RenderableType]:
    every = verdicts.verdicts(debrief, one)
    if wide < _NARROW - 2:
        for verdict in every:
            yield from _listed(verdict)
        return
    heads = Text("verdict"), Text("element"), Text("limit"), Text("worst flown")
    yield _in_a_row(heads, wide)
    yield Text("─" * wide)
    for verdict in every:
        limit = f"{verdict.limit.main}, {verdict.basis}"
        said, what = _said(verdict), Text(verdicts.with_code(verdict.what, verdict.code))
        yield _in_a_row((said, what, Text(limit), Text(verdict.worst.main)), wide)
        yield from _because(verdict, _VERDICT + 1)


def _in_a_row(cells: tuple[Text, Text, Text, Text], wide: int) -> Table:
    """Return one row, its columns as wide as in every other, so that a reason can span the line below."""
    grid = Table.grid(padding=(0, 1))
    for columns in (_VERDICT, wide - _VERDICT - _LIMIT - _WORST - 3, _LIMIT, _WORST):
        grid.add_column(width=columns)
    grid.add_row(*cells)
    return grid


def _listed(verdict: verdicts.Verdict) -> Iterator[RenderableType]:
    """Return one element as a paragraph, for a narrow terminal."""
    yield _said(verdict).append(
        f": {verdicts.with_code(verdict.what, verdict.code)}", style="not bold not dim"
    )
    limit = f"{'usual' if verdict.mark == 'unprinted' else 'limit'} {verdict.limit.main}, {verdict.basis}"
    yield Padding(Text(f"{limit}; worst flown {verdict.worst.main}"), (0, 0, 0, 2))
    yield from _because(verdict, 2)


def _said(verdict: verdicts.Verdict) -> Text:
    return Text(verdict.said, style=_STYLES[verdict.mark])


def _because(verdict: verdicts.Verdict, indent: int) -> Iterator[RenderableType]:
    """Return why, where the answer is not simply that it was met."""
    if verdict.mark != "met":
        yield Padding(Text(verdict.why, style="dim"), (0, 0, 0, indent))


def _laps(debrief: Debrief, one: Assessed) -> Iterator[Table]:
    rows = tables.lap_rows(debrief, one)
    for first in range(0, len(one.maneuver.laps), _LAPS_A_TABLE):
        shown = range(first, min(first + _LAPS_A_TABLE, len(one.maneuver.laps)))
        table = _table("", *(f"lap {n + 1}" for n in shown), right=True)
        for row in rows:
            table.add_row(Text(row.name), *(Text(row.cells[n].main) for n in shown))
        yield table


def _places(debrief: Debrief, one: Assessed) -> Table:
    table = _table(tables.place_head(one), *tables.PLACE_HEADS, right=True)
    for name, cells in tables.place_rows(debrief, one):
        table.add_row(Text(name), *(Text(cell.main) for cell in cells))
    return table
