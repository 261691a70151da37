"""From a simulated recording to findings: each fault is what is said, and good flying is left alone."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.assessment.assessed import Finding
from groundref.debriefing import debrief
from groundref.simulation import simulate
from groundref.units import foot, knot


def said(faults: dict[str, float | None], seed: int, recorder: str = "phone") -> dict[str, Finding]:
    """Findings of three laps flown in a wind that matters."""
    recording, truth = simulate(
        true_airspeed=92 * knot,
        wind_speed=15 * knot,
        wind_from=1.1 * seed,
        radius=1450 * foot,
        direction="left" if seed % 2 else "right",
        laps=3,
        seed=seed,
        faults=faults,
        recorder=recorder,
    )
    found = debrief(recording, ground=truth.ground_elevation).maneuvers
    assert len(found) == 1
    return {each.fault: each for each in found[0].findings}


@pytest.mark.parametrize("recorder", ["phone", "avionics", "adsb"])
def test_good_flying_is_left_alone(recorder: str) -> None:
    assert said({}, 21, recorder) == {}


@pytest.mark.parametrize(
    ("fault", "size"),
    [
        ("bank-held-constant", 1.0),
        ("overbanked-upwind", 7.0),
        ("underbanked-downwind", 7.0),
        ("late-turn-entry", 4.0),
        ("entry-not-downwind", 40.0),
        ("entry-too-close", 400.0),
        ("entry-too-far", 400.0),
        ("radius-changed", 300.0),
        ("altitude-not-held", 200.0),
        ("outside-height-band", 150.0),
    ],
)
def test_a_fault_is_what_is_said_first(fault: str, size: float) -> None:
    """The size is within three of its standard deviations, which hold the recorder, not the pilot's lag."""
    findings = said({fault: size}, 22)
    assert next(iter(findings), None) == fault
    finding = findings[fault]
    lag = 0.25 * size  # what roll, speed and eye take off a commanded error
    assert abs(finding.size - size) < 3.0 * finding.size_sd + lag


@pytest.mark.parametrize(
    ("fault", "size"), [("uncoordinated", 0.1), ("bank-over-limit", 6.0), ("airspeed-not-held", 14.0)]
)
def test_recorded_attitude_and_acceleration_show_more(fault: str, size: float) -> None:
    findings = said({fault: size}, 23, "avionics")
    assert list(findings) == [fault]
    assert findings[fault].size == pytest.approx(size, abs=3.0 * findings[fault].size_sd + 0.25 * size)


def test_two_faults_are_both_said() -> None:
    findings = said({"entry-too-far": 500.0, "altitude-not-held": 200.0}, 24)
    assert {"entry-too-far", "altitude-not-held"} <= set(findings)
    assert all(np.isfinite(each.size) for each in findings.values())
