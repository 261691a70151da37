"""Tables of the validation page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from math import degrees, isfinite

import numpy as np
from bench.validation_run import QUANTITIES, Run, figure, percent, share, table, targets
from tests.truth.alike import best_f1, named_share
from tests.truth.estimates import LEVELS
from tests.truth.flown import KNOT
from tests.truth.lessons import WINDS_KT
from tests.truth.recorded import GPS_ONLY, HEADLINE, RECORDERS
from tests.truth.tally import Case
from tests.truth.totals import (
    calibration,
    cases,
    detected,
    faults,
    gone_astray,
    kinds_flown,
    spread,
    verdicts,
)


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


def astray_said(run: Run) -> str:
    """Return in words what was left out, since what was flown there was none of its kind."""
    left = [case for case in gone_astray(run.results, HEADLINE) if case.flown]
    kinds = []
    for kind in kinds_flown(left):
        among = [case for case in left if case.flown == kind]
        units = {(case.lesson, case.number): case.astray for case in among}
        why = ", ".join(f"{number} {words}" for words, number in sorted(Counter(units.values()).items()))
        named = sum(case.same for case in among)
        kinds.append(f"{len(units)} of {kind} ({why}; named so in {named} of {len(among)} recordings)")
    return "; ".join(kinds) if kinds else "none"


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


def closer_table(run: Run) -> str:
    """Return detection looked at closer: what was named, what a calm allows, what is left in wind."""
    usual = run.usual
    calm = [case for case in usual if case.wind_kt == 0.0]
    windy = [case for case in usual if case.wind_kt >= 5.0]
    rows = [
        [
            words,
            *(share(value) for value in (detected(among).f1, best_f1(among))),
            *(percent(value) for value in (detected(among).recall, named_share(among))),
        ]
        for words, among in (("all", usual), ("wind of 5 kt and more", windy), ("no wind", calm))
    ]
    head = ("wind", "F1", "best F1 possible", "right kind said", "right kind said or named beside it")
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
                share(best_f1(among)),
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
        "best possible",
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


def placed_table(run: Run) -> str:
    """Return the figures without and with the places on the ground given."""
    kinds = kinds_flown(run.usual)
    both = (run.usual, cases(run.placed, HEADLINE))
    rows = [["detection, F1 over all kinds", *(share(detected(among).f1) for among in both)]]
    rows += [
        [f"detection of {kind}, F1", *(share(detected(among, kind).f1) for among in both)] for kind in kinds
    ]
    rows.append(["errors found, F1", *(share(faults(among).f1) for among in both)])
    for kind in kinds:
        of_kind = [[case for case in among if case.flown == kind] for among in both]
        rows.append([f"errors found in {kind}, F1", *(share(faults(among).f1) for among in of_kind)])
    for words, outcomes_counted in (("right where not left open", False), ("left open", True)):
        rows.append([f"verdicts {words}", *(_verdicts(among, left_open=outcomes_counted) for among in both)])
    for quantity in ("wind", "airspeed", "radius"):
        shares = [spread(among, quantity) for among in both]
        words = f"95 % interval of {QUANTITIES[quantity][0]}"
        rows.append([words, *("–" if each is None else percent(each.inside[-1]) for each in shares)])
    return table(("what", "places not given", "places given"), rows)


def _verdicts(among: Iterable[Case], *, left_open: bool) -> str:
    said = verdicts(among)
    decided = said["right"] + said["wrong"]
    if left_open:
        return percent(said["undetermined"] / max(decided + said["undetermined"], 1))
    return percent(said["right"] / decided if decided else float("nan"))


def placed_fault_table(run: Run) -> str:
    """Return errors found and missed with the places given, by error."""
    return _faults_of(cases(run.placed, HEADLINE), lambda case, name: name, "error")


def calibration_table(run: Run) -> str:
    """Return stated confidence and share right."""
    return table(
        ("stated", "maneuvers said", "mean stated", "right"),
        (
            (f"{low:g} to {high:g}", str(count), share(stated), share(right))
            for low, high, count, stated, right in calibration(run.usual)
        ),
    )


def outcomes(among: Iterable[Case], key: Callable[[Case, str], str]) -> Mapping[str, Counter[str]]:
    """Return what became of errors, in groups."""
    groups: dict[str, Counter[str]] = {}
    for case in among:
        for name, outcome in case.faults.items():
            groups.setdefault(key(case, name), Counter())[outcome] += 1
    return groups


def fault_table(run: Run, *, by_kind: bool = False) -> str:
    """Return errors found and missed, by error or by kind of maneuver."""
    if by_kind:
        return _faults_of(run.usual, lambda case, name: case.flown, "kind")
    return _faults_of(run.usual, lambda case, name: name, "error")


def _faults_of(among: Iterable[Case], key: Callable[[Case, str], str], first: str) -> str:
    rows = []
    for name, count in sorted(outcomes(among, key).items()):
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
    return table((first, "found", "cause said", "missed", "false", "precision", "recall"), rows)


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
