"""What is counted over lessons: shares, pairs, intervals, and the page and figures made of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from bench.accuracy import figures
from bench.validation_page import page
from bench.validation_run import Run, targets
from lxml import etree

from .alike import best_f1, named_share
from .estimates import LEVELS, Measure
from .lessons import DEVELOPMENT, draw
from .tally import Case, Result
from .totals import NotFlown, Share, calibration, confusion, detected, faults, fly_block, spread, verdicts

POINT, ROAD = "turns-around-a-point", "s-turns"
GOOD = Case(
    lesson=0,
    recorder="phone 1 s",
    wind_kt=10.0,
    flown=POINT,
    found=POINT,
    same=True,
    confidence=0.95,
    start=0.2,
    end=-0.4,
    measures={"wind": Measure(0.4, (1.0, 1.0, 1.0)), "bank": Measure(0.02, (0.5, 0.9, 1.0), 100)},
    faults={"altitude-not-held": "found", "radius-changed": "explained", "bank-over-limit": "missed"},
    verdicts=(("altitude", "right"), ("bank", "undetermined")),
    bound=0.1,
    unseen=0.01,
)
CONFUSED = Case(1, "phone 1 s", 10.0, ROAD, POINT, False, confidence=0.6)
MISSED = Case(2, "phone 1 s", 10.0, ROAD, "", False)
FALSE = Case(3, "phone 1 s", 10.0, "", ROAD, False, confidence=0.7)
CASES = [GOOD, CONFUSED, MISSED, FALSE]


def test_precision_recall_and_f1() -> None:
    """Van Rijsbergen's F with equal weights is 2PR/(P+R) (Information Retrieval, 1979, from memory)."""
    counted = Share(right=6, false=2, missed=4)
    assert counted.precision == 0.75
    assert counted.recall == 0.6
    assert counted.f1 == pytest.approx(2 * 0.75 * 0.6 / (0.75 + 0.6))


def test_a_confused_kind_is_missed_and_false() -> None:
    assert detected(CASES) == Share(1, 2, 2)
    assert detected(CASES, POINT) == Share(1, 1, 0)
    assert detected(CASES, ROAD) == Share(0, 1, 2)
    assert confusion(CASES) == {
        (POINT, POINT): 1,
        (ROAD, POINT): 1,
        (ROAD, "nothing"): 1,
        ("nothing", ROAD): 1,
    }


def test_in_a_calm_half_of_the_eights_that_look_alike_are_confused() -> None:
    """With 4 of 8 the same path as another kind's, a coin toss leaves 6 of 8 right: F1 = 2·6/(8 + 8)."""
    alike = [
        Case(0, "phone 1 s", wind, kind, kind, True)
        for wind in (0.0, 10.0)
        for kind in ("eights-across-a-road", "eights-around-pylons")
        for _ in range(2)
    ]
    assert best_f1(alike) == pytest.approx(0.75)
    assert best_f1([case for case in alike if case.wind_kt]) == 1.0
    assert named_share([replace(alike[0], named=True), alike[1]]) == 0.5


def test_an_error_whose_cause_was_said_is_found() -> None:
    assert faults(CASES) == Share(2, 0, 1)
    assert verdicts(CASES) == {"right": 1, "undetermined": 1}


def test_coverage_of_samples_counts_samples() -> None:
    other = replace(GOOD, measures={"bank": Measure(0.04, (0.0, 0.0, 0.0), 300)})
    errors = spread([GOOD, other], "bank")
    assert errors is not None
    assert errors.inside == pytest.approx((0.125, 0.225, 0.25))
    assert errors.rms == pytest.approx(np.sqrt((0.02**2 + 3 * 0.04**2) / 4))


def test_confidence_is_set_beside_the_share_right() -> None:
    rows = calibration(CASES)
    assert [(low, count, right) for low, _, count, _, right in rows] == [
        (0.5, 1, 0.0),
        (0.7, 1, 0.0),
        (0.95, 1, 1.0),
    ]


def test_page_and_figures_are_made() -> None:
    results = [Result(0, "phone 1 s", "maneuvers", tuple(CASES), 20.0)]
    run = Run("reserved", 1, results, [NotFlown(7, "too windy")], "command")
    text = page(run, "At the end.")
    assert "every figure on it is of the *reserved* block" in text
    assert "lesson 7" in text
    assert text.endswith("At the end.")
    assert "**not reached**" in text
    assert not {each.what for each in targets(run) if each.enough} & {"detection, F1 over all kinds"}
    for drawn in figures(run).values():
        assert etree.fromstring(drawn.encode()).get("role") == "img"
    assert len(LEVELS) == len(GOOD.measures["wind"].inside)


def test_a_block_is_flown_on_processes() -> None:
    results, failed = fly_block(DEVELOPMENT, [23], names=["phone 1 s"], processes=1)
    assert draw(DEVELOPMENT, 23).airplane == "glider"
    assert [each.lesson for each in results] == [23]
    assert not failed
