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
from groundref.comparison.compare import Comparison
from groundref.debriefing import Debrief
from groundref.reports import facts, naming, notices, recorded, verdict_words, verdicts, words
from groundref.reports.cells import Fact
from groundref.reports.sections import planned, traffic_pattern
from groundref.reports.sections.every import SECTIONS
from groundref.reports.sections.parts import Table as Numbers

COLUMNS: Final = 100
_LAPS_A_TABLE: Final = 5  # as many columns as fit beside the names
_BETWEEN: Final = 3  # columns between those of a table
_NARROW: Final = 80  # columns below which the elements are lists and not rows
_VERDICT, _LIMIT, _WORST = 16, 26, 13  # columns of a row that hold these


def summary(
    debrief: Debrief, comparison: Comparison | None = None, *, console_width: int = COLUMNS
) -> RenderableType:
    """Return the summary, for `rich` to print; without colours and frames it reads the same.

    Parameters
    ----------
    debrief
        What was concluded.
    comparison
        It and the plan, where there is one.
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
    parts += [Text(warning, style="bold") for warning in recorded.warnings(debrief, notices.UNDO_ELSEWHERE)]
    parts += [Text(words, style="bold") for words in [planned.elsewhere(comparison)] if words]
    if len(debrief.maneuvers) > 1:
        parts += [*_titled("In this flight", *_contents(debrief))]
    if not debrief.maneuvers:
        parts += [*_nothing_found(debrief)]
    for number in range(1, len(debrief.maneuvers) + 1):
        parts += [Text(), *_maneuver(debrief, comparison, number, wide)]
    parts += _pattern(debrief, wide)
    parts += [*_titled("What was recorded", *_recorded(debrief))]
    parts += [Text(), Text(f"{notices.ABOUT_SD} {' '.join(notices.CAUTIONS)}", style="dim")]
    return Constrain(Group(*parts), wide)


def _pattern(debrief: Debrief, wide: int) -> Iterator[RenderableType]:
    """Return the circuits of the runway, where one was given."""
    found = debrief.traffic_patterns
    if found is None:
        return
    yield Text()
    title = traffic_pattern.heading(found) if found else "Traffic pattern"
    yield Text(title, style="bold underline")
    if not found:
        yield Text(notices.NONE_PATTERN)
        return
    for numbers in traffic_pattern.tables(debrief, found):
        yield from _titled(numbers.title, *_numbers(numbers, wide - 2))


def _nothing_found(debrief: Debrief) -> Iterator[RenderableType]:
    yield Text()
    what = "counts" if debrief.said else "was found"
    yield Text(f"No ground-reference maneuver {what} in this recording.", style="bold")
    looked = recorded.looked(debrief)
    yield Text(f"The recording could be read, and every turn in it was looked at: {looked}.")
    if why := recorded.none_why(debrief):
        yield Text(why)
    yield from (_bullet(reason) for reason in recorded.none_reasons(debrief, notices.UNDO_ELSEWHERE))


def _bullet(said: str) -> Table:
    grid = Table.grid(padding=(0, 1))
    grid.add_row(Text("-"), Text(said))
    return grid


def _maneuver(
    debrief: Debrief, comparison: Comparison | None, number: int, wide: int
) -> Iterator[RenderableType]:
    one = debrief.maneuvers[number - 1]
    m, epoch = one.maneuver, debrief.track.recording.epoch
    head = f"{number}. " if len(debrief.maneuvers) > 1 else ""
    yield Text(f"{head}{naming.heading(one)}", style="bold underline")
    yield Text(words.from_to(epoch, m.start, m.end), style="dim")
    if m.drifts:
        yield Text(facts.drift(one), style="bold")
    yield from _findings(debrief, one)
    if comparison is not None and comparison.number == number:
        said = (Text(words) for words in planned.sentences(comparison))
        yield from _titled("Plan and flight", *said, *_numbers(planned.table(comparison), wide - 2))
    yield from _titled("How it was flown", _facts(SECTIONS[m.kind].facts(debrief, one)))
    yield from _titled("Against the standard", *_verdicts(debrief, one, wide - 2))
    seen = verdicts.observed(debrief, one)
    if seen:
        yield Padding(
            Text(f"{words.CANNOT_TELL}, only an instructor on board sees it: {'; '.join(seen)}."),
            (0, 0, 0, 2),
        )
    for numbers in SECTIONS[m.kind].tables(debrief, one):
        yield from _titled(numbers.title, *_numbers(numbers, wide - 2))
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
        grid.add_row(Text(), Text(facts.finding_place(debrief, one, finding), style="dim"))
    nothing = Text("No common error stood out beyond what the recording can be trusted for.")
    unseen = (Text(said) for said in one.not_looked_for)
    yield from _titled("What to talk about first", grid if one.findings else nothing, *unseen)


def _facts(facts: list[Fact]) -> Table:
    grid = Table.grid(padding=(0, 2))
    grid.add_column(style="dim", no_wrap=True)
    grid.add_column()
    for fact in facts:
        grid.add_row(Text(fact.name), Text(fact.value))
    return grid


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
    asked = "usual" if verdict.recorded.mark == verdict_words.UNPRINTED else "limit"
    limit = f"{asked} {verdict.limit.main}, {verdict.basis}"
    yield Padding(Text(f"{limit}; worst flown {verdict.worst.main}"), (0, 0, 0, 2))
    yield from _because(verdict, 2)


def _said(verdict: verdicts.Verdict) -> Text:
    return Text(verdict.recorded.says, style=verdict.recorded.style)


def _because(verdict: verdicts.Verdict, indent: int) -> Iterator[RenderableType]:
    """Return why, where the answer is not simply that it was met."""
    if verdict.recorded.mark != "met":
        yield Padding(Text(verdict.why, style="dim"), (0, 0, 0, indent))


def _contents(debrief: Debrief) -> Iterator[RenderableType]:
    """Return a few lines on each maneuver: what, when, how surely, and how it came out."""
    grid = Table.grid(padding=(0, 1))
    grid.add_column(justify="right")
    grid.add_column()
    for number, one in enumerate(debrief.maneuvers, 1):
        m = one.maneuver
        grid.add_row(Text(f"{number}."), Text(naming.heading(one), style="bold"))
        when = words.from_to(debrief.track.recording.epoch, m.start, m.end)
        grid.add_row(Text(), Text(f"{when}; {facts.sureness(one)}", style="dim"))
        talk = f"; {len(one.findings)} to talk about" if one.findings else ""
        grid.add_row(Text(), Text(f"{verdicts.counts(debrief, one)}{talk}", style="dim"))
    yield grid


def _numbers(numbers: Numbers, wide: int) -> Iterator[RenderableType]:
    """Return a table by numbers, in as few pieces as fit beside the names; as a list where none fits."""
    pieces = _pieces(numbers, wide)
    yield from (_piece(numbers, shown, wide) for shown in pieces)
    if not pieces:
        yield from _as_list(numbers)
    if numbers.says:
        yield Text(numbers.says, style="dim")


def _piece(numbers: Numbers, shown: range, wide: int) -> Table:
    """Return some columns of a table beside its names, in which only heads are broken over lines."""
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    heads = [numbers.heads[0], *(numbers.heads[n + 1] for n in shown)]
    widths = _widths(heads, _least_widths(numbers, shown), wide - _BETWEEN * len(shown))
    for n, (head, width) in enumerate(zip(heads, widths, strict=True)):
        table.add_column(Text(head), justify="right" if n else "left", width=width)
    for name, cells in numbers.rows:
        table.add_row(Text(name), *(Text(cells[n].main) for n in shown))
    return table


def _widths(heads: list[str], least: list[int], room: int) -> list[int]:
    """Return the widths of columns: their least ones, and what is left over to the longer heads."""
    widths = list(least)
    for n, head in enumerate(heads):
        widths[n] += max(min(len(head) - widths[n], room - sum(widths)), 0)
    return widths


def _pieces(numbers: Numbers, wide: int) -> list[range]:
    """Return which columns stand together, about as many in each piece; none where a piece is too narrow."""
    columns = len(numbers.heads) - 1
    least = -(-columns // _LAPS_A_TABLE) if numbers.by_lap else 1
    for count in range(least, columns + 1):
        a_piece = -(-columns // count)
        if a_piece == 1 < columns and not numbers.by_lap:
            break
        pieces = [range(n, min(n + a_piece, columns)) for n in range(0, columns, a_piece)]
        if all(sum(_least_widths(numbers, shown)) + _BETWEEN * len(shown) <= wide for shown in pieces):
            return pieces
    return []


def _least_widths(numbers: Numbers, shown: range) -> list[int]:
    """Return the width of the names and of some columns when no cell and no word of a head is broken."""
    names = [name for name, _ in numbers.rows]
    columns = [[cells[n].main for _, cells in numbers.rows] for n in shown]
    heads = [numbers.heads[0], *(numbers.heads[n + 1] for n in shown)]
    return [
        max(map(len, [*head.split(), *cells, ""]))
        for head, cells in zip(heads, [names, *columns], strict=True)
    ]


def _as_list(numbers: Numbers) -> Iterator[RenderableType]:
    """Return a paragraph a row, for a narrow terminal; of laps one a lap."""
    columns = range(len(numbers.heads) - 1)
    if numbers.by_lap:
        for n in columns:
            yield Text(numbers.heads[n + 1])
            said = "; ".join(f"{name} {cells[n].main}" for name, cells in numbers.rows)
            yield Padding(Text(said), (0, 0, 0, 2))
        return
    for name, cells in numbers.rows:
        yield Text(name)
        said = "; ".join(f"{numbers.heads[n + 1]} {cells[n].main}" for n in columns)
        yield Padding(Text(said), (0, 0, 0, 2))
