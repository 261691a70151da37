"""Several recordings of one flight, put together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference
from groundref.errors import InputError, UsageError
from groundref.track.recording import CHANNELS, Recording
from groundref.units import nautical_mile

Floats = NDArray[np.float64]

EARTH: Final = 6.371e6  # [m] mean radius (IUGG); a distance to a percent is enough here
APART: Final = 300.0  # [m] what two recorders of one airplane may differ: five seconds at 60 m/s
BESIDE: Final = 20.0  # [s] between samples farther apart it is open where the airplane was
ONE_MOMENT: Final = 1e-3  # [s]
ONE_PLACE: Final = 1e-8  # [rad] six centimetres


@dataclass(frozen=True, slots=True)
class _Path:
    """Where a recording was when: in time order, from one epoch [s], [rad]."""

    recording: Recording
    time: Floats
    latitude: Floats
    longitude: Floats


def join(recordings: Sequence[Recording]) -> Recording:
    """Put several parts of one flight together, in the order of their first times.

    A channel that only some parts have is missing (NaN) in the others. The pieces of each part stay apart:
    they are numbered through. A part whose samples all stand in another one is left out, with a note.

    Parameters
    ----------
    recordings
        One or more parts.

    Raises
    ------
    InputError
        When there is no part at all.
    UsageError
        When two of them were in different places at the same time.
    """
    if not recordings:
        raise InputError("no recording was given", remedy="name at least one file")
    if len(recordings) == 1:
        return recordings[0]
    # Of parts that begin at once, the one that says most comes first: it is the one that is kept.
    ordered = sorted(recordings, key=lambda part: (_first_moment(part), -len(part.measured), -len(part)))
    parts, notes = _each_once(ordered)
    return parts[0] if len(parts) == 1 and not notes else _together(parts, notes)


def _together(parts: Sequence[Recording], notes: Sequence[str]) -> Recording:
    epoch = parts[0].epoch
    shifts = [(part.epoch - epoch).total_seconds() for part in parts]
    channels: dict[str, Any] = {
        name: _concatenate(parts, name)
        for name in CHANNELS
        if name not in {"time", "part"} and any(getattr(part, name) is not None for part in parts)
    }
    return Recording(
        source=" + ".join(part.source for part in parts),
        format=parts[0].format if len({part.format for part in parts}) == 1 else "mixed",
        epoch=epoch,
        time=np.concatenate([part.time + shift for part, shift in zip(parts, shifts, strict=True)]),
        part=_numbered_through(parts),
        rejected=tuple(
            replace(row, time=None if row.time is None else row.time + shift)
            for part, shift in zip(parts, shifts, strict=True)
            for row in part.rejected
        ),
        notes=tuple(dict.fromkeys([*notes, *(note for part in parts for note in part.notes)])),
        **channels,
    )


def _first_moment(part: Recording) -> datetime:
    known = part.time[np.isfinite(part.time)]
    return part.epoch + timedelta(seconds=float(known.min())) if known.size else part.epoch


def _numbered_through(parts: Sequence[Recording]) -> NDArray[np.int64]:
    """Return the number of the piece of each sample, over all parts."""
    numbers, first = [], 0
    for part in parts:
        own = np.zeros(len(part), dtype=np.int64) if part.part is None else part.part
        numbers.append(own + first)
        first = int(numbers[-1].max()) + 1 if own.size else first
    return np.concatenate(numbers)


def _each_once(parts: Sequence[Recording]) -> tuple[list[Recording], list[str]]:
    """Leave out parts that stand in another one; refuse parts of two airplanes."""
    kept: list[_Path] = []
    notes = []
    for path in [_path(part, parts[0].epoch) for part in parts]:
        whole = next((other for other in kept if _holds(other, path)), None)
        if whole is None:
            notes += [note for other in kept if (note := _beside(other, path, parts[0].epoch))]
            kept.append(path)
        elif whole.recording.source == path.recording.source:
            notes.append(f"{path.recording.source} was given more than once; it was used once.")
        else:
            names = f"{path.recording.source} also stand in {whole.recording.source}"
            notes.append(f"All samples of {names}; they were used once.")
    return [path.recording for path in kept], notes


def _path(part: Recording, epoch: datetime) -> _Path:
    known = np.isfinite(part.time) & np.isfinite(part.latitude) & np.isfinite(part.longitude)
    rows = np.flatnonzero(known)
    rows = rows[np.argsort(part.time[rows], kind="stable")]
    shift = (part.epoch - epoch).total_seconds()
    return _Path(part, part.time[rows] + shift, part.latitude[rows], part.longitude[rows])


def _holds(whole: _Path, part: _Path) -> bool:
    """Tell whether every sample of a part, and all that was measured in it, stands in another one."""
    if not set(part.recording.measured) <= set(whole.recording.measured) or part.time.size > whole.time.size:
        return False
    if part.time.size == whole.time.size:
        rows = np.arange(part.time.size)
    else:
        rows = np.searchsorted(whole.time, part.time - ONE_MOMENT).clip(max=whole.time.size - 1)
    return bool(
        (np.abs(whole.time[rows] - part.time) <= ONE_MOMENT).all()
        and (np.abs(whole.latitude[rows] - part.latitude) <= ONE_PLACE).all()
        and (np.abs(difference(whole.longitude[rows], part.longitude)) <= ONE_PLACE).all()
    )


def _beside(one: _Path, other: _Path, epoch: datetime) -> str:
    """Return a note on two parts recorded at the same time, empty for parts that follow one another."""
    looks = (_between(one, other), _between(other, one))
    moments, distance = (np.concatenate(pair) for pair in zip(*looks, strict=True))
    if distance.size == 0:
        return ""
    names = f"{one.recording.source} and {other.recording.source}"
    far = distance > APART
    # Two recorders of one airplane may leap now and then; two airplanes on one apron are together at times.
    if far.mean() > 0.1:
        worst = int(np.argmax(distance))
        clock = (epoch + timedelta(seconds=float(moments[worst]))).astimezone(UTC)
        apart = f"{distance[worst] / nautical_mile:,.1f} NM apart at {clock:%H:%M:%S} UTC"
        remedy = (
            "debrief each by itself" if clock.year > 1970 else "state their dates, see docs/recordings.md"
        )
        raise UsageError(f"these are two airplanes, or clocks that differ: {apart}", names, remedy)
    return f"{names} overlap in time; of two samples of one moment, that of the first was used."


def _between(whole: _Path, part: _Path) -> tuple[Floats, Floats]:
    """Return moments of a part that lie between near samples of another one, and how far apart they were.

    Returns
    -------
    tuple
        Moments [s] and distances [m]
    """
    if whole.time.size < 2:
        return np.empty(0), np.empty(0)
    after = np.searchsorted(whole.time, part.time).clip(1, whole.time.size - 1)
    start, end = whole.time[after - 1], whole.time[after]
    near = (part.time >= start) & (part.time <= end) & (end - start <= BESIDE)
    after, moment = after[near], part.time[near]
    span = np.maximum(whole.time[after] - whole.time[after - 1], ONE_MOMENT)
    share = (moment - whole.time[after - 1]) / span
    north = (1 - share) * whole.latitude[after - 1] + share * whole.latitude[after] - part.latitude[near]
    step = difference(whole.longitude[after], whole.longitude[after - 1])
    east = difference(whole.longitude[after - 1] + share * step, part.longitude[near])
    return moment, EARTH * np.hypot(north, east * np.cos(part.latitude[near]))


def _concatenate(parts: Sequence[Recording], name: str) -> NDArray[np.generic]:
    """Return one channel over all parts, with what a part does not have as missing."""
    missing = False if name == "on_ground" else np.nan
    return np.concatenate(
        [
            values if (values := getattr(part, name)) is not None else np.full(len(part), missing)
            for part in parts
        ]
    )
