"""How well any program could tell maneuvers apart whose paths are the same.

Elementary eights across a road and around pylons are both two circles with straight ways that cross between
them. They differ in how they lie to the wind, and a calm has no direction; where the road or the pylons are
shows only to those who know the field. In the layouts drawn here the centers are √8 and 3 radii apart, but
that is a habit of this simulator and no property of the maneuvers: pylons stand where they stand.

Whoever is shown such a path says the one kind with some probability q, whichever was flown: of a flown the
one way and b the other, q a + (1 − q) b are right on the average, half of all at q = ½, which is the best
that can be had without knowing which of them is commoner. With everything else right and nothing said that
was not flown, each confusion is one missed and one false, so that with n flown

    F1 = 2 (n − (a + b)/2) / (n + n) = 1 − (a + b)/(2 n).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from .tally import Case

SAME_IN_A_CALM: Final = ("eights-across-a-road", "eights-around-pylons")


def same_path(case: Case) -> bool:
    """Return whether a maneuver was flown that another kind's path is the same as."""
    return case.wind_kt == 0.0 and case.flown in SAME_IN_A_CALM


def best_f1(among: Iterable[Case]) -> float:
    """Return the greatest F1 over all kinds that any program could reach on the average."""
    flown = [case for case in among if case.flown]
    return 1.0 - 0.5 * sum(map(same_path, flown)) / len(flown) if flown else float("nan")


def named_share(among: Iterable[Case]) -> float:
    """Return the part of the maneuvers flown whose kind was said, or named as an alternative."""
    flown = [case.named for case in among if case.flown]
    return sum(flown) / len(flown) if flown else float("nan")
