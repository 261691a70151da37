"""From a recording to a clean track: what cannot be a sample of this flight is set aside, with the reason."""

from __future__ import annotations

from bisect import bisect_left
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import circular_mean, difference, half_turn, quarter_turn
from groundref.errors import NothingToWorkOnError
from groundref.geo.frame import LocalFrame
from groundref.track.counting import counted
from groundref.track.fineness import coarseness
from groundref.track.recording import Recording, Rejection
from groundref.track.track import Gap, Track

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

FLYING_SPEED: Final = 15.0  # [m s⁻¹] 29 kt: above taxi, below flight; common practice, no source
TOP_SPEED: Final = 350.0  # [m s⁻¹] no civil airplane's ground speed is above it
TOP_ACCELERATION: Final = 60.0  # [m s⁻²] six g: beyond the structure of any training airplane (14 CFR 23)
SPIKE_DISTANCE: Final = 40.0  # [m] ten times the 95 % error of a phone under open sky
SHORTEST_INTERVAL: Final = 0.18  # [s] finer samples add nothing to motion that lasts seconds
LONGEST_TIME: Final = 1e10  # [s] three centuries: a time beyond is none
CLOSEST: Final = 0.1  # [s] two samples closer than that are one moment written twice
FINE_SHARE: Final = 0.3  # of the steps; fewer are a clock's jitter
LONGEST_BRIDGE: Final = 15.0  # [s] a 30° bank turns 90° in it; beyond, the path is anyone's guess


def clean(recording: Recording) -> Track:
    """Set aside what cannot be used, put the rest in order and in a local frame.

    In this order: no position or time; repeated times; samples that follow at once; positions that stand
    still in flight; spikes. Order is restored by sorting. Gaps are listed; from ``LONGEST_BRIDGE`` on they
    cut the track into pieces.

    Raises
    ------
    NothingToWorkOnError
        When fewer than two samples remain or none moves at flying speed.
    """
    total = len(recording)
    rejected: list[Rejection] = list(recording.rejected)
    notes: list[str] = list(recording.notes)

    def keep(current: Recording, mask: Bools, why: str) -> Recording:
        if bool(mask.all()):
            return current
        rejected.extend(
            Rejection(float(t) if np.isfinite(t) else None, why) for t in current.time[~mask].tolist()
        )
        return current.take(mask)

    recording = keep(recording, _has_place_and_time(recording), "no valid position or time")
    recording = _in_time_order(recording, notes)
    recording = keep(recording, _first_of_each_time(recording.time), "repeats the time of another sample")
    recording = _thinned(recording, notes)
    recording = keep(recording, _not_too_close(recording.time), "follows another sample at once")
    if len(recording) < 2:
        raise NothingToWorkOnError(
            "there are fewer than two samples with a position and a time",
            recording.source,
            "record the whole flight and try again",
        )
    frame = _frame_about(recording)
    east, north = frame.to_local(recording.latitude, recording.longitude)
    mask = _moves_on(recording.time, east, north)
    recording, east, north = keep(recording, mask, "position stands still in flight"), east[mask], north[mask]
    # A spike can hide a neighbour.
    while not (mask := _fits_its_neighbours(recording.time, east, north)).all():
        recording, east, north = (
            keep(recording, mask, "position jumps away and back"),
            east[mask],
            north[mask],
        )
    _require_flight(recording, east, north)
    interval, gaps, piece = _pieces(recording.time, east, north, notes)
    return Track(
        recording=recording,
        frame=frame,
        time=recording.time,
        east=east,
        north=north,
        piece=piece,
        interval=interval,
        samples=total + len(recording.rejected) if recording.rejected else total,
        rejected=tuple(sorted(rejected, key=lambda row: -np.inf if row.time is None else row.time)),
        gaps=gaps,
        notes=(*coarseness(recording, interval), *notes),
    )


def _has_place_and_time(recording: Recording) -> Bools:
    return (
        (np.abs(recording.time) <= LONGEST_TIME)
        & (np.abs(recording.latitude) <= quarter_turn)
        & (np.abs(recording.longitude) <= 2 * half_turn)
    )


def _in_time_order(recording: Recording, notes: list[str]) -> Recording:
    backwards = int(np.count_nonzero(np.diff(recording.time) < 0))
    if not backwards:
        return recording
    places = counted(backwards, "place")
    notes.append(f"Time ran backwards at {places} in the file; the samples were put in order.")
    return recording.take(np.argsort(recording.time, kind="stable"))


def _first_of_each_time(time: Floats) -> Bools:
    return np.concatenate([[True], np.diff(time) > 1e-3])[: time.size]


def _thinned(recording: Recording, notes: list[str]) -> Recording:
    if len(recording) < 3:
        return recording
    step = np.diff(recording.time)
    fine = step < SHORTEST_INTERVAL - 1e-6
    if np.mean(fine) < FINE_SHARE:
        return recording
    interval = float(np.median(step[fine]))
    kept = _apart(recording.time, SHORTEST_INTERVAL)
    notes.append(
        f"Recorded at {1 / interval:.0f} samples a second; {kept.size:,} of {len(recording):,} samples, "
        f"at least {SHORTEST_INTERVAL:g} s apart, were used, which loses nothing."
    )
    return recording.take(kept)


