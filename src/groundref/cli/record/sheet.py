"""A table of lessons: each row debriefed and kept, one after the other, and reported as it is saved."""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from groundref.cli.exits import say
from groundref.cli.interrupting import between_steps
from groundref.cli.looking import Looking
from groundref.cli.record.taking import Taken, Wanted, take
from groundref.errors import GroundrefError, InputError, NotInRecordError, RecordError, UsageError

if TYPE_CHECKING:
    from groundref.record.store import Record

_LOOKING: Final = {one.name.rstrip("_"): one.name for one in fields(Looking)}
_NUMBERS: Final = ("ground_ft", "altimeter_inhg", "altimeter_hpa")
_FILES: Final = ("plan", "columns")  # always files; an airplane and a standard may be names too
_OWN: Final = ("student", "instructor", "site", "plan", "remarks")
_COLUMNS: Final = ("recording", *_OWN, *_LOOKING)
_OTHERWISE: Final = {"airplane": "aircraft", "recordings": "recording"}


@dataclass(frozen=True)
class Row:
    """A row of the table.

    Attributes
    ----------
    line
        Where it stands, from 1.
    wanted
        The lesson, or why it is none.
    """

    line: int
    wanted: Wanted | GroundrefError


def add_sheet(store: Record, path: str, usual: Wanted, json: str | None) -> None:
    """Put the lessons of a table into the record.

    Parameters
    ----------
    store
        The record.
    path
        Of the table.
    usual
        What counts for rows that do not say.
    json
        Where to write what was done as JSON; None for nowhere.

    Raises
    ------
    InputError
        When the table cannot be read, or some of its lessons could not be added; the others are in the
        record then.
    """
    table = read_sheet(path, usual)
    out = sys.stderr if json == "-" else sys.stdout
    done: list[tuple[Wanted, Taken]] = []
    failed: list[dict[str, Any]] = []
    with between_steps() as look:
        try:
            for number, row in enumerate(table, start=1):
                look()
                try:
                    wanted, taken = _take(store, row)
                except GroundrefError as problem:
                    if isinstance(problem, RecordError) and not isinstance(problem, NotInRecordError):
                        raise
                    say(f"{path}: line {row.line}: {problem}")
                    failed.append({"line": row.line, "why": str(problem)})
                    continue
                done.append((wanted, taken))
                for warning in taken.warnings:
                    say(f"warning: {path}: line {row.line}: {warning}")
                # Said at once, since whoever reads it may count on the lesson from then on.
                print(f"{number}/{len(table)} {_line(wanted, taken)}", file=out, flush=True)
        except (KeyboardInterrupt, RecordError):
            say(
                f"stopped after {len(done)} of {len(table)}, which are in the record; "
                "run it again for the rest"
            )
            raise
        _conclude(path, done, failed, json, out is sys.stdout)


def _take(store: Record, row: Row) -> tuple[Wanted, Taken]:
    if isinstance(row.wanted, GroundrefError):
        raise row.wanted
    return row.wanted, take(store, row.wanted)


def _line(wanted: Wanted, taken: Taken) -> str:
    """Return what is said of a row that is in the record."""
    from groundref.cli.record.add import there_already

    name = Path(wanted.recordings[0]).name
    if not taken.new:
        said = there_already(taken, wanted)
        return f"{name}: {said[:1].lower()}{said[1:]}"
    from groundref.detection.named import kinds
    from groundref.progress.flown import flown_in
    from groundref.reports import kept

    flown: dict[str, int] = {}
    for one in flown_in(taken.plain):
        flown[one.kind] = flown.get(one.kind, 0) + 1
    talk = len(kept.strongest(taken.plain))
    parts = [
        f"lesson {taken.number}: {wanted.student}, {kept.day(taken.plain['flight']['start'])}",
        kinds(flown.items()),
        f"{talk} to talk about" if talk else "nothing stood out",
    ]
    if taken.newcomers:
        parts.append(f"new in the record: {', '.join(map(str, taken.newcomers))}")
    return "; ".join(parts)


