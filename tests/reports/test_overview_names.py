"""The whole flight from above: no name is struck through by the track."""

from __future__ import annotations

from itertools import islice

import numpy as np
import pytest

from groundref.debriefing import debrief
from groundref.reports.figures import overview
from groundref.reports.figures.labels import inside, text_box
from groundref.simulation.summer import summer
from tests.reports.test_figures import parsed


@pytest.mark.parametrize("number", range(3))
def test_start_and_end_stand_clear_of_the_track(number):
    flown = debrief(next(islice(summer(), number, None)).fly())
    drawing = parsed(overview.draw(flown, "overview"))
    x, y, _ = overview.places(flown)
    named = [
        each for each in drawing.iterfind(".//{*}text") if each.text in ("start and end", "start", "end")
    ]
    assert named
    for each in named:
        box = text_box(
            float(each.get("x")), float(each.get("y")), each.text, each.get("text-anchor", "start")
        )
        assert inside(np.array([box]), x, y)[0] == 0
