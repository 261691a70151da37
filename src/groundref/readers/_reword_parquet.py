"""Parquet with words taken out: its columns of text, their names, and what the file says of itself."""

from __future__ import annotations

import base64
from io import BytesIO
from typing import TYPE_CHECKING

from groundref.errors import InputError
from groundref.readers._reword_text import Words

if TYPE_CHECKING:
    import polars


def reworded_parquet(content: bytes, words: Words, name: str) -> bytes | None:
    """Return a Parquet file without the words, None when they do not stand in it.

    It is read here and not in a process of its own, since it was read so when it came.

    Raises
    ------
    InputError
        When it cannot be searched.
    """
    import polars

    try:
        frame = polars.read_parquet(BytesIO(content))
        said = polars.read_parquet_metadata(BytesIO(content))
    except polars.exceptions.PolarsError as problem:
        raise InputError("is a Parquet file that is damaged", name) from problem
    texts = {column for column, kind in frame.schema.items() if kind == polars.String}
    others = {
        column: kind
        for column, kind in frame.schema.items()
        if kind.is_nested() or kind in (polars.Binary, polars.Object, polars.Categorical, polars.Enum)
    }
    for column in others:
        if words.stands_in(str(frame[column].to_list())):
            raise InputError("names somebody in a column that cannot be rewritten", f"{name}: {column}")
    changed = frame.with_columns(_column(frame[column], words) for column in sorted(texts)).rename(
        {column: words.out_of(column, parts=False) for column in frame.columns}
    )
    told = any(words.stands_in(text) for pair in said.items() for text in map(_readable, pair))
    if changed.equals(frame) and changed.columns == frame.columns and not told:
        return None
    written = BytesIO()
    changed.write_parquet(written)  # with nothing of what the old one said of itself
    return written.getvalue()


def _column(column: polars.Series, words: Words) -> polars.Series:
    """Return a column of text without the words."""
    import polars

    new = {text: words.out_of(text) for text in column.unique().to_list() if text is not None}
    changed = {text: other for text, other in new.items() if text != other}
    return column.replace_strict(changed, default=column, return_dtype=polars.String) if changed else column


def _readable(text: str) -> str:
    """Return what a file says of itself; the description of its columns is packed in letters and digits."""
    try:
        return base64.b64decode(text, validate=True).decode("utf-8", "surrogateescape")
    except ValueError:
        return text
