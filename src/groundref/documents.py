"""JSON that groundref wrote, read back: checked against a shape and its schema, refused in one sentence."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol, TypeVar

import msgspec

from groundref.errors import InputError


class Document(Protocol):
    """A document that names its schema."""

    schema: str


Shape = TypeVar("Shape", bound=Document)


def content_of(path: str, remedy: str) -> bytes:
    """Return the bytes of a file.

    Parameters
    ----------
    path
        Of the file.
    remedy
        What to do where it cannot be read.

    Raises
    ------
    InputError
        When there is no such file, or it cannot be read.
    """
    try:
        return Path(path).read_bytes()
    except FileNotFoundError as problem:
        raise InputError("there is no such file", path, remedy) from problem
    except OSError as problem:
        raise InputError(f"it cannot be read ({problem.strerror})", path, remedy) from problem


def parse(content: bytes, where: str, shape: type[Shape], *, schema: str, noun: str, remedy: str) -> Shape:
    """Return a document read from its bytes.

    Parameters
    ----------
    content
        UTF-8.
    where
        What to call it in messages.
    shape
        The part of it that is wanted; what else stands in it is let be.
    schema
        That it must name.
    noun
        What it is, for the message, such as `a plan`.
    remedy
        What to do where it is none.

    Raises
    ------
    InputError
        When it is no such document.
    """
    try:
        read = msgspec.json.decode(content, type=shape)
    except (msgspec.DecodeError, UnicodeDecodeError) as problem:
        raise InputError(f"this is not {noun} ({problem})", where, remedy) from problem
    if read.schema != schema:
        raise InputError(f"its schema is {read.schema!r} and not {schema!r}", where, remedy)
    return read
