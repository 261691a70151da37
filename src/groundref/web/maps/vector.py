"""What a vector tile holds, as far as drawing goes: https://github.com/mapbox/vector-tile-spec, version 2.1.

A tile is a message of layers of features (https://protobuf.dev/programming-guides/encoding/). Only layers
that are asked for are read. Whatever is not as it should be is a ValueError.
"""

from __future__ import annotations

import struct
from collections.abc import Container, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]

POINTS: Final = 1
LINES: Final = 2
AREAS: Final = 3
_MOVE, _LINE, _CLOSE = 1, 2, 7
_FEW: Final = 48  # bytes that are read quicker one by one than all at once


@dataclass(frozen=True, slots=True)
class Feature:
    """One thing on the map.

    Attributes
    ----------
    kind
        `POINTS`, `LINES` or `AREAS`.
    tags
        What is said of it.
    parts
        Lines, rings of areas or points, (n, 2) each: across and down, the tile being a square of side 1.
    """

    kind: int
    tags: dict[str, object]
    parts: tuple[Floats, ...]


def decoded(tile: bytes, wanted: Container[str]) -> Iterator[tuple[str, list[Feature]]]:
    """Yield the layers of a tile that are wanted, each with its features.

    Raises
    ------
    ValueError
        When it is no vector tile.
    """
    for number, content in _fields(memoryview(tile)):
        if number == 3:
            name, features = _layer(_message(content), wanted)
            if features:
                yield name, features


def _layer(layer: memoryview, wanted: Container[str]) -> tuple[str, list[Feature]]:
    name, extent = "", 4096
    features: list[memoryview] = []
    keys: list[str] = []
    values: list[object] = []
    for number, content in _fields(layer):
        if number == 1:
            name = _text(content)
            if name not in wanted:
                return name, []
        elif number == 2:
            features.append(_message(content))
        elif number == 3:
            keys.append(_text(content))
        elif number == 4:
            values.append(_value(_message(content)))
        elif number == 5:
            extent = _number(content)
    if name not in wanted or not 1 <= extent <= 1 << 20:
        return name, []
    return name, [_feature(one, keys, values, extent) for one in features]


def _feature(feature: memoryview, keys: list[str], values: list[object], extent: int) -> Feature:
    kind, tags, geometry = 0, _NONE, _NONE
    for number, content in _fields(feature):
        if number == 2:
            tags = _packed(_message(content))
        elif number == 3:
            kind = _number(content)
        elif number == 4:
            geometry = _packed(_message(content))
    pairs = tags.tolist()
    try:
        said = {keys[key]: values[value] for key, value in zip(pairs[::2], pairs[1::2], strict=True)}
    except IndexError as problem:
        raise ValueError("a tag that there is not") from problem
    return Feature(kind, said, tuple(part / extent for part in _parts(geometry)))


def _parts(geometry: Numbers) -> list[Numbers]:
    """Return the lines or rings that the commands of a geometry draw: each step is from the point before."""
    steps = np.ones(geometry.size, dtype=bool)
    starts: list[int] = []  # of parts, counted in points
    at = points = 0
    commands = geometry.tolist()
    while at < len(commands):
        command, count = commands[at] & 7, commands[at] >> 3
        steps[at] = False
        at += 1
        if command == _CLOSE:
            continue
        drawn = command == _MOVE or (command == _LINE and starts)
        if not drawn or at + 2 * count > len(commands):
            raise ValueError("commands that draw nothing")
        if command == _MOVE:
            starts.extend(range(points, points + count))
        points += count
        at += 2 * count
    zigzag = geometry[steps]
    moves = (zigzag >> 1) ^ -(zigzag & 1)
    places = moves.reshape(-1, 2).cumsum(axis=0)
    return [places] if starts == [0] else np.split(places, starts)[1:]


def _packed(content: memoryview) -> Numbers:
    """Return packed varints of up to five bytes, all at once."""
    if len(content) <= _FEW:
        return np.array(list(_one_by_one(content)), dtype=np.int64)
    raw = np.frombuffer(content, dtype=np.uint8)
    ends = np.flatnonzero(raw < 0x80)
    if not ends.size or ends[-1] != raw.size - 1:
        raise ValueError("a number without an end")
    starts = np.concatenate(([0], ends[:-1] + 1))
    longest = int((ends - starts).max()) + 1
    if longest > 5:
        raise ValueError("a number too large")
    numbers = np.zeros(ends.size, dtype=np.int64)
    for byte in range(longest):
        there = starts + byte <= ends
        numbers[there] |= (raw[starts[there] + byte].astype(np.int64) & 0x7F) << (7 * byte)
    return numbers


def _one_by_one(content: memoryview) -> Iterator[int]:
    at = 0
    while at < len(content):
        number, at = _varint(content, at)
        if number >> 35:
            raise ValueError("a number too large")
        yield number


_NONE: Final = np.empty(0, dtype=np.int64)


def _fields(message: memoryview) -> Iterator[tuple[int, int | memoryview]]:
    """Yield number and content of each field: a number, or bytes."""
    at = 0
    while at < len(message):
        head, at = _varint(message, at)
        wire = head & 7
        if wire == 0:
            number, at = _varint(message, at)
            yield head >> 3, number
            continue
        if wire == 2:
            length, at = _varint(message, at)
        else:
            length = {1: 8, 5: 4}.get(wire, -1)
        if length < 0 or at + length > len(message):
            raise ValueError("a field without an end")
        yield head >> 3, message[at : at + length]
        at += length


def _varint(message: memoryview, at: int) -> tuple[int, int]:
    number = shift = 0
    while at < len(message) and shift < 70:
        byte = message[at]
        at += 1
        number |= (byte & 0x7F) << shift
        if byte < 0x80:
            return number, at
        shift += 7
    raise ValueError("a number without an end")


def _value(value: memoryview) -> object:
    """Return what a tag says; what is no text and no number that anything here asks for is None."""
    for number, content in _fields(value):
        if number == 1:
            return _text(content)
        if number == 2:
            return float(struct.unpack("<f", _message(content))[0]) if len(_message(content)) == 4 else None
        if number == 3:
            return float(struct.unpack("<d", _message(content))[0]) if len(_message(content)) == 8 else None
        if number in (4, 5, 7):
            return _number(content)
    return None


def _text(content: int | memoryview) -> str:
    return str(_message(content), "utf-8")


def _message(content: int | memoryview) -> memoryview:
    if isinstance(content, int):
        raise ValueError("a number where there should be none")
    return content


def _number(content: int | memoryview) -> int:
    if not isinstance(content, int):
        raise ValueError("no number")
    return content
