"""Cleaning: what is set aside, why, and that nothing is lost without a word."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from groundref.errors import NothingToWorkOnError
from groundref.geo.frame import LocalFrame
from groundref.track.clean import clean
from groundref.track.recording import Recording, Rejection
from groundref.track.track import Track

Floats = NDArray[np.float64]
EPOCH = datetime(2026, 5, 1, 23, 50, tzinfo=UTC)
HOME = (np.radians(40.1), np.radians(-90.2))
JUMP, STUCK, REPEAT, NOWHERE = (
    "position jumps away and back",
    "position stands still in flight",
    "repeats the time of another sample",
    "no valid position or time",
)


def circle(time: Floats, home: tuple[float, float] = HOME, radius: float = 400.0) -> tuple[Floats, Floats]:
    """Return latitude and longitude of an airplane at 45 m/s on a circle."""
    angle = 45.0 / radius * time
    return LocalFrame(*home).to_geographic(radius * np.cos(angle), radius * np.sin(angle))


def flight(
    count: int = 120, step: float = 1.0, home: tuple[float, float] = HOME, **changes: Any
) -> Recording:
    time = np.arange(count) * step
    latitude, longitude = circle(time, home)
    made = Recording("f.gpx", "gpx", EPOCH, time, latitude, longitude, altitude_msl=300.0 + time)
    return replace(made, **changes)


def changed(recording: Recording, name: str, index: Any, value: Any) -> Recording:
    values = np.array(getattr(recording, name))
    values[index] = value
    return replace(recording, **{name: values})


def reasons(track: Track) -> Counter[str]:
    return Counter(row.why for row in track.rejected)


def nothing_lost(track: Track, samples: int) -> None:
    assert track.samples == samples
    assert len(track) + len(track.rejected) == samples
    assert np.all(np.diff(track.time) > 0)
    assert len(track.recording) == len(track)
    assert [row.time for row in track.rejected if row.time is not None] == sorted(
        row.time for row in track.rejected if row.time is not None
    )


def test_a_clean_flight_stays_as_it_is() -> None:
    whole = flight()
    track = clean(whole)
    nothing_lost(track, 120)
    assert track.rejected == track.gaps == track.notes == ()
    assert track.interval == 1.0
    assert np.array_equal(track.recording.latitude, whole.latitude)
    assert np.allclose(np.hypot(np.diff(track.east), np.diff(track.north)), 45.0, atol=0.1)


def test_repeated_times() -> None:
    index = np.sort(np.concatenate([np.arange(120), [7, 7, 90]]))
    track = clean(flight().take(index))
    nothing_lost(track, 123)
    assert reasons(track) == {REPEAT: 3}
    assert [row.time for row in track.rejected] == [7.0, 7.0, 90.0]


def test_disorder_is_put_right_and_told() -> None:
    index = np.arange(120)
    index[[30, 31, 60, 64]] = index[[31, 30, 64, 60]]
    track = clean(flight().take(index))
    nothing_lost(track, 120)
    assert np.array_equal(track.time, np.arange(120.0))
    assert any("backwards" in note for note in track.notes)


@pytest.mark.parametrize("index", [0, 1, 2, 40, 117, 118, 119])
def test_a_spike(index: int) -> None:
    track = clean(changed(flight(), "latitude", index, flight().latitude[index] + 3e-4))
    nothing_lost(track, 120)
    assert track.rejected == (Rejection(float(index), JUMP),)


@pytest.mark.parametrize("where", [[0], [119], [60], [0, 60, 119], [20, 22, 50, 90]])
def test_fixes_at_latitude_and_longitude_zero(where: list[int]) -> None:
    """A receiver without a fix writes 0°, 0°: it must not stay, nor pull the frame away."""
    lost = changed(changed(flight(), "latitude", where, 0.0), "longitude", where, 0.0)
    track = clean(lost)
    nothing_lost(track, 120)
    assert [row.time for row in track.rejected] == [float(i) for i in where]
    assert np.hypot(track.east, track.north).max() < 2_000.0


def test_a_run_of_fixes_at_zero_before_the_first_good_one() -> None:
    lost = changed(changed(flight(), "latitude", slice(0, 10), 0.0), "longitude", slice(0, 10), 0.0)
    track = clean(lost)
    nothing_lost(track, 120)
    assert track.time[0] == 10.0
    assert np.hypot(track.east, track.north).max() < 2_000.0


def test_positions_that_stand_still_in_flight() -> None:
    stuck = flight()
    for name in ("latitude", "longitude"):
        stuck = changed(stuck, name, slice(51, 55), getattr(stuck, name)[50])
    track = clean(stuck)
    nothing_lost(track, 120)
    assert reasons(track) == {STUCK: 4}
    assert [row.time for row in track.rejected] == [51.0, 52.0, 53.0, 54.0]


def test_standing_still_on_the_ground_is_no_error() -> None:
    whole = flight(120)
    latitude, longitude = (
        np.concatenate([np.full(60, values[0]), values, np.full(60, values[-1])])
        for values in (whole.latitude, whole.longitude)
    )
    parked = Recording("p", "gpx", EPOCH, np.arange(240.0), latitude, longitude)
    assert clean(parked).rejected == ()


def test_missing_values_of_every_kind() -> None:
    lost = changed(flight(), "latitude", 10, np.nan)
    lost = changed(lost, "longitude", 11, np.inf)
    lost = changed(lost, "latitude", 12, 1.6)
    lost = changed(lost, "time", 13, np.nan)
    track = clean(lost)
    nothing_lost(track, 120)
    assert reasons(track) == {NOWHERE: 4}
    assert [row.time for row in track.rejected] == [None, 10.0, 11.0, 12.0]


def test_rows_that_a_reader_refused_are_counted() -> None:
    track = clean(flight(rejected=(Rejection(None, "not a number"), Rejection(4.5, "not a number"))))
    nothing_lost(track, 122)
    assert reasons(track) == {"not a number": 2}


def test_short_gaps_are_bridged_and_long_ones_cut() -> None:
    time = np.concatenate([np.arange(0.0, 60.0), np.arange(68.0, 120.0), np.arange(180.0, 240.0)])
    latitude, longitude = circle(time)
    track = clean(Recording("g", "gpx", EPOCH, time, latitude, longitude))
    nothing_lost(track, time.size)
    assert [(gap.start, gap.end) for gap in track.gaps] == [(59.0, 68.0), (119.0, 180.0)]
    assert np.flatnonzero(np.diff(track.piece)).tolist() == [111]
    bridged = "bridged by the smoothed motion; the uncertainty there is larger."
    assert f"A gap of 9 s was {bridged}" in track.notes
    twice = np.concatenate([time, np.arange(247.0, 300.0)])
    track = clean(Recording("g", "gpx", EPOCH, twice, *circle(twice)))
    assert f"2 short gaps of up to 9 s were {bridged}" in track.notes


def test_two_flights_in_a_day_with_parked_time_between() -> None:
    parked_latitude, parked_longitude = circle(np.array([300.0]))
    time = np.concatenate([np.arange(0.0, 300.0), np.arange(300.0, 900.0), np.arange(4500.0, 4800.0)])
    latitude, longitude = circle(time)
    latitude[300:900], longitude[300:900] = parked_latitude, parked_longitude
    track = clean(Recording("d", "gpx", EPOCH, time, latitude, longitude))
    nothing_lost(track, time.size)
    assert track.rejected == ()
    assert track.piece[0] != track.piece[-1]


@pytest.mark.parametrize("rate", [10, 25, 50, 100])
def test_fine_recordings_are_thinned_evenly(rate: int) -> None:
    track = clean(flight(60 * rate, 1.0 / rate))
    assert track.samples == 60 * rate
    assert 0.18 - 1e-9 <= track.interval <= 0.2
    assert np.allclose(np.diff(track.time), track.interval, atol=1e-6)
    assert any(str(rate) in note for note in track.notes)


def test_samples_written_in_pairs_lose_only_the_second_of_each() -> None:
    """Position and attitude of one moment as two rows a hundredth of a second apart, once a second."""
    time = np.sort(np.concatenate([np.arange(120.0), np.arange(120.0) + 0.01]))
    latitude, longitude = circle(time)
    track = clean(Recording("pairs", "csv", EPOCH, time, latitude, longitude))
    assert np.array_equal(track.time[:100], np.arange(100.0))


@pytest.mark.parametrize(
    "home", [(0.7, np.pi), (0.0, -np.pi), (np.radians(89.999), 0.3), (np.radians(-90), 0.0)]
)
def test_across_180_degrees_and_over_a_pole(home: tuple[float, float]) -> None:
    track = clean(flight(home=home))
    nothing_lost(track, 120)
    assert track.rejected == ()
    assert np.allclose(np.hypot(np.diff(track.east), np.diff(track.north)), 45.0, atol=0.1)
    assert np.hypot(track.east, track.north).max() < 1_000.0


def test_midnight_is_nothing_special() -> None:
    track = clean(flight(1500))
    nothing_lost(track, 1500)
    assert track.rejected == track.gaps == ()


def nothing_usable() -> dict[str, Recording]:
    parked = changed(changed(flight(), "latitude", slice(None), 0.7), "longitude", slice(None), 0.1)
    walk = replace(flight(), time=30.0 * np.arange(120.0))
    return {
        "none": flight(0),
        "one": flight(1),
        "one time": changed(flight(), "time", slice(None), 5.0),
        "no place": changed(flight(), "latitude", slice(None), np.nan),
        "parked": parked,
        "walk": walk,
        "two points": parked.take(slice(0, 2)),
    }


@pytest.mark.parametrize("case", ["none", "one", "one time", "no place", "parked", "walk", "two points"])
def test_nothing_to_work_on_is_said(case: str) -> None:
    with pytest.raises(NothingToWorkOnError, match=r"two samples|flying speed"):
        clean(nothing_usable()[case])


SAMPLES = st.lists(
    st.tuples(
        st.integers(0, 119),
        st.sampled_from(["repeat", "spike", "nowhere", "lost", "zero", "stuck"]),
    ),
    max_size=12,
)


def spoiled(spoils: list[tuple[int, str]]) -> Recording:
    """Return a flight with some samples spoilt; repeated rows come last, out of order."""
    whole = flight()
    keep, extra = np.ones(120, dtype=bool), []
    for i, how in spoils:
        if how == "repeat":
            extra.append(i)
        elif how == "spike":
            whole = changed(whole, "longitude", i, whole.longitude[i] + 5e-4)
        elif how == "nowhere":
            whole = changed(whole, "latitude", i, np.nan)
        elif how == "lost":
            keep[i] = False
        elif how == "zero":
            whole = changed(changed(whole, "latitude", i, 0.0), "longitude", i, 0.0)
        elif i:
            for name in ("latitude", "longitude"):
                whole = changed(whole, name, i, getattr(whole, name)[i - 1])
    return whole.take(np.concatenate([np.flatnonzero(keep), np.array(extra, dtype=np.int64)]))


@given(spoils=SAMPLES)
def test_cleaning_twice_is_cleaning_once_and_nothing_is_lost(spoils: list[tuple[int, str]]) -> None:
    recording = spoiled(spoils)
    once = clean(recording)
    nothing_lost(once, len(recording))
    twice = clean(replace(once.recording, rejected=(), notes=()))
    assert twice.rejected == ()
    assert np.array_equal(twice.time, once.time)
    assert np.hypot(once.east, once.north).max() < 3_000.0


@given(spoils=SAMPLES, seed=st.integers(0, 1000))
def test_order_of_the_rows_does_not_matter(spoils: list[tuple[int, str]], seed: int) -> None:
    recording = spoiled(spoils)
    shuffled = recording.take(np.random.default_rng(seed).permutation(len(recording)))
    one, other = clean(recording), clean(shuffled)
    assert np.array_equal(one.time, other.time)
    assert np.array_equal(one.recording.latitude, other.recording.latitude)
    assert reasons(one) == reasons(other)


ANY = st.floats(allow_nan=True, allow_infinity=True)


@given(
    rows=st.lists(
        st.tuples(
            st.one_of(st.floats(0, 60), ANY),
            st.one_of(st.floats(0.70, 0.701), ANY),
            st.one_of(st.floats(-1, -0.999), ANY),
        ),
        max_size=25,
    )
)
def test_whatever_comes_it_cleans_or_says_why_not(rows: list[tuple[float, float, float]]) -> None:
    time, latitude, longitude = np.array(rows, dtype=np.float64).reshape(-1, 3).T.copy()
    recording = Recording("any", "csv", EPOCH, time, latitude, longitude)
    try:
        track = clean(recording)
    except NothingToWorkOnError:
        return
    assert np.all(np.diff(track.time) > 0)
    assert np.isfinite(track.east).all()
    assert np.isfinite(track.north).all()
    assert track.samples == len(rows)
