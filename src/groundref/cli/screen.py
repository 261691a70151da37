"""The terminal: a console of at most 100 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rich.console import Console

WIDEST: Final = 100


def console() -> Console:
    """Return the console on standard output, no wider than 100 columns."""
    from rich.console import Console

    out = Console(highlight=False)
    # Where nobody looks, such as a pipe, the width is not a terminal's 80 columns but ours.
    out.width = min(out.width, WIDEST) if out.is_terminal else WIDEST
    return out
