"""Recordings with words taken out of what they say beside their figures: author, comments, names of tracks.

What was flown stays: a recording is changed only when it reads the same as before, sample by sample.
"""

from __future__ import annotations

import gzip
import zlib
from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

import numpy as np

from groundref.errors import GroundrefError, InputError
from groundref.readers._reword_parquet import reworded_parquet
from groundref.readers._reword_text import Words, reworded_gpx, reworded_json, reworded_table
from groundref.readers._sniff import kind_of
from groundref.readers._source import Source
from groundref.track.recording import CHANNELS, Recording

__all__ = ["Words", "reworded"]

Read = Callable[[bytes], Recording]

_GZIP: Final = b"\x1f\x8b"
_EXTRA, _NAMES = 0b100, (0b1000, 0b10000)  # flags of a gzip header (RFC 1952, 2.3.1)
_CODES: Final = ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"))


def reworded(
    name: str, content: bytes, words: Words, read: Read, read_new: Read | None = None
) -> bytes | None:
    """Return a recording without words, None when they do not stand in it.

    Parameters
    ----------
    name
        Of the recording, for messages.
    content
        Its bytes, plain or packed with gzip.
    words
        What is to be taken out.
    read
        How it is read, to see that it reads the same.
    read_new
        How it is read without the words, where that differs.

    Raises
    ------
    InputError
        When it cannot be searched, or what it says cannot be parted from its figures.
    """
    source = Source(name, iter([content]))
    kind = kind_of(source)
    plain = source.everything()
    packed = content.startswith(_GZIP)
    told = packed and words.stands_in(_around(content).decode("utf-8", "surrogateescape"))
    for new in _ways(kind, plain, words, name):
        if new == plain and not told:
            return None
        whole = gzip.compress(new, mtime=0) if packed else new
        if _reads_the_same(partial(read, content), partial(read_new or read, whole)):
            return whole
    raise InputError("what it says cannot be parted from its figures", name)


def _ways(kind: str, plain: bytes, words: Words, name: str) -> Iterator[bytes]:
    """Give a recording without the words in the ways to be tried; as it is where they do not stand in it."""
    if kind == "parquet":
        yield reworded_parquet(plain, words, name) or plain
        return
    text, code = _text(plain, name)
    # Letters may be written as numbers.
    if not words.may_stand_in(text) and "&#" not in text and "\\u" not in text:
        yield plain
        return
    ways = {"gpx": reworded_gpx, "json": reworded_json, "table": reworded_table}[kind]
    for new in ways(text, words):
        if not words.stands_in(new, parts=False):
            yield new.encode(code, "surrogateescape") if new != text else plain


def _text(plain: bytes, name: str) -> tuple[str, str]:
    """Return bytes as text that becomes the same bytes again, and the code for that.

    Bytes that are no UTF-8 are kept as stand-ins.
    """
    code = next((code for mark, code in _CODES if plain.startswith(mark)), "utf-8")
    try:
        return plain.decode(code, "surrogateescape" if code == "utf-8" else "strict"), code
    except UnicodeDecodeError as problem:
        raise InputError("is text that cannot be read whole", name) from problem


def _reads_the_same(before: Callable[[], Recording], after: Callable[[], Recording]) -> bool:
    """Return whether two recordings have the same samples."""
    try:
        one, other = before(), after()
    except GroundrefError:
        return False
    return (one.epoch, len(one.rejected)) == (other.epoch, len(other.rejected)) and all(
        _equal(getattr(one, name), getattr(other, name)) for name in CHANNELS
    )


def _equal(one: object, other: object) -> bool:
    if isinstance(one, np.ndarray) and isinstance(other, np.ndarray):
        return np.array_equal(one, other, equal_nan=one.dtype.kind == "f")
    return one is None and other is None


def _around(content: bytes) -> bytes:
    """Return what a gzip file says around what is packed: its headers, and what trails behind."""
    said, rest = b"", content
    while rest.startswith(_GZIP):
        end = _end_of_header(rest)
        opener = zlib.decompressobj(wbits=31)
        opener.decompress(rest)
        said, rest = said + rest[10:end], opener.unused_data
    return said + rest


def _end_of_header(member: bytes) -> int:
    end = 10
    if member[3] & _EXTRA:
        end += 2 + int.from_bytes(member[end : end + 2], "little")
    for flag in _NAMES:
        if member[3] & flag:
            end = member.index(b"\0", end) + 1
    return end
