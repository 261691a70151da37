"""The altimeter setting of a form, in one field for either unit: their numbers cannot be mixed up."""

from __future__ import annotations

import re
from typing import Final

from groundref.errors import UsageError
from groundref.units import hectopascal, inch_hg
from groundref.web import typed

_INHG: Final = (25.0, 32.0)  # as the command line takes them
_HPA: Final = (850.0, 1083.0)
_GROUP: Final = re.compile(r"(?P<unit>[AQ])(?P<digits>\d{4})", re.IGNORECASE)  # of a METAR
_PLAIN: Final = 3  # decimals: more of them has only what was turned
_FINE: Final = 4


def read(text: str, where: str) -> float | None:
    """Return an altimeter setting as typed, None where the field was left empty [hPa].

    Parameters
    ----------
    text
        A number in hPa or inHg, or the group of a METAR, `Q1013` or `A2992`.
    where
        As of every refusal.

    Raises
    ------
    UsageError
        When it is no number, or out of range in both units.
    """
    said = text.strip()
    if not said:
        return None
    group = _GROUP.fullmatch(said)
    if group is None:
        value = typed.number(said, where, "write it as 1013 or 29.92, or leave it empty")
    else:
        value = float(group["digits"]) / (100.0 if group["unit"].upper() == "A" else 1.0)
    if _INHG[0] <= value <= _INHG[1]:
        return _turned(value)
    if _HPA[0] <= value <= _HPA[1]:
        return value
    raise UsageError(
        f"{said[:20]} is out of range",
        where,
        f"give {_HPA[0]:g} to {_HPA[1]:g} hPa or {_INHG[0]:g} to {_INHG[1]:g} inHg",
    )


def shown(hpa: float | None) -> str:
    """Return an altimeter setting as its field shows it: in inHg where it was typed so, else in hPa, exactly.

    Parameters
    ----------
    hpa
        As it is kept [hPa]; None where none was said.
    """
    if hpa is None:
        return ""
    inhg = round(hpa * hectopascal / inch_hg, _FINE)
    if hpa != round(hpa, _PLAIN) and _turned(inhg) == hpa and _INHG[0] <= inhg <= _INHG[1]:
        return f"{inhg:.10g}" if inhg != round(inhg, 2) else f"{inhg:.2f}"
    return repr(hpa).removesuffix(".0")


def _turned(inhg: float) -> float:
    return inhg * inch_hg / hectopascal
