"""One run of the truth program: what came out, what is shown of it, and the targets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import degrees, isfinite
from typing import Final

import numpy as np
from tests.truth.flown import FOOT, KNOT
from tests.truth.recorded import GPS_ONLY, HEADLINE, WITH_AIRSPEED
from tests.truth.tally import Case, Result
from tests.truth.totals import (
    NotFlown,
    cases,
    detected,
    false_in_ordinary,
    faults,
    spread,
    verdicts,
)

_DEGREE: Final = np.pi / 180.0
QUANTITIES: Final[dict[str, tuple[str, float, str]]] = {
    "wind": ("wind vector", KNOT, "kt"),
    "airspeed": ("mean true airspeed", KNOT, "kt"),
    "airspeed at samples": ("true airspeed at each sample", KNOT, "kt"),
    "height": ("height above the ground", FOOT, "ft"),
    "bank": ("bank", _DEGREE, "°"),
    "bank in a slip": ("bank while slipping or skidding, unrecorded", _DEGREE, "°"),
    "radius": ("radius", 0.01, "%"),
    "point": ("point", 1.0, "m"),
    "pylons": ("pylons", 1.0, "m"),
    "line": ("line, across it", 1.0, "m"),
    "bearing": ("bearing of the line", _DEGREE, "°"),
    "corners": ("corners of the rectangle", 1.0, "m"),
}
"""What is estimated, in words, with the unit it is shown in."""


@dataclass(frozen=True, slots=True)
class Run:
    """One run of the program.

    Attributes
    ----------
    block
        `reserved` or `development`.
    lessons
        Number asked for.
    results, failed
        What came out, and what was not flown to its end.
    command
        That made it.
    placed
        What came out of the same recordings with the places on the ground given.
    """

    block: str
    lessons: int
    results: Sequence[Result]
    failed: Sequence[NotFlown]
    command: str
    placed: Sequence[Result] = ()

    @property
    def usual(self) -> list[Case]:
        """Cases of the recorders at about one sample a second."""
        return cases(self.results, HEADLINE)


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a Markdown table, all columns but the first to the right."""
    lines = ["| " + " | ".join(head) + " |", "| --- |" + " ---: |" * (len(head) - 1)]
    return "\n".join([*lines, *("| " + " | ".join(row) + " |" for row in rows)])


def percent(share: float) -> str:
    """Return a share in per cent, a dash where there is none."""
    return f"{100 * share:.1f} %" if isfinite(share) else "–"


def figure(value: float) -> str:
    """Return a figure with two or more digits."""
    if not isfinite(value):
        return "–"
    return f"{value:.2f}" if abs(value) < 10 else f"{value:.0f}"


def share(value: float) -> str:
    """Return a share with three digits."""
    return f"{value:.3f}" if isfinite(value) else "–"


@dataclass(frozen=True, slots=True)
class Target:
    """What is to be reached, what was, and whether that is enough."""

    what: str
    asked: str
    reached: str
    enough: bool


def targets(run: Run) -> list[Target]:
    """Return the targets with what was reached."""
    usual, said = run.usual, verdicts(run.usual)
    decided = said["right"] + said["wrong"]
    found, wrong = detected(usual), faults(usual)
    ordinary = false_in_ordinary(run.results)
    open_share = said["undetermined"] / max(decided + said["undetermined"], 1)
    rows = [
        Target("detection, F1 over all kinds", "≥ 0.97", share(found.f1), found.f1 >= 0.97),
        Target("false maneuvers in flights without any", "0", str(len(ordinary)), not ordinary),
        Target("errors found, F1", "≥ 0.90", share(wrong.f1), wrong.f1 >= 0.90),
        Target(
            "verdicts right where not left open",
            "≥ 97 %",
            percent(said["right"] / max(decided, 1)),
            said["right"] >= 0.97 * decided,
        ),
        Target("verdicts left open", "≤ 15 %", percent(open_share), open_share <= 0.15),
    ]
    return [*rows, *_wind_targets(run), *_bank_targets(run), *_coverage_targets(usual)]


def _wind_targets(run: Run) -> Iterator[Target]:
    for name, recorders, limit in (
        ("positions only", GPS_ONLY, 1.0),
        ("with airspeed", WITH_AIRSPEED, 0.6),
    ):
        errors = spread(cases(run.results, recorders), "wind")
        if errors is not None:
            median = errors.median / KNOT
            yield Target(
                f"wind vector error, {name}, median", f"≤ {limit} kt", f"{median:.2f} kt", median <= limit
            )


def _bank_targets(run: Run) -> Iterator[Target]:
    for name, recorders, limit in (
        ("1 Hz", HEADLINE, 2.0),
        ("5 Hz", ("phone 0.2 s", "panel 0.2 s"), 1.2),
    ):
        errors = spread(cases(run.results, recorders), "bank")
        if errors is not None:
            rms = degrees(errors.rms)
            yield Target(f"bank at {name}, rms", f"≤ {limit}°", f"{rms:.2f}°", rms <= limit)


def _coverage_targets(usual: Sequence[Case]) -> Iterator[Target]:
    for quantity, (words, _, _) in QUANTITIES.items():
        errors = spread(usual, quantity)
        if errors is not None and quantity != "bank in a slip":
            inside = errors.inside[-1]
            yield Target(f"95 % interval of {words}", "91 to 98 %", percent(inside), 0.91 <= inside <= 0.98)
