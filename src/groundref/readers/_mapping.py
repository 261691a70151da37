"""The mapping file: which column is which, for a table whose headings do not tell.

See docs/recordings.md for its form.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping as AnyMapping
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, BinaryIO, Final

from groundref.errors import InputError
from groundref.readers._dates import day_seconds
from groundref.readers._rules import FAMILY
from groundref.readers._units import Unit, unit_of
from groundref.readers.headings import Heading

_SETTINGS: Final = frozenset({"columns", "delimiter", "decimal", "headings_line", "date"})
_RIVALS: Final = ({"time", "time_utc", "elapsed"}, {"date", "date_utc"})  # of which one is used
_QUANTITIES: Final = {
    name
    for name in (
        *FAMILY,
        "date",
        "date_utc",
        "utc_offset",
        "on_ground",
        "icao24",
        "callsign",
        "position_time",
        "latitude_side",
        "longitude_side",
    )
    if not name.endswith("_plain") and name not in {"altitude_gps", "altitude_indicated"}
}
_DELIMITERS: Final = {"comma": ",", "semicolon": ";", "tab": "\t", "pipe": "|", "spaces": " "}


@dataclass(frozen=True, slots=True)
class Mapping:
    """What a mapping file says; empty when there is none.

    Attributes
    ----------
    columns
        Heading, or number as text, and unit of each quantity.
    delimiters
        The one delimiter, or none stated.
    decimal_comma
        Whether decimals are written with a comma; None when not stated.
    headings_line
        Line of the headings, 0 when the table has none; None when not stated.
    date
        Date of the flight as ``YYYY-MM-DD``, or None.
    source
        Name of the mapping file.
    """

    columns: AnyMapping[str, tuple[str, Unit | None]] = field(default_factory=dict)
    delimiters: tuple[str, ...] = ()
    decimal_comma: bool | None = None
    headings_line: int | None = None
    date: str | None = None
    source: str = ""

    @property
    def names(self) -> frozenset[str]:
        """Headings that the file names."""
        return frozenset(name for name, _ in self.columns.values())

    def apply(self, headings: Sequence[Heading], where: str) -> list[Heading]:
        """Give the named columns their meaning; a quantity that is named comes from no other column.

        Raises
        ------
        InputError
            When the table has no such column; the sentence says which it has.
        """
        if not self.columns:
            return list(headings)
        named = set(self.columns).union(*(rivals for rivals in _RIVALS if rivals & self.columns.keys()))
        result = [
            replace(heading, quantity=None) if heading.quantity in named else heading for heading in headings
        ]
        for quantity, (name, unit) in self.columns.items():
            index = _find(headings, name)
            if index is None:
                known = ", ".join(f"'{heading.text}'" for heading in headings)
                raise InputError(
                    f"has no column '{name}' for {quantity}; its columns are {known}",
                    where,
                    f"correct {self.source}",
                )
            result[index] = replace(result[index], quantity=quantity, unit=unit or result[index].unit)
        return result


def _find(headings: Sequence[Heading], name: str) -> int | None:
    for heading in headings:
        if heading.text == name:
            return heading.index
    folded = " ".join(name.split()).casefold()
    return next((heading.index for heading in headings if heading.text.casefold() == folded), None)


def load_mapping(path: Path | BinaryIO | None) -> Mapping:
    """Read a mapping file, or the stream of one; without one the headings speak for themselves.

    Raises
    ------
    InputError
        When it cannot be read, or says something that it cannot mean.
    """
    if path is None:
        return Mapping()
    stream = None if isinstance(path, str | Path) else path
    path = Path(path) if isinstance(path, str | Path) else Path(getattr(path, "name", "the mapping file"))
    try:
        written = path.read_bytes() if stream is None else stream.read()
        content = tomllib.loads(written.decode())
    except OSError as error:
        raise InputError(
            f"cannot be opened ({(error.strerror or '').lower()})", str(path), "check the name"
        ) from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(f"is not valid TOML ({error})", path.name, "correct the mapping file") from error
    unknown = content.keys() - _SETTINGS
    if unknown:
        raise _wrong(path, f"has the unknown setting '{min(unknown)}'", f"use {', '.join(sorted(_SETTINGS))}")
    columns = content.get("columns", {})
    if not isinstance(columns, dict):
        raise _wrong(path, "has 'columns' that is not a table", "write [columns] and one line a quantity")
    return Mapping(
        columns={quantity: _column(quantity, value, path) for quantity, value in columns.items()},
        delimiters=_delimiters(content, path),
        decimal_comma=_decimal(content, path),
        headings_line=_line(content, path),
        date=_date(content, path),
        source=path.name,
    )


def _wrong(path: Path, what: str, remedy: str) -> InputError:
    return InputError(what, path.name, remedy)


def _column(quantity: str, value: object, path: Path) -> tuple[str, Unit | None]:
    if quantity not in _QUANTITIES:
        raise _wrong(
            path, f"names the unknown quantity '{quantity}'", f"use {', '.join(sorted(_QUANTITIES))}"
        )
    unit: Unit | None = None
    if isinstance(value, dict):
        text = str(value.get("unit", ""))
        unit = unit_of(text)
        if value.keys() - {"column", "unit"} or "column" not in value or (text and unit is None):
            raise _wrong(path, f"says '{value}' for {quantity}", 'write { column = "heading", unit = "ft" }')
        value = value["column"]
    if unit and FAMILY.get(quantity) != unit.family:
        raise _wrong(path, f"gives {quantity} a unit of {unit.family}", "give it a unit of its kind")
    if isinstance(value, bool) or not isinstance(value, str | int):
        raise _wrong(path, f"says '{value}' for {quantity}", "write the heading, or the number of the column")
    return str(value), unit


def _delimiters(content: dict[str, Any], path: Path) -> tuple[str, ...]:
    stated = content.get("delimiter")
    if stated is None:
        return ()
    delimiter = _DELIMITERS.get(stated, stated) if isinstance(stated, str) else ""
    if delimiter not in _DELIMITERS.values():
        raise _wrong(path, f"states the delimiter '{stated}'", f"use {', '.join(_DELIMITERS)}")
    return (delimiter,)


def _decimal(content: dict[str, Any], path: Path) -> bool | None:
    stated = content.get("decimal")
    if stated not in {None, ".", ","}:
        raise _wrong(path, f"states the decimal sign '{stated}'", 'use "." or ","')
    return None if stated is None else stated == ","


def _line(content: dict[str, Any], path: Path) -> int | None:
    stated = content.get("headings_line")
    if stated is None:
        return None
    if not isinstance(stated, int) or isinstance(stated, bool) or stated < 0:
        raise _wrong(
            path, f"states the line of the headings as '{stated}'", "use a line number, or 0 for none"
        )
    return stated


def _date(content: dict[str, Any], path: Path) -> str | None:
    stated = content.get("date")
    if stated is None:
        return None
    text = str(stated)[:10]
    if day_seconds(text) != day_seconds(text):
        raise _wrong(path, f"states the date '{stated}'", "write it as 2026-05-01")
    return text
