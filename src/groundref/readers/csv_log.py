"""Text tables: logs of any origin with sensible headings, and ADS-B state vectors in CSV."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Final

from groundref.readers._block import Block, Unreadable
from groundref.readers._clock import Clock
from groundref.readers._dialect import SPACES, WIDE_SPACES, Dialect, find_dialect, split
from groundref.readers._layout import lay_out
from groundref.readers._mapping import load_mapping
from groundref.readers._sniff import head_text
from groundref.readers._source import Source
from groundref.readers._table import read_table
from groundref.track.recording import Recording

if TYPE_CHECKING:
    import polars

_ROWS_AT_ONCE: Final = 16 << 20  # [byte]
_RUNS: Final = {SPACES: re.compile(rb"[ \t]+"), WIDE_SPACES: re.compile(rb" {2,}|\t+")}
_BLANKS_AHEAD: Final = re.compile(rb"^[ \t]+", re.MULTILINE)


def read_csv(source: Source, columns: Path | BinaryIO | None = None) -> Recording:
    """Read a text table.

    Parameters
    ----------
    source
        The file.
    columns
        A mapping file, when the headings do not tell which column is which.

    Raises
    ------
    InputError
        When there is no table, or no column for time, latitude or longitude.
    NothingToWorkOnError
        When no row has a time and a position.
    """
    mapping = load_mapping(columns)
    text = head_text(source.head)
    dialect = find_dialect(_one_newline(text), mapping, source.name)
    layout = lay_out(dialect.headings, source.name)
    clock = Clock(layout, source.name, dialect.preamble, mapping.date)
    unreadable = Unreadable()
    # Closed over the source: whether a packed file was cut short is known only after the last block.
    recording = read_table(
        _rows(source, dialect, layout.columns, unreadable), layout, clock, source.name, unreadable
    )
    if source.cut_short:
        from dataclasses import replace

        cut = "The packed file ends too early: the rows before the break were kept."
        recording = replace(recording, notes=(cut, *recording.notes))
    return recording


def _one_newline(text: str) -> str:
    return text if "\n" in text else text.replace("\r", "\n")


def _rows(
    source: Source, dialect: Dialect, columns: tuple[int, ...], unreadable: Unreadable
) -> Iterator[Block]:
    for number, lines in enumerate(_whole_lines(_as_utf8(source))):
        data = lines
        if number == 0:
            for _ in range(dialect.first_row):
                data = data[data.find(b"\n") + 1 :] if b"\n" in data else b""
        if data.strip():
            frame = _frame(data, dialect, columns)
            if frame.height:
                yield Block(frame, columns, dialect.decimal_comma, unreadable)


def _as_utf8(source: Source) -> Iterator[bytes]:
    """Give the bytes in UTF-8 with newlines of today."""
    blocks = source.blocks()
    if source.head[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        yield b"".join(blocks).decode("utf-16", errors="replace").encode("utf-8")
        return
    old = b"\n" not in source.head and b"\r" in source.head
    for block in blocks:
        yield block.replace(b"\r", b"\n") if old else block


def _whole_lines(blocks: Iterator[bytes]) -> Iterator[bytes]:
    """Gather blocks to larger ones that end with a line."""
    held: list[bytes] = []
    size = 0
    for block in blocks:
        held.append(block)
        size += len(block)
        if size >= _ROWS_AT_ONCE and b"\n" in block:
            whole, _, rest = b"".join(held).rpartition(b"\n")
            yield whole + b"\n"
            held, size = [rest], len(rest)
    if size:
        yield b"".join(held)


def _frame(data: bytes, dialect: Dialect, columns: tuple[int, ...]) -> polars.DataFrame:
    """Read lines as text cells; a row that is too short or too long keeps the cells that it has."""
    import polars

    delimiter = dialect.delimiter
    if delimiter in _RUNS:
        data = _RUNS[delimiter].sub(b"\t", _BLANKS_AHEAD.sub(b"", data))
        delimiter = "\t"
    names = [str(heading.index) for heading in dialect.headings]
    try:
        frame = polars.read_csv(
            data if data.endswith(b"\n") else data + b"\n",
            has_header=False,
            separator=delimiter,
            quote_char='"' if b'"' in data else None,
            comment_prefix="#",
            schema=dict.fromkeys(names, polars.String),
            truncate_ragged_lines=True,
            missing_columns="insert",
            extra_columns="ignore",
            encoding="utf8-lossy",
            raise_if_empty=False,
        )
    except polars.exceptions.PolarsError:  # a stray quotation mark, mostly
        frame = _line_by_line(data, delimiter, names)
    frame = frame.select([names[column] for column in columns])
    return frame.filter(~polars.all_horizontal(polars.all().is_null()))


def _line_by_line(data: bytes, delimiter: str, names: Sequence[str]) -> polars.DataFrame:
    """Read lines that are no table for a strict reader; slower, and each line stands for itself."""
    import polars

    lines = [line.strip("\r") for line in data.decode("utf-8", errors="replace").split("\n")]
    rows = [split(line, delimiter) for line in lines if line.strip() and not line.startswith("#")]
    width = len(names)
    padded = [(row + [""] * width)[:width] for row in rows]
    cells = dict(zip(names, zip(*padded, strict=True), strict=True)) if padded else {}
    return polars.DataFrame(cells, schema=dict.fromkeys(names, polars.String))
