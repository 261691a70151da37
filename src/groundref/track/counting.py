"""Numbers of things in a sentence."""

from __future__ import annotations


def counted(number: int, noun: str) -> str:
    """Return `1 place`, or `2 places`."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"
