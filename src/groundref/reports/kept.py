"""A lesson that was kept, in words, from its figures and its debrief's JSON."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final

from groundref.assessment.said import WORDS
from groundref.detection import named
from groundref.progress.flown import ElementFlown, ManeuverFlown
from groundref.reports import verdict_words, words
from groundref.track.time_of_day import time_of_day

ON_THE_GROUND: Final = "Flown on the ground"
ABOUT_TRY: Final = (
    "This is a try, flown on the ground: the airplane held its height and airspeed by itself. It counts in no"
    " progress."
)


def day(stamp: str) -> str:
    """Return the day of `2026-05-01` or `2026-05-01T12:00:00.000Z` as `1 May 2026`."""
    return words.day(datetime.fromisoformat(stamp[:10]))


def clock(stamp: str) -> str:
    """Return the time of day of `2026-05-01T12:00:00.000Z` to the nearest second, as `12:00:00`."""
    return time_of_day(datetime.fromisoformat(stamp))


def heading(flown: ManeuverFlown) -> str:
    """Return the title of a maneuver, such as `Turns around a point, left, 3 laps`."""
    way = "" if flown.direction == "both" else f", {flown.direction}"
    lap = WORDS[flown.kind].lap if flown.kind in WORDS else "lap"
    return f"{named.title(flown.kind)}{way}, {words.count(flown.laps, lap)}"


def judged(flown: ManeuverFlown) -> list[ElementFlown]:
    """Return the elements that a recording can tell, or that the instructor decided."""
    return [one for one in flown.elements if one.own is not None or one.quantity != "observed"]


def open_to_eye(flown: ManeuverFlown) -> list[ElementFlown]:
    """Return the elements that only an instructor on board sees, and that nobody decided yet."""
    return [one for one in flown.elements if one.own is None and one.quantity == "observed"]


def verdict(element: ElementFlown) -> verdict_words.VerdictWord:
    """Return how the verdict that counts is told."""
    return verdict_words.decided(element, element.own)


def counts(flown: ManeuverFlown) -> str:
    """Return how many elements were met, not met and open, as `3 met, 1 not met`."""
    return verdict_words.counts([verdict(one).mark for one in judged(flown)])


def asked(element: ElementFlown) -> str:
    """Return the limit of an element, such as `800 ± 100 ft` or `600 to 1,000 ft`."""
    if element.limit is None:
        return "no limit"
    upper = words.limit(element.limit, element.unit)
    if element.target is not None:
        return f"{words.limit(element.target, '')} ± {upper}"
    return upper if element.minimum is None else f"{words.limit(element.minimum, '')} to {upper}"


def worst(element: ElementFlown) -> str:
    """Return the worst that was flown, such as `worst flown 72 ±15 ft`."""
    if element.worst is None:
        return "not measured"
    return f"worst flown {words.size(element.worst, element.worst_sd, element.unit, whole=True)}"


def wind(flown: ManeuverFlown) -> str:
    """Return the wind while it was flown, such as `240° at 12 ±1 kt`; empty where it is not known."""
    if flown.wind_kt is None or flown.wind_from_deg is None:
        return ""
    speed = words.with_sd(flown.wind_kt, flown.wind_sd_kt)
    from_deg = round(flown.wind_from_deg) % 360 or 360
    return f"{from_deg:03d}° at {speed} kt"


def said(finding: Mapping[str, Any], what: str) -> str:
    """Return a sentence of a kept finding in the reader's units.

    Parameters
    ----------
    finding
        In the debrief's JSON.
    what
        `says` or `cure`.
    """
    return words.sentence(finding[what], finding.get(f"{what}_metric", ""))


def strongest(document: Mapping[str, Any]) -> list[tuple[int, Mapping[str, Any]]]:
    """Return the findings of a debrief with the number of their maneuver, the strongest first.

    Parameters
    ----------
    document
        The debrief's JSON.
    """
    every = [
        (number, finding)
        for number, maneuver in enumerate(document["maneuvers"], start=1)
        for finding in maneuver["findings"]
    ]
    return sorted(every, key=lambda each: -(each[1].get("strength") or 0.0))
