"""Sentences for who reads meters and kilometers per hour: what is kept in feet and knots, turned.

Figures, tables and pictures are printed in the reader's units from their full values (``words``,
``reading``). The sentences of a debrief and of a plan are kept as text, in feet and knots, and one address
is read by people of both kinds: each measure in such a text is turned where it stands. Where the metric
value stands beside the other already, the two change places; elsewhere the printed number is turned, and
with it what it was rounded by. What was printed in metric units already stays as it is.
"""

from __future__ import annotations

import re
from typing import Any, Final

from groundref.reports import words
from groundref.units import foot, kilometre_per_hour, knot

_TURNED: Final = {"ft": (foot, "m"), "kt": (knot / kilometre_per_hour, "km/h")}
_GAP: Final = "[ \N{NO-BREAK SPACE}]"
_METRIC_NAMES: Final = "(?:m|km/\N{WORD JOINER}?h)"
_NUMBER: Final = r"[−-]?\d[\d,]*(?:\.\d+)?"
_JOINED: Final = rf"{_GAP}to{_GAP}±?|–|{_GAP}?±{_GAP}?"
_AND: Final = rf"{_GAP}and{_GAP}"
_NUMBERS: Final = rf"(?:(?<=between{_GAP}){_NUMBER}{_AND}{_NUMBER}|{_NUMBER}(?:(?:{_JOINED}){_NUMBER})*)"
MEASURE: Final = (
    rf"(?<![\w.,])(?P<lead>±{_GAP}?)?(?P<numbers>{_NUMBERS})(?P<gap>{_GAP})(?P<unit>ft|kt)(?![\w/])"
    rf"(?:{_GAP}\((?P<twin>{_NUMBERS}){_GAP}{_METRIC_NAMES}\))?"
)
"""A measure in feet or knots, with the metric one in brackets where that stands behind it."""
_DONE: Final = rf"(?P<done>{_NUMBERS}{_GAP}{_METRIC_NAMES}{_GAP}\({_NUMBERS}{_GAP}(?:ft|kt)\))"
"""What was printed in metric units from its full value, with the other unit in brackets."""
_SETTING: Final = rf"(?P<inches>\d\d\.\d\d{_GAP}inHg){_GAP}\((?P<hpa>[\d,.]+{_GAP}hPa)\)"
"""An altimeter setting with hectopascals beside it."""
_MEASURE: Final = re.compile(MEASURE)
_SENTENCE: Final = re.compile(rf"{_DONE}|{_SETTING}|{MEASURE}")
_KEPT: Final = (
    r"<(?P<whole>script(?! type=\"application/json\")|style|textarea|select|label)\b[^>]*>.*?</(?P=whole)>"
    r"|<(?P<own>[a-z0-9]+)\b[^>]*(?:data-units=\"kept\"|class=\"metric\")[^>]*>.*?</(?P=own)>"
    r"|<[^>]*>"
)
_PAGE: Final = re.compile(rf"(?P<kept>{_KEPT})|{_DONE}|{_SETTING}|{MEASURE}", re.DOTALL)
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
    return _SENTENCE.sub(_said, said)


def beside(said: str) -> str:
    """Return text with the metric value in brackets behind each measure, which stays as a standard has it."""
    return _MEASURE.sub(lambda found: found[0] if found["twin"] else f"{found[0]} ({_turned(found)})", said)


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


def _said(found: re.Match[str]) -> str:
    """Return a measure turned, an altimeter setting with hectopascals first, and what is metric as it is."""
    if found["done"]:
        return found["done"]
    return f"{found['hpa']} ({found['inches']})" if found["inches"] else _turned(found)


def _read(found: re.Match[str]) -> str:
    """Return a measure turned, and a tag with what it says turned where a reader hears that."""
    if found["kept"] is None:
        return _said(found)
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
    parts = re.split(rf"({_JOINED}|{_AND})", found["numbers"])
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
