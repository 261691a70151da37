"""ADS-B state-vector tables in JSON and Parquet.

JSON may be a list of objects with one row each, an object of columns (lists, or objects by row label),
lines with one object each, or the open form with `time` and `states`, where each state is an array in a
fixed order.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO, Final

from groundref.errors import InputError
from groundref.readers._block import Block, Unreadable
from groundref.readers._clock import Clock
from groundref.readers._layout import lay_out
from groundref.readers._mapping import load_mapping
from groundref.readers._sniff import head_text
from groundref.readers._source import Source
from groundref.readers._table import read_table
from groundref.readers.headings import understand
from groundref.track.recording import Recording

if TYPE_CHECKING:
    import polars

_STATE: Final = (
    "icao24",
    "callsign_",
    "origin_country",
    "time_position",
    "last_contact",
    "longitude",
    "latitude",
    "baro_altitude",
    "on_ground",
    "velocity",
    "true_track",
    "vertical_rate",
    "sensors",
    "geo_altitude",
)
_GIVE_TABLE: Final = "give a list of objects with time, lat and lon in each"


def read_json(source: Source, columns: Path | BinaryIO | None = None) -> Recording:
    """Read a state-vector table in JSON.

    Raises
    ------
    InputError
        When it is not whole JSON, or no table that is known.
    """
    import polars

    rows = _rows(_parse(source), source.name)
    names = list(dict.fromkeys(name for row in rows for name in row))
    frame = polars.DataFrame(
        {name: [_text(row.get(name)) for row in rows] for name in names},
        schema=dict.fromkeys(names, polars.String),
    )
    return _read_frame(frame, source.name, columns)


def read_parquet(source: Source, columns: Path | BinaryIO | None = None) -> Recording:
    """Read a table in Parquet.

    Raises
    ------
    InputError
        When the file is damaged or has no column for time, latitude or longitude.
    """
    from groundref.readers._parquet import unpack

    return _read_frame(unpack(source), source.name, columns)


def _read_frame(frame: polars.DataFrame, name: str, columns: Path | BinaryIO | None) -> Recording:
    mapping = load_mapping(columns)
    layout = lay_out(mapping.apply(understand(frame.columns), name), name)
    picked = frame.select([frame.columns[column] for column in layout.columns])
    unreadable = Unreadable()
    block = Block(picked, layout.columns, False, unreadable)
    return read_table([block], layout, Clock(layout, name, date=mapping.date), name, unreadable)


def _parse(source: Source) -> Any:
    text = _decode(source)
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        lines = [line for line in text.splitlines() if line.strip()]
        try:
            return [json.loads(line) for line in lines if len(lines) > 1] or json.loads(text)
        except (ValueError, RecursionError):
            line = getattr(error, "lineno", 1)
            raise InputError(
                f"is not whole JSON ({getattr(error, 'msg', 'nested too deep')})".replace("\n", " "),
                f"{source.name}: line {line}",
                "copy it again from its origin",
            ) from error


def _decode(source: Source) -> str:
    return head_text(source.everything()).lstrip("\ufeff")


def _rows(content: Any, name: str) -> list[dict[str, Any]]:
    """Bring each known form to one object a row."""
    if isinstance(content, dict):
        if isinstance(content.get("states"), list):
            return _states([content], name)
        if content and all(isinstance(values, list) for values in content.values()):
            return [dict(zip(content, row, strict=True)) for row in zip(*content.values(), strict=False)]
        if content and all(isinstance(values, dict) for values in content.values()):
            labels = dict.fromkeys(label for values in content.values() for label in values)
            return [{name: values.get(label) for name, values in content.items()} for label in labels]
        inner = [value for value in content.values() if _is_list_of_objects(value)]
        if len(inner) == 1:
            return list(inner[0])
        return [content]
    if _is_list_of_objects(content):
        if all(isinstance(row.get("states"), list) for row in content):
            return _states(content, name)
        return list(content)
    raise InputError("is JSON, but no table of state vectors", name, _GIVE_TABLE)


def _is_list_of_objects(content: Any) -> bool:
    return isinstance(content, list) and bool(content) and all(isinstance(row, dict) for row in content)


def _states(answers: Iterable[dict[str, Any]], name: str) -> list[dict[str, Any]]:
    rows = []
    for answer in answers:
        for state in answer["states"]:
            if not isinstance(state, Sequence) or isinstance(state, str) or len(state) < 11:
                raise InputError(
                    "has a state that is no array of at least 11 values", f"{name}: states", _GIVE_TABLE
                )
            rows.append(dict(zip(_STATE, state, strict=False)) | {"time": answer.get("time")})
    return rows


def _text(value: Any) -> str | None:
    return None if value is None or isinstance(value, dict | list) else str(value)
