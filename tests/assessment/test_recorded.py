"""What was not recorded is not judged: no start, no entry, positions too few or too coarse, wrong ground."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from groundref.assessment.assessed import Assessed
from groundref.assessment.findings import ENTRY
from groundref.assessment.recorded import beginning
from groundref.debriefing import Debrief, debrief
from groundref.simulation import simulate
from groundref.track.recording import Recording
from groundref.units import degree, foot, knot

from .synthetic import Case, changed, flight, judged

LESSON, TRUTH = simulate(seed=5, wind_speed=13 * knot, faults={"altitude-not-held": 150.0})


def verdict(assessed: Assessed, beginning_of_what: str) -> tuple[str, str]:
    element = next(each for each in assessed.elements if each.what.startswith(beginning_of_what))
    return element.verdict, element.why


def from_the_turn(seconds: float) -> Debrief:
    """The lesson's debrief when the recording begins so long after the start of the turn."""
    start = TRUTH.maneuvers[0].start + seconds
    return debrief(LESSON, start=LESSON.epoch + timedelta(seconds=start))


@pytest.mark.parametrize("after", [-1.0, 2.0, 16.0, 50.0])
def test_an_entry_that_was_not_recorded_is_not_criticised(after: float) -> None:
    (assessed,) = from_the_turn(after).maneuvers
    assert not {each.fault for each in assessed.findings} & ENTRY
    assert verdict(assessed, "entered") == ("undetermined", "The entry was not recorded.")
    assert assessed.entry_off_downwind is None
    assert any("start of the turn was not recorded" in each for each in assessed.notes)


def test_without_its_start_altitude_is_compared_with_the_middle() -> None:
    (assessed,) = from_the_turn(16.0).maneuvers
    altitude = assessed.altitude
    assert altitude is not None
    assert altitude.reference_from == "middle"
    low, high = altitude.minimum, altitude.maximum
    assert low < altitude.reference < high
    assert "compared with the middle of what was flown" in verdict(assessed, "altitude")[1]
    assert "compared with the middle of what was flown" in verdict(assessed, "airspeed")[1]
    for each in assessed.findings:
        assert "of the start" not in each.says
        assert "at the start" not in each.says
    assert any("middle of what was flown" in each.says for each in assessed.findings)


def test_a_gap_in_the_lap_before_leaves_no_start() -> None:
    """S-turns whose second half circle is the first one recorded whole: 7 s before it is no start."""
    recording, truth = simulate("s-turns", wind_speed=12 * knot, seed=5, faults={"altitude-not-held": 200.0})
    crossed = truth.maneuver.boundaries[1]
    whole = debrief(recording, ground=truth.ground_elevation)
    (uncut,) = whole.maneuvers
    start = int(np.searchsorted(whole.states.time, crossed))
    laps = uncut.maneuver.laps[1:]
    later = replace(uncut.maneuver, first=start, start=crossed, laps=laps)
    for gap, recorded in ((7.0, False), (crossed - uncut.maneuver.start + 10.0, True)):
        piece = (whole.states.time > crossed - gap).astype(np.int64)
        assert beginning(changed(whole.states, piece=piece), later).recorded is recorded


def test_an_entry_that_was_recorded_is_judged() -> None:
    (assessed,) = from_the_turn(-20.0).maneuvers
    assert assessed.entry_recorded
    assert assessed.altitude is not None
    assert assessed.altitude.reference_from == "start"
    assert verdict(assessed, "entered")[1].startswith("No number is printed")
    assert not any("not recorded" in each for each in assessed.notes)
    assert "middle" not in verdict(assessed, "altitude")[1]


def test_a_gap_before_the_turn_is_no_start() -> None:
    states, maneuver = flight(Case())
    for samples, recorded in ((2, False), (8, True)):
        piece = (np.arange(len(states)) >= maneuver.first - samples).astype(np.int64)
        assert beginning(changed(states, piece=piece), maneuver).recorded is recorded


def test_turning_already_is_no_start_and_turning_the_other_way_no_entry() -> None:
    """A maneuver said to start later than it did has its own turn before it; an S has the opposite one."""
    states, maneuver = flight(Case(noise=0.0))
    late = replace(maneuver, first=maneuver.first + 15, start=maneuver.start + 15.0)
    assert not beginning(states, late).recorded
    reversed_before = changed(
        states, track_rate=np.where(states.time < maneuver.start, -0.1, states.track_rate)
    )
    start = beginning(reversed_before, maneuver)
    assert (start.recorded, start.straight) == (True, False)
    said = judged(reversed_before, maneuver)
    assert verdict(said, "entered") == ("undetermined", "There was no straight flight before the turn.")


def thinned(recording: Recording, step: int) -> Recording:
    return recording.take(np.arange(len(recording)) % step == 0)


def rounded(recording: Recording, decimals: int) -> Recording:
    def cut(angle: np.ndarray[tuple[int], np.dtype[np.float64]]) -> object:
        return np.round(angle / degree, decimals) * degree

    return replace(recording, latitude=cut(recording.latitude), longitude=cut(recording.longitude))


