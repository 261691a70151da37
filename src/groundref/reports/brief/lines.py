"""What stays together where a line ends: a number and its unit."""

from __future__ import annotations

import re
from typing import Final

_UNITS: Final = r"ft|kt|km/h|m|s|kg|NM|°C|inHg|hPa|%"
_NUMBER: Final = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w/]))")


def together(said: object) -> object:
    """Return plain data with a space between number and unit that does not break, in all of its texts.

    Parameters
    ----------
    said
        Text, or lists and tables of it.
    """
    if isinstance(said, str):
        return _NUMBER.sub("\u00a0", said).replace("km/h", "km/\u2060h")
    if isinstance(said, dict):
        return {name: together(each) for name, each in said.items()}
    if isinstance(said, list | tuple):
        return [together(each) for each in said]
    return said
