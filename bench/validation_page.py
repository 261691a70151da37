"""The validation page: what came out over a block of lessons, as text with tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import degrees, isfinite
from pathlib import Path
from typing import Final

import numpy as np
from tests.truth.flown import FOOT, KNOT
from tests.truth.lessons import NO_MANEUVER_EVERY, WINDS_KT
from tests.truth.tally import GPS_ONLY, HEADLINE, LEVELS, RECORDERS, WITH_AIRSPEED, Case, Result
from tests.truth.totals import (
    NotFlown,
    calibration,
    cases,
    confusion,
    detected,
    false_in_ordinary,
    faults,
    kinds_flown,
    spread,
    verdicts,
)

TEMPLATE: Final = Path(__file__).with_name("validation_template.md")
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
    """

    block: str
    lessons: int
    results: Sequence[Result]
    failed: Sequence[NotFlown]
    command: str

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


def target_table(run: Run) -> str:
    """Return the targets beside what was reached."""
    return table(
        ("what", "target", "reached", ""),
        (
            (each.what, each.asked, each.reached, "reached" if each.enough else "**not reached**")
            for each in targets(run)
        ),
    )


def flown_table(run: Run) -> str:
    """Return what was flown, by kind."""
    once = cases(run.results, HEADLINE[:1])
    without = Counter(
        each.what for each in run.results if each.recorder == HEADLINE[0] and each.what != "maneuvers"
    )
    rows = [[kind, str(sum(case.flown == kind for case in once))] for kind in kinds_flown(once)]
    rows += [[f"lessons without a maneuver: {what}", str(number)] for what, number in without.items()]
    return table(("flown", "times"), rows)


def detection_table(run: Run) -> str:
    """Return precision and recall by kind, and start and end."""
    usual = run.usual
    rows = []
    for kind in (None, *kinds_flown(usual)):
        found = detected(usual, kind)
        same = [case for case in usual if case.same and kind in (None, case.flown)]
        rows.append(
            [
                kind or "all",
                str(found.right + found.missed),
                share(found.precision),
                share(found.recall),
                share(found.f1),
                *(_ends(same, name) for name in ("start", "end")),
            ]
        )
    head = ("kind", "flown and recorded", "precision", "recall", "F1", "start, s", "end, s")
    return table(head, rows)


def _ends(same: Sequence[Case], name: str) -> str:
    errors = np.abs([getattr(case, name) for case in same])
    return f"{np.median(errors):.1f} / {np.quantile(errors, 0.95):.1f}" if errors.size else "–"


def recorder_table(run: Run) -> str:
    """Return the most asked for figures by recorder."""
    rows = []
    for name in RECORDERS:
        among = cases(run.results, (name,))
        said = verdicts(among)
        decided = said["right"] + said["wrong"]
        rows.append(
            [
                name,
                share(detected(among).f1),
                share(faults(among).f1),
                percent(said["right"] / decided if decided else float("nan")),
                percent(said["undetermined"] / max(decided + said["undetermined"], 1)),
                *(_median(among, quantity) for quantity in ("wind", "airspeed")),
                *(_rms(among, quantity) for quantity in ("bank", "height")),
            ]
        )
    head = (
        "recorder",
        "detection F1",
        "errors F1",
        "verdicts right",
        "left open",
        "wind, median kt",
        "TAS, median kt",
        "bank, rms °",
        "height, rms ft",
    )
    return table(head, rows)


def _median(among: Iterable[Case], quantity: str) -> str:
    errors, (_, unit, _) = spread(among, quantity), QUANTITIES[quantity]
    return "–" if errors is None else figure(errors.median / unit)


def _rms(among: Iterable[Case], quantity: str) -> str:
    errors, (_, unit, _) = spread(among, quantity), QUANTITIES[quantity]
    return "–" if errors is None else figure(errors.rms / unit)


