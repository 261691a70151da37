"""A spacing that leaves no room for the radius that a bank needs is no reason to refuse the plan itself."""

from __future__ import annotations

import re
from math import radians

import pytest

from groundref.errors import NoSolutionError
from groundref.planning import Blowing, Wanted, plan
from groundref.units import foot, knot


@pytest.mark.parametrize("kind", ["eights-around-pylons", "eights-across-a-road"])
def test_pylons_too_close_for_thirty_degrees_still_make_a_plan(kind: str) -> None:
    wind = Blowing(14 * knot, radians(240))
    close = plan(kind, wind=wind, wanted=Wanted(spacing=3000 * foot)).fit
    usual = plan(kind, wind=wind).fit
    assert close is not None
    assert usual is not None
    # The needed radius is wider than half of the spacing, so it is told for the usual spacing.
    assert 2.0 * close.radius_at_teaching > 3000 * foot
    assert close.radius_at_teaching == pytest.approx(usual.radius_at_teaching, rel=1e-6)


@pytest.mark.parametrize(
    ("kind", "bank", "spacing"),
    [
        ("eights-around-pylons", 25.0, 3000.0),
        ("eights-across-a-road", 20.0, 2500.0),
        ("eights-on-pylons", None, 2000.0),
        ("eights-on-pylons", 25.0, 2500.0),
    ],
)
def test_places_too_close_for_a_bank_are_told_how_far_apart_they_must_be(
    kind: str, bank: float | None, spacing: float
) -> None:
    wind = Blowing(14 * knot, radians(240))
    limit = None if bank is None else radians(bank)
    with pytest.raises(NoSolutionError, match=r"no room for [\d,]+ ft of radius at \d+°") as refused:
        plan(kind, wind=wind, wanted=Wanted(spacing=spacing * foot, bank_limit=limit))
    told = re.search(r"choose ([\d,]+) ft \([\d,]+ m\) or more", str(refused.value))
    assert told is not None
    enough = float(told[1].replace(",", ""))
    assert spacing < enough < 3.0 * spacing
    made = plan(kind, wind=wind, wanted=Wanted(spacing=enough * foot, bank_limit=limit))
    assert made.extremes.bank_max == pytest.approx(radians(35.0 if bank is None else bank), abs=1e-6)