def _conclude(
    path: str,
    done: list[tuple[Wanted, Taken]],
    failed: list[dict[str, Any]],
    json: str | None,
    show: bool,
) -> None:
    """Write the document, say how it came out, and fail when a row did."""
    from groundref.cli.record.add import plain
    from groundref.cli.record.common import write_json

    if json is not None:
        lessons = [plain(taken, wanted) for wanted, taken in done]
        write_json("record-add", {"lessons": lessons, "failed": failed}, json)
    new = sum(taken.new for _, taken in done)
    if show:
        print(f"{new} added, {len(done) - new} there already, {len(failed)} failed.", flush=True)
    if failed:
        raise InputError(
            f"{len(failed)} of {len(done) + len(failed)} lessons could not be added",
            path,
            "mend their rows and run it again; what is in the record is not added twice",
        )


def read_sheet(path: str, usual: Wanted) -> list[Row]:
    """Return the rows of a table of lessons.

    Parameters
    ----------
    path
        A text table in UTF-8, its first line the names of its columns; names of files count from its folder.
    usual
        What counts for rows that do not say.

    Raises
    ------
    InputError
        When it cannot be read, or a column that is needed is missing.
    """
    from groundref.documents import content_of

    try:
        text = content_of(path, "give a table of lessons as CSV").decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        raise InputError("this is not a table in UTF-8", path, "save it as CSV in UTF-8") from problem
    head = text.partition("\n")[0]
    delimiter = max(",;\t", key=head.count)
    try:
        lines = csv.reader(StringIO(text, newline=""), delimiter=delimiter, strict=True)
        names = [_name(cell) for cell in next(lines, [])]
        _check(names, path, usual)
        found = list(_rows(lines, names, usual, Path(path).parent))
    except csv.Error as problem:
        raise InputError(f"this is not a table ({problem})", path, "save it as CSV in UTF-8") from problem
    if not found:
        raise InputError("there is no lesson in the table", path, "write a row for each below its headings")
    return found


def _name(cell: str) -> str:
    name = cell.strip().lower().lstrip("-").replace(" ", "_").replace("-", "_")
    return _OTHERWISE.get(name, name)


def _check(names: list[str], path: str, usual: Wanted) -> None:
    needed = ["recording"] if usual.student is not None else ["recording", "student"]
    for name in needed:
        if name not in names:
            raise InputError(
                f"it has no column {name!r}",
                path,
                f"its first line names the columns: {', '.join(needed)}, …",
            )
    twice = next((name for name in names if name and names.count(name) > 1), None)
    if twice is not None:
        raise InputError(f"it has two columns {twice!r}", path, "leave one of them out")
    for name in names:
        if name and name not in _COLUMNS:
            say(f"warning: {path}: there is nothing to do with the column {name!r}; it is left out")


def _rows(lines: Any, names: list[str], usual: Wanted, folder: Path) -> Iterator[Row]:
    before = lines.line_num
    for cells in lines:
        line, before = before + 1, lines.line_num  # a cell may hold line breaks
        if not any(cell.strip() for cell in cells):
            continue
        try:
            if len(cells) > len(names):
                raise InputError(
                    f"it has {len(cells)} cells and the table {len(names)} columns",
                    remedy="put a cell that holds the separator in quotes",
                )
            said = {name: cell.strip() for name, cell in zip(names, cells, strict=False) if cell.strip()}
            yield Row(line, _wanted(said, usual, folder))
        except GroundrefError as problem:
            yield Row(line, problem)


def _wanted(said: Mapping[str, str], usual: Wanted, folder: Path) -> Wanted:
    """Return the lesson that a row asks for."""
    recordings = tuple(part.strip() for part in said.get("recording", "").split(";") if part.strip())
    if not recordings:
        raise UsageError("no recording is named", "recording", "name its file")
    looking: dict[str, Any] = {
        _LOOKING[name]: _value(name, cell, folder) for name, cell in said.items() if name in _LOOKING
    }
    own = {name: _value(name, said[name], folder) for name in _OWN if name in said}
    return replace(
        usual,
        recordings=tuple(str(folder / name) for name in recordings),
        looking=replace(usual.looking, **looking),
        **own,
    )


def _value(name: str, cell: str, folder: Path) -> Any:
    """Return what a cell says, the names of files from the table's folder."""
    if name in _NUMBERS:
        try:
            return float(cell)
        except ValueError as problem:
            raise UsageError(f"{cell!r} is no number", name, "write it such as 620") from problem
    is_file = name in _FILES or (name in ("aircraft", "standard") and cell.endswith(".toml"))
    return str(folder / cell) if is_file else cell