@pytest.mark.parametrize("seed", [50, 54])
@pytest.mark.parametrize(("step", "decimals"), [(7, None), (15, None), (1, 3), (2, 3)])
def test_coarse_recordings_of_good_flying_give_no_fault(seed: int, step: int, decimals: int | None) -> None:
    """One position in seven or fifteen seconds, or positions rounded to a thousandth of a degree."""
    recording, truth = simulate(seed=seed, wind_speed=16 * knot)
    recording = thinned(recording, step)
    recording = recording if decimals is None else rounded(recording, decimals)
    for assessed in debrief(recording, ground=truth.ground_elevation).maneuvers:
        assert assessed.findings == ()
        for what in ("airspeed", "bank", "entered", "distance"):
            said, why = verdict(assessed, what)
            assert said == "undetermined"
            assert why.startswith("Recorded too ")
        assert any("were not judged" in each for each in assessed.notes)


def test_few_samples_can_show_that_height_was_lost_but_not_that_it_was_held() -> None:
    held = debrief(thinned(simulate(seed=50)[0], 10)).maneuvers[0]
    assert verdict(held, "altitude")[0] == "undetermined"
    lost = debrief(thinned(simulate(seed=50, faults={"altitude-not-held": 300.0})[0], 10)).maneuvers[0]
    assert verdict(lost, "altitude")[0] == "not-met"
    assert [each.fault for each in lost.findings] == ["altitude-not-held"]


def test_measured_airspeed_and_bank_outlive_coarse_positions() -> None:
    states, maneuver = flight(Case())
    coarse = changed(states, velocity_sd=np.full(len(states), 3 * knot))
    assert judged(coarse, maneuver).airspeed is None
    measured = judged(changed(coarse, airspeed_source="measured", bank_source="measured"), maneuver)
    assert measured.airspeed is not None
    assert measured.bank is not None
    assert verdict(measured, "bank")[0] == "met"


def test_ground_above_the_airplane_gives_no_height() -> None:
    states, maneuver = flight(Case())
    buried = changed(states, height=np.full(len(states), -3763 * foot))
    result = judged(buried, maneuver)
    assert verdict(result, "height") == ("undetermined", "The given ground lies above the airplane.")
    assert result.height_reference is None
    assert "outside-height-band" not in {each.fault for each in result.findings}
    assert any("ground lies above" in each for each in result.notes)


def test_entry_is_judged_with_the_deviation_that_is_shown() -> None:
    """An airspeed that wandered by 6 kt may be half of a 12 kt wind: shown ± that, and judged so."""
    states, maneuver = flight(Case(wind=12 * knot, noise=0.0))
    wander = 9.0 * knot * np.sin((states.time - maneuver.start) / 9.0) * (states.time > maneuver.start)
    result = judged(changed(states, true_airspeed=states.true_airspeed + wander), maneuver)
    assert result.entry_off_downwind is not None
    assert result.entry_off_downwind_sd is not None
    assert result.entry_off_downwind_sd > 20 * degree
    entry = next(each for each in result.elements if each.what.startswith("entered"))
    assert entry.worst == pytest.approx(abs(result.entry_off_downwind) / degree)
    assert entry.worst_sd == pytest.approx(result.entry_off_downwind_sd / degree)
    assert any("too uncertain beside an airspeed" in each for each in result.notes)


def test_light_wind_is_noted() -> None:
    states, maneuver = flight(Case(wind=3.9 * knot))
    (note,) = judged(states, maneuver).notes
    assert note.startswith(
        "Bank by place in the circle was not judged: the wind of 3.9 kt (± 0.6 kt) is too light"
    )
    (unknown,) = judged(states, replace(maneuver, wind=None)).notes
    assert "the wind could not be told" in unknown
    assert judged(*flight(Case())).notes == ()


def test_the_document_has_no_entry_that_was_not_recorded() -> None:
    (maneuver,) = from_the_turn(16.0).to_dict()["maneuvers"]
    entry = maneuver["entry"]
    assert entry["recorded"] is False
    unknown = (
        "abeam_time",
        "track_deg",
        "off_downwind_deg",
        "off_downwind_sd_deg",
        "distance_ft",
        "distance_sd_ft",
    )
    assert [entry[key] for key in unknown] == [None] * len(unknown)
    assert maneuver["altitude"]["reference_from"] == maneuver["airspeed"]["reference_from"] == "middle"
    (maneuver,) = from_the_turn(-20.0).to_dict()["maneuvers"]
    entry = maneuver["entry"]
    assert entry["recorded"] is True
    assert None not in [entry[key] for key in unknown]
    assert maneuver["altitude"]["reference_from"] == "start"


def test_the_document_says_whose_limit_and_how_sure_a_consequence_is() -> None:
    (maneuver,) = from_the_turn(-20.0).to_dict()["maneuvers"]
    basis = {each["code"]: (each["basis"], each["published"]) for each in maneuver["elements"]}
    assert basis["PA.V.B.S7"] == ("standard", True)
    assert basis["handbook-bank"] == ("handbook", False)
    assert basis["practice-radius"] == ("practice", False)
    finding = next(each for each in maneuver["findings"] if each["fault"] == "altitude-not-held")
    assert finding["consequence_sd_ft"] == pytest.approx(finding["size_sd"], abs=0.5)
    assert finding["consequence_at_least"] is False
    banks = [abs(lap["bank_max_deg"]) for lap in maneuver["laps"]]
    assert max(banks) == abs(maneuver["bank"]["max_deg"])
    assert min(abs(lap["bank_min_deg"]) for lap in maneuver["laps"]) == abs(maneuver["bank"]["min_deg"])