def _apart(time: Floats, least: float) -> NDArray[np.int64]:
    """Return the first sample and each next one that lies at least so long after the one kept before."""
    times, kept = time.tolist(), [0]
    while (following := bisect_left(times, times[kept[-1]] + least - 1e-6)) < len(times):
        kept.append(following)
    return np.array(kept)


def _not_too_close(time: Floats) -> Bools:
    kept = np.ones(time.size, dtype=np.bool_)
    if bool((np.diff(time) < CLOSEST - 1e-6).any()):
        kept[:] = False
        kept[_apart(time, CLOSEST)] = True
    return kept


def _frame_about(recording: Recording) -> LocalFrame:
    """Return a frame about the middle of the flight, also across 180° and over a pole.

    The middle is a median, which some positions far from the flight, as of a receiver without a fix, do not
    move.
    """
    longitude = circular_mean(recording.longitude)
    spread = difference(recording.longitude, longitude)
    middle = float(difference(longitude + float(np.median(spread)), 0.0))
    return LocalFrame(float(np.median(recording.latitude)), middle)


def _moves_on(time: Floats, east: Floats, north: Floats) -> Bools:
    """Find samples that repeat the position before them although the airplane flew on."""
    moved = np.concatenate([[True], (np.diff(east) != 0) | (np.diff(north) != 0)])
    if moved.all():
        return moved
    fresh = np.flatnonzero(moved)
    run = np.cumsum(moved) - 1  # each sample's last fresh one
    leg = np.hypot(np.diff(east[fresh]), np.diff(north[fresh]))
    speed = np.append(leg / np.diff(time[fresh]), 0.0)
    stale: Bools = ~moved & (speed[run] > FLYING_SPEED)
    return ~stale


def _fits_its_neighbours(time: Floats, east: Floats, north: Floats) -> Bools:
    """Find samples that lie off the line between their neighbours by more than any acceleration explains."""
    good = np.ones(time.size, dtype=np.bool_)
    if time.size < 3:
        return good
    before, after = np.diff(time)[:-1], np.diff(time)[1:]
    share = before / (before + after)
    off = np.hypot(
        east[1:-1] - (1 - share) * east[:-2] - share * east[2:],
        north[1:-1] - (1 - share) * north[:-2] - share * north[2:],
    )
    # Constant acceleration a leaves a sample ½ a · before · after away from the chord of its neighbours.
    excess = off - 0.5 * TOP_ACCELERATION * before * after
    suspect = (excess > 0) & (off > SPIKE_DISTANCE)
    # The neighbours of a spike look off too, by half as much: only the worst of each three goes.
    padded = np.concatenate([[0.0], np.where(suspect, off, 0.0), [0.0]])
    good[1:-1] = ~(suspect & (padded[1:-1] >= padded[:-2]) & (padded[1:-1] >= padded[2:]))
    if suspect[0] and _end_is_off(off, after):
        good[:2] = False, True
    if suspect[-1] and _end_is_off(off[::-1], before[::-1]):
        good[-2:] = True, False
    return good


def _end_is_off(off: Floats, step: Floats) -> bool:
    """Tell whether the end itself is the spike when the sample next to it lies off its chord.

    An end has no chord of its own. If the sample next to it were the spike, the one after that would lie off
    too, by that sample's share in its chord.

    Parameters
    ----------
    off
        Distances from the chords, from the end inwards [m]
    step
        Time from each of these samples to the next one inwards [s]
    """
    if off.size < 2:
        return False
    share = step[1] / (step[0] + step[1])
    return bool(off[1] < 0.5 * share * off[0])


def _require_flight(recording: Recording, east: Floats, north: Floats) -> None:
    speed = (
        np.hypot(np.diff(east), np.diff(north)) / np.diff(recording.time) if east.size > 1 else np.empty(0)
    )
    if not bool(((speed > FLYING_SPEED) & (speed < TOP_SPEED)).any()):
        raise NothingToWorkOnError(
            "nothing in it moves at flying speed",
            recording.source,
            "check that this is the recording of the flight and not of a walk or a parked airplane",
        )


def _pieces(
    time: Floats, east: Floats, north: Floats, notes: list[str]
) -> tuple[float, tuple[Gap, ...], NDArray[np.int64]]:
    step = np.diff(time)
    interval = float(np.median(step))
    speed = np.hypot(np.diff(east), np.diff(north)) / step
    leap = speed > TOP_SPEED
    if leap.any():
        notes.append(
            f"The position leaps at {counted(int(leap.sum()), 'place')} faster than any airplane flies; "
            "the track was cut there."
        )
    gap = step > max(2.5 * interval, interval + 1.5)
    cut = leap | (gap & (step > max(LONGEST_BRIDGE, 4 * interval)))
    bridged = int(np.count_nonzero(gap & ~cut))
    if bridged:
        longest = f"{step[gap & ~cut].max():.0f} s"
        what = f"{bridged} short gaps of up to {longest} were" if bridged > 1 else f"A gap of {longest} was"
        notes.append(f"{what} bridged by the smoothed motion; the uncertainty there is larger.")
    gaps = tuple(Gap(float(time[i]), float(time[i + 1])) for i in np.flatnonzero(gap))
    return interval, gaps, np.concatenate([[0], np.cumsum(cut)]).astype(np.int64)
