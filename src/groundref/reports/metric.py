"""Text for who reads meters and kilometers per hour: what is printed in feet and knots turned, word for word.

The sentences of a debrief are kept with it as text, in feet and knots, and one address is read by people of
both kinds. So the units are not worked out anew: each measure in a text is turned where it stands. Where the
metric value stands beside the other already, the two change places, so that it is the one that was rounded
from the full number; elsewhere the printed number is turned, and with it what it was rounded by.
"""

from __future__ import annotations

import re
from typing import Any, Final

from groundref.reports import words
from groundref.units import foot, kilometre_per_hour, knot

_TURNED: Final = {"ft": (foot, "m"), "kt": (knot / kilometre_per_hour, "km/h")}
_GAP: Final = "[ \N{NO-BREAK SPACE}]"
_NUMBER: Final = r"[−-]?\d[\d,]*(?:\.\d+)?"
_JOINED: Final = rf"{_GAP}to{_GAP}±?|–|{_GAP}?±{_GAP}?"
_NUMBERS: Final = rf"{_NUMBER}(?:(?:{_JOINED}){_NUMBER})*"
MEASURE: Final = (
    rf"(?<![\w.,])(?P<lead>±{_GAP}?)?(?P<numbers>{_NUMBERS})(?P<gap>{_GAP})(?P<unit>ft|kt)(?![\w/])"
    rf"(?:{_GAP}\((?P<twin>{_NUMBERS}){_GAP}(?:m|km/h)\))?"
)
"""A measure in feet or knots, with the metric one in brackets where that stands behind it."""
_MEASURE: Final = re.compile(MEASURE)
_KEPT: Final = (
    r"<(?P<whole>script(?! type=\"application/json\")|style|textarea|select|label)\b[^>]*>.*?</(?P=whole)>"
    r"|<(?P<own>[a-z0-9]+)\b[^>]*(?:data-units=\"kept\"|class=\"metric\")[^>]*>.*?</(?P=own)>"
    r"|<[^>]*>"
)
_PAGE: Final = re.compile(rf"(?P<kept>{_KEPT})|{MEASURE}", re.DOTALL)
_HEARD: Final = re.compile(r" (?:data-says|data-of|aria-label)=\"[^\"]*\"")
_CELL: Final = re.compile(
    r"(?P<open><span class=\"whole\">)(?P<main>[^<]*)(?P<middle></span>(?:(?!</t[dh]>).)*?class=\"metric\">)"
    r"(?P<twin>[^<]*?)(?P<end>(?: · )?<)",
    re.DOTALL,
)


def text(said: str) -> str:
    """Return plain text with its feet and knots turned into meters and kilometers per hour.

    Parameters
    ----------
    said
        Such as `1,010 ±9 ft (308 m)`, which becomes `308 ±3 m (1,010 ft)`, or `30 ft`, which becomes `9 m`.
    """
    return _MEASURE.sub(_turned, said)


def page(html: str) -> str:
    """Return a page, a part of one or a picture with the measures in its text turned.

    In a cell the metric value, an element of the class `metric`, changes places with the one before it, an
    element of the class `whole`. What is typed, chosen or marked by `data-units="kept"` stays as it is.

    Parameters
    ----------
    html
        As written by the templates; also any SVG.
    """
    return _PAGE.sub(_read, _CELL.sub(_swapped, html))


def data(value: Any) -> Any:
    """Return plain data with the measures in all of its strings turned, those in pictures too."""
    if isinstance(value, str):
        return page(value)
    if isinstance(value, dict):
        return {key: data(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [data(each) for each in value]
    return value


def _read(found: re.Match[str]) -> str:
    """Return a measure turned, and a tag with what it says turned where a reader hears that."""
    if found["kept"] is None:
        return _turned(found)
    return found[0] if found["whole"] or found["own"] else _HEARD.sub(lambda said: text(said[0]), found[0])


def _swapped(found: re.Match[str]) -> str:
    """Return a cell with the metric value first, and behind it the other without its deviation."""
    us = _MEASURE.search(found["main"])
    if us is None:
        return found[0]
    numbers = found["twin"].rpartition(" ")[0]
    main = found["main"][: us.start()] + _numbers(us, numbers) + found["main"][us.end() :]
    return f"{found['open']}{main}{found['middle']}{_beside(us)}{found['end']}"


def _turned(found: re.Match[str]) -> str:
    twin = found["twin"]
    return _numbers(found, twin) + (f" ({_beside(found)})" if twin else "")


def _numbers(found: re.Match[str], twin: str | None) -> str:
    """Return a measure in metric units; the values of its twin where that has as many."""
    size, name = _TURNED[found["unit"]]
    parts = re.split(rf"({_JOINED})", found["numbers"])
    values = re.findall(_NUMBER, twin or "")
    joints = ["", *parts[1::2]]
    deviations = ["±" in joint for joint in joints]
    known = iter(values if len(values) == deviations.count(False) else [])
    said = []
    for joint, number, deviation in zip(joints, parts[::2], deviations, strict=True):
        turned = None if deviation else next(known, None)
        least = deviation or (found["lead"] is not None and not joint)
        said.append(joint + (turned or _one(number, size, whole=bool(twin), least=least)))
    return f"{found['lead'] or ''}{''.join(said)}{found['gap']}{name}"


def _one(number: str, size: float, *, whole: bool, least: bool) -> str:
    """Return one number turned, with the decimals that it has; a deviation never as nothing."""
    digits = 0 if whole else len(number.partition(".")[2])
    value = float(number.replace(",", "").replace("−", "-")) * size
    return words.number(max(value, 10.0**-digits) if least else value, digits)


def _beside(found: re.Match[str]) -> str:
    """Return a measure as it was, without its deviation."""
    numbers = re.sub(rf"{_GAP}?±{_GAP}?{_NUMBER}", "", found["numbers"])
    return f"{numbers}{found['gap']}{found['unit']}"
