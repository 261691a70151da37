"""A spacing that leaves no room for the radius that a bank needs is no reason to refuse the plan itself."""

from __future__ import annotations

from math import radians

import pytest

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
