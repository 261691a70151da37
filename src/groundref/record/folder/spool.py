"""Where what was read and found right waits, packed, until one transaction takes it.

So the transaction is short, and what goes into the record is what was looked at, even when a file of the
folder changes in between.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO

from groundref.errors import RecordError
from groundref.record.sealed import Packed, pack, unpacked


@dataclass(frozen=True, slots=True)
class _Place:
    offset: int
    length: int
    size: int


class Spool:
    """Packed contents in a file.

    Parameters
    ----------
    file
        To write to and read from; from ``spool``.
    """

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self._places: dict[str, _Place] = {}

    def put(self, content: bytes) -> str:
        """Keep something; return its SHA-256.

        Raises
        ------
        RecordError
            When there is no room for it.
        """
        packed = pack(content)
        if packed.id not in self._places:
            try:
                offset = self._file.seek(0, 2)
                self._file.write(packed.packed)
                self._file.flush()
            except OSError as problem:
                raise _full(problem) from problem
            self._places[packed.id] = _Place(offset, len(packed.packed), packed.size)
        return packed.id

    def packed(self, name: str) -> Packed:
        """Return something packed, by its SHA-256."""
        place = self._places[name]
        self._file.seek(place.offset)
        return Packed(name, place.size, self._file.read(place.length))

    def content(self, name: str) -> bytes:
        """Return something as it was put."""
        packed = self.packed(name)
        return unpacked(packed.packed, packed.size)


@contextmanager
def spool(folder: Path | None = None) -> Iterator[Spool]:
    """Give a spool in a file without a name, which is gone when it is closed or the program ends.

    Parameters
    ----------
    folder
        On the disk to use; None for the system's own for such files.

    Raises
    ------
    RecordError
        When it cannot be made.
    """
    with ExitStack() as stack:
        try:
            file = stack.enter_context(TemporaryFile(dir=folder))
        except OSError as problem:
            raise _full(problem) from problem
        yield Spool(file)


def _full(problem: OSError) -> RecordError:
    reason = (problem.strerror or "unknown reason").lower()
    return RecordError(
        f"what is read cannot be kept meanwhile ({reason})",
        "record",
        "make room and try again; nothing was changed",
    )