def wind_table(run: Run) -> str:
    """Return the figures by wind."""
    rows = []
    for wind in WINDS_KT:
        among = [case for case in run.usual if case.wind_kt == wind]
        said = verdicts(among)
        decided = said["right"] + said["wrong"]
        gps = [case for case in cases(run.results, GPS_ONLY) if case.wind_kt == wind]
        rows.append(
            [
                f"{wind:.0f} kt",
                share(detected(among).f1),
                share(faults(among).f1),
                percent(said["right"] / decided if decided else float("nan")),
                _median(gps, "wind"),
                _bound(gps),
                _rms(among, "bank"),
            ]
        )
    head = (
        "wind",
        "detection F1",
        "errors F1",
        "verdicts right",
        "wind error, positions only, median kt",
        "least possible, median kt",
        "bank, rms °",
    )
    return table(head, rows)


def _bound(among: Iterable[Case]) -> str:
    bounds = [case.bound for case in among if case.same]
    return figure(float(np.median(bounds)) / KNOT) if bounds else "–"


def error_table(run: Run) -> str:
    """Return the errors by quantity and their coverage."""
    rows = []
    for quantity, (words, unit, name) in QUANTITIES.items():
        errors = spread(run.usual, quantity)
        well = spread([case for case in run.usual if not case.ordered], quantity)
        if errors is not None:
            rows.append(
                [
                    f"{words}, {name}",
                    str(errors.count),
                    *(figure(value / unit) for value in (errors.median, errors.most, errors.rms)),
                    *(percent(inside) for inside in errors.inside),
                    "–" if well is None else percent(well.inside[-1]),
                ]
            )
    head = (
        "what",
        "estimates",
        "median",
        "95 %",
        "rms",
        *(f"in {level:.0%}" for level in LEVELS),
        "in 95% where no error was ordered",
    )
    return table(head, rows)


def coverage_table(run: Run) -> str:
    """Return the shares within the 95 % intervals by kind."""
    usual = run.usual
    kinds = kinds_flown(usual)
    rows = []
    for quantity, (words, _, _) in QUANTITIES.items():
        shares = [spread([case for case in usual if case.flown == kind], quantity) for kind in kinds]
        if any(each is not None for each in shares):
            rows.append([words, *("–" if s is None else percent(s.inside[-1]) for s in shares)])
    return table(("what", *kinds), rows)


def interval_table(run: Run) -> str:
    """Return what is lost with a longer interval, beside what exact positions would still miss."""
    rows = []
    for name in ("phone 0.2 s", "phone 1 s", "phone 2 s", "phone 5 s"):
        among = cases(run.results, (name,))
        unseen = [case.unseen for case in among if isfinite(case.unseen)]
        rows.append(
            [
                name,
                share(detected(among).recall),
                share(faults(among).recall),
                _rms(among, "bank"),
                figure(degrees(float(np.sqrt(np.mean(np.square(unseen)))))) if unseen else "–",
                _median(among, "wind"),
            ]
        )
    head = (
        "recorder",
        "maneuvers found",
        "errors found",
        "bank, rms °",
        "exact positions still miss, rms °",
        "wind, median kt",
    )
    return table(head, rows)


def calibration_table(run: Run) -> str:
    """Return stated confidence and share right."""
    return table(
        ("stated", "maneuvers said", "mean stated", "right"),
        (
            (f"{low:g} to {high:g}", str(count), share(stated), share(right))
            for low, high, count, stated, right in calibration(run.usual)
        ),
    )


def _outcomes(run: Run, key: Callable[[Case, str], str]) -> Mapping[str, Counter[str]]:
    groups: dict[str, Counter[str]] = {}
    for case in run.usual:
        for name, outcome in case.faults.items():
            groups.setdefault(key(case, name), Counter())[outcome] += 1
    return groups


def fault_table(run: Run, *, by_kind: bool = False) -> str:
    """Return errors found and missed, by error or by kind of maneuver."""
    groups = _outcomes(run, lambda case, name: case.flown if by_kind else name)
    rows = []
    for name, count in sorted(groups.items()):
        right, false, missed = count["found"] + count["explained"], count["false"], count["missed"]
        if right + false + missed:
            rows.append(
                [
                    name,
                    *(str(count[each]) for each in ("found", "explained", "missed", "false")),
                    share(right / (right + false) if right + false else float("nan")),
                    share(right / (right + missed) if right + missed else float("nan")),
                ]
            )
    head = ("error", "found", "cause said", "missed", "false", "precision", "recall")
    return table(("kind", *head[1:]) if by_kind else head, rows)


