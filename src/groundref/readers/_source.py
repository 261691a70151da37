"""A file, a stream or standard input as blocks of plain bytes, with its beginning at hand for a look."""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import BinaryIO, Final

from groundref.errors import InputError

BLOCK: Final = 1 << 20  # [byte]  large enough to be quick, small enough not to be noticed in memory
HEAD: Final = 1 << 16  # [byte]  what sniffing and the search for headings may look at
MOST: Final = 8 << 30  # [byte]  more than any day of recording; stops a decompression bomb
_GZIP: Final = b"\x1f\x8b"


class Source:
    """The plain bytes of one recording.

    Attributes
    ----------
    name
        Name for messages and reports.
    head
        The first bytes, unpacked; they come again in ``blocks()``.
    cut_short
        Whether a packed file was found to end too early; known once all blocks were read.
    """

    def __init__(self, name: str, raw: Iterator[bytes]) -> None:
        self.name = name
        self.cut_short = False
        first = next(raw, b"")
        whole = _chain([first], raw)
        self._plain = self._inflate(whole) if first.startswith(_GZIP) else whole
        self._pulled: list[bytes] = []
        self.head = self._look()

    def _look(self) -> bytes:
        size = 0
        for block in self._plain:
            self._pulled.append(block)
            size += len(block)
            if size >= HEAD:
                break
        return b"".join(self._pulled)[:HEAD]

    def blocks(self) -> Iterator[bytes]:
        """Give all bytes, from the first, once."""
        total = 0
        for block in _chain(self._pulled, self._plain):
            total += len(block)
            if total > MOST:
                raise InputError(
                    f"holds more than {MOST >> 30} GB once unpacked",
                    self.name,
                    "give the recording of one day",
                )
            yield block

    def everything(self) -> bytes:
        """Return all bytes at once, for formats that cannot be read in a stream."""
        return b"".join(self.blocks())

    def _inflate(self, raw: Iterator[bytes]) -> Iterator[bytes]:
        """Unpack gzip, member after member; what was whole before an early end is kept."""
        inflater = zlib.decompressobj(wbits=31)
        try:
            for block in raw:
                while block:
                    if inflater.eof:
                        block = block.lstrip(b"\0")
                        if not block.startswith(_GZIP[:1]):
                            break
                        inflater = zlib.decompressobj(wbits=31)
                    yield inflater.decompress(block, BLOCK)
                    block = inflater.unused_data if inflater.eof else inflater.unconsumed_tail
        except zlib.error as error:
            raise InputError(
                "is damaged: the gzip packing does not fit together",
                self.name,
                "copy it again from the recorder",
            ) from error
        yield inflater.flush()
        self.cut_short = not inflater.eof


def _chain(first: Iterable[bytes], rest: Iterator[bytes]) -> Iterator[bytes]:
    yield from first
    yield from rest


@contextmanager
def open_source(path: str | Path | BinaryIO) -> Iterator[Source]:
    """Open a recording for reading.

    Parameters
    ----------
    path
        A path, or a binary stream, which is left open.

    Raises
    ------
    InputError
        When it cannot be opened or read, with the system's reason.
    """
    if not isinstance(path, str | Path):
        yield Source(_stream_name(path), _read_blocks(path, _stream_name(path)))
        return
    name = Path(path).name or str(path)
    with ExitStack() as opened:
        # Only the opening is guarded here: what goes wrong while reading has sentences of its own.
        try:
            stream = opened.enter_context(Path(path).open("rb"))
        except IsADirectoryError as error:
            raise InputError("is a folder, not a recording", name, "name the files in it") from error
        except (OSError, ValueError) as error:
            raise InputError(
                f"cannot be opened ({_reason(error)})", str(path), "check the name and the rights"
            ) from error
        yield Source(name, _read_blocks(stream, name))


def _read_blocks(stream: BinaryIO, name: str) -> Iterator[bytes]:
    while True:
        try:
            block = stream.read(BLOCK)
        except (OSError, ValueError) as error:
            raise InputError(
                f"cannot be read ({_reason(error)})", name, "check the medium it lies on"
            ) from error
        if not isinstance(block, bytes):
            raise TypeError("a recording is read from a binary stream")
        if not block:
            return
        yield block


def _stream_name(stream: BinaryIO) -> str:
    name = getattr(stream, "name", None)
    if name == "<stdin>" or name == 0:
        return "standard input"
    return Path(name).name if isinstance(name, str) else "stream"


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error) or type(error).__name__).lower()
