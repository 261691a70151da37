"""A person's name as one step of an address: what would be another step, or another page, is written apart.

A server sees `%2F` as `/` already (ASGI hands out the path decoded), so what an address must not hold is
written with a tilde and the two digits of its code: `A~2FB` is A/B.
"""

from __future__ import annotations

import re
from typing import Final
from urllib.parse import quote

_APART: Final = re.compile(r"[/\\~]|\.(?=pdf$)|^\.+$", re.IGNORECASE)
_WRITTEN: Final = re.compile(r"~([0-9A-Fa-f]{2})")


def address(name: str) -> str:
    """Return the address of a student's page.

    Parameters
    ----------
    name
        As in the record.
    """
    apart = _APART.sub(lambda found: "".join(f"~{ord(letter):02X}" for letter in found.group()), name)
    return f"/students/{quote(apart, safe='')}"


def named(step: str) -> str:
    """Return the name that a step of an address stands for.

    Parameters
    ----------
    step
        Decoded of its per cent.
    """
    return _WRITTEN.sub(lambda found: chr(int(found.group(1), 16)), step)
