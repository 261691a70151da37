"""The one hardened XML parser: a stream of elements, no entities, no network, no declarations.

Expat from the standard library is used, because its stream of events is faster than a tree and needs no
memory for the document: nothing is kept but the text that a reader asks for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final
from xml.parsers import expat

from groundref.errors import InputError

LONGEST_TEXT: Final = 1 << 16  # [character]  of one element that a reader wants, looked at once a block
LONGEST_TOKEN: Final = 8 << 20  # [byte]  of one tag or comment
DEEPEST: Final = 100  # nested elements; a recording needs ten


class ElementStream:
    """Element starts and ends of one document, with the text of those that are asked for.

    Parameters
    ----------
    on_start
        Called with the name, prefix included, and the attributes of each element.
    on_end
        Called with the name of each element.
    where
        Name of the file, for messages.
    """

    def __init__(
        self, on_start: Callable[[str, dict[str, str]], None], on_end: Callable[[str], None], where: str
    ) -> None:
        self._where = where
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = True
        self._parser.StartElementHandler = on_start
        self._parser.EndElementHandler = on_end
        self._parser.StartDoctypeDeclHandler = self._refuse_doctype
        self._pieces: list[str] = []
        self._collect = self._pieces.append  # called by the parser itself, without a frame of ours

    def start_text(self) -> None:
        """Collect text from here on."""
        self._pieces.clear()
        self._parser.CharacterDataHandler = self._collect

    def end_text(self) -> str:
        """Return the text since ``start_text`` and stop collecting."""
        self._parser.CharacterDataHandler = None
        return "".join(self._pieces)

    @property
    def line(self) -> int:
        """The line of the file that is being read."""
        return self._parser.CurrentLineNumber

    def refuse(self, what: str, remedy: str = "export the flight again") -> InputError:
        """Return an error that points at the line being read."""
        return InputError(what, f"{self._where}: line {self.line}", remedy)

    def run(self, blocks: Iterable[bytes]) -> str | None:
        """Read the document.

        Returns
        -------
        str or None
            None when the document is whole; otherwise where and how it breaks, as a clause.
        """
        fed = 0
        try:
            for block in blocks:
                self._parser.Parse(block, False)
                fed += len(block)
                if sum(map(len, self._pieces)) > LONGEST_TEXT:
                    raise self.refuse("the text of one element runs on without end")
                if fed - self._parser.CurrentByteIndex > LONGEST_TOKEN:
                    raise self.refuse("a single tag runs on for megabytes")
            self._parser.Parse(b"", True)
        except expat.ExpatError as error:
            return f"line {error.lineno}: {expat.ErrorString(error.code)}"
        except (LookupError, ValueError) as error:  # an encoding that does not exist or cannot be decoded
            raise self.refuse(f"its text encoding cannot be read ({error})") from error
        return None

    def _refuse_doctype(self, *_: object) -> None:
        raise self.refuse("carries a document type declaration, which a recording never needs")


def local_name(name: str) -> str:
    """Return the name of an element without its namespace prefix."""
    return name.rpartition(":")[2]
