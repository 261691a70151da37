"""What a recording is too coarse for is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from groundref.simulation import simulate
from groundref.track.clean import clean
from groundref.track.fineness import position_step
from groundref.units import degree

RECORDING, _ = simulate(seed=5)


def rounded(decimals: int) -> np.ndarray:
    return np.round(RECORDING.latitude / degree, decimals) * degree


@pytest.mark.parametrize(("decimals", "step"), [(2, 1111.2), (3, 111.12), (4, 11.112), (7, 0.0)])
def test_the_step_is_that_of_the_decimals(decimals: int, step: float) -> None:
    assert position_step(replace(RECORDING, latitude=rounded(decimals))) == pytest.approx(step)


def test_a_fine_recording_has_no_such_note() -> None:
    assert not any("only;" in note for note in clean(RECORDING).notes)


def test_coarse_positions_are_said() -> None:
    notes = clean(replace(RECORDING, latitude=rounded(3))).notes
    assert any("steps of about 111 m" in note for note in notes)


def test_seldom_positions_are_said() -> None:
    assert any(
        "one position every 15 s" in note for note in clean(RECORDING.take(slice(None, None, 15))).notes
    )