def verdict_table(run: Run) -> str:
    """Return verdicts by what is judged, over all, and with and without a panel."""
    names = sorted({name for case in run.usual for name, _ in case.verdicts})
    rows = []
    for name in (None, *names):
        for words, among in (
            ("all", run.usual),
            ("positions only", cases(run.results, GPS_ONLY)),
            ("panel", cases(run.results, ("panel 1 s",))),
        ):
            said = verdicts(among, name)
            decided = said["right"] + said["wrong"]
            rows.append(
                [
                    f"{name or 'all'}, {words}",
                    *(str(said[each]) for each in ("right", "wrong", "undetermined")),
                    percent(said["right"] / decided if decided else float("nan")),
                    percent(said["undetermined"] / max(decided + said["undetermined"], 1)),
                ]
            )
    return table(("judged, recorder", "right", "wrong", "left open", "right of said", "open"), rows)


def weak(run: Run) -> str:
    """Return in words what is below its target, kind by kind and error by error."""
    usual = run.usual
    lines = [
        f"- {each.what}: {each.reached}, target {each.asked}." for each in targets(run) if not each.enough
    ]
    for kind in kinds_flown(usual):
        found = detected(usual, kind)
        if found.f1 < 0.97:
            lines.append(f"- Detection of {kind}: F1 {share(found.f1)}; {_instead(usual, kind)}.")
    for name, count in sorted(_outcomes(run, lambda case, fault: f"{fault} in {case.flown}").items()):
        right, missed = count["found"] + count["explained"], count["missed"]
        if right + missed >= 5 and right < 0.8 * (right + missed):
            lines.append(f"- {name}: {right} of {right + missed} found.")
        if count["false"] > 0.1 * max(right, 10):
            lines.append(f"- {name}: said {count['false']} times where it was not made.")
    return "\n".join(lines) if lines else "Nothing is below its target."


def _instead(usual: Iterable[Case], kind: str) -> str:
    """Return what was found where a kind was flown and not found."""
    count = Counter(case.found or "nothing" for case in usual if case.flown == kind and not case.same)
    false = sum(case.found == kind and not case.same for case in usual)
    told = ", ".join(f"{name} {number} times" for name, number in count.most_common())
    return f"where it was flown and not found: {told or 'never'}; said {false} times where it was not flown"


def counted(run: Run) -> dict[tuple[str, str], int]:
    """Return the confusion table."""
    return confusion(run.usual)


def page(run: Run, notes: str) -> str:
    """Return the page.

    Parameters
    ----------
    run
        What came out.
    notes
        What else is written on it, at the end.
    """
    hours = sum(each.minutes for each in run.results if each.recorder == HEADLINE[0]) / 60.0
    ordinary = false_in_ordinary(run.results)
    false = Counter((what, found) for _, _, what, found in ordinary)
    said = "; ".join(f"{found} in a flight of {what}: {number}" for (what, found), number in false.items())
    unflown = "; ".join(f"lesson {each.lesson}" for each in run.failed)
    return TEMPLATE.read_text(encoding="utf-8").format(
        command=run.command,
        block=run.block,
        lessons=run.lessons,
        every=NO_MANEUVER_EVERY,
        hours=f"{hours:.0f}",
        failed=f"{len(run.failed)} could not be flown to their end ({unflown}) and are left out"
        if run.failed
        else "all were flown to their end",
        recorders=", ".join(RECORDERS),
        headline=", ".join(HEADLINE),
        targets=target_table(run),
        weak=weak(run),
        flown=flown_table(run),
        detection=detection_table(run),
        ordinary=said or "none",
        calibration=calibration_table(run),
        errors=error_table(run),
        coverage=coverage_table(run),
        faults=fault_table(run),
        faults_by_kind=fault_table(run, by_kind=True),
        verdicts=verdict_table(run),
        winds=wind_table(run),
        by_recorder=recorder_table(run),
        intervals=interval_table(run),
        notes=notes,
    )
