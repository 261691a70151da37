"""A table of any origin, block by block, to a recording."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.errors import InputError
from groundref.readers._assemble import assemble
from groundref.readers._block import Block, Unreadable
from groundref.readers._cells import in_one_line
from groundref.readers._clock import Clock
from groundref.readers._layout import HELPERS, Layout
from groundref.readers._si import to_si
from groundref.readers._times import iso_moments, numeric_moments
from groundref.track.counting import counted
from groundref.track.recording import Recording

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_OLDEST_POSITION: Final = (
    5.0  # [s]  a position older than that does not belong to the row's speed and altitude
)
_SAME_UPDATE: Final = 1e-3  # [s]
_MOST_MISFITS: Final = 0.01  # share of rows whose position may change without an update
_LONG_AGO: Final = 1e8  # [s]  1973: a smaller number is a way to write that there is none


def read_table(
    blocks: Iterable[Block],
    layout: Layout,
    clock: Clock,
    source: str,
    unreadable: Unreadable,
    notes: tuple[str, ...] = (),
) -> Recording:
    """Read all blocks of a table.

    Parameters
    ----------
    blocks
        The rows.
    layout, clock
        What the columns are and how the moments of the rows are found.
    source
        Name of the file.
    unreadable
        Where the blocks count their unreadable cells.
    notes
        Sentences to carry along.

    Raises
    ------
    InputError
        When it holds several airplanes.
    NothingToWorkOnError
        When no row has a time and a position.
    """
    names = [name for name in layout.channels if name not in HELPERS and name != "on_ground"]
    parts: dict[str, list[Floats]] = {name: [] for name in (*names, "seconds", "position_time")}
    ground: list[Bools] = []
    airplanes: dict[str, None] = {}
    for block in blocks:
        for name in names:
            parts[name].append(_numbers(block, layout, name))
        parts["seconds"].append(clock.seconds(block))
        if "position_time" in layout.channels:
            parts["position_time"].append(_updates(block, layout.channels["position_time"].index))
        if "on_ground" in layout.channels:
            ground.append(block.flags(layout.channels["on_ground"].index))
        airplanes |= _airplanes(block, layout)
    _require_one(list(airplanes), source)
    raw = {name: _whole(parts.pop(name)) for name in list(parts)}
    seconds, about_time = clock.finish(raw.pop("seconds"))
    updated = raw.pop("position_time")
    about_units = to_si(raw, layout, seconds)
    seconds, stale, about_age = _by_position_time(seconds, updated, raw["latitude"], raw["longitude"])
    channels: dict[str, Floats | Bools] = dict(raw)
    if ground:
        channels["on_ground"] = np.concatenate(ground)
    return assemble(
        source,
        "adsb" if layout.adsb else "csv",
        seconds,
        channels,
        refused=stale,
        notes=(*notes, *layout.notes, *about_time, *about_units, *about_age, *_about(unreadable, layout)),
    )


def _numbers(block: Block, layout: Layout, name: str) -> Floats:
    """Return a channel of a block; a position takes its sign from a column of hemispheres beside it."""
    values = block.numbers(layout.channels[name].index, position=name in {"latitude", "longitude"})
    side = layout.channels.get(f"{name}_side")
    if side is None:
        return values
    opposite = np.array([cell[:1].upper() in {"S", "W"} for cell in block.text(side.index)])
    return np.where(opposite, -np.abs(values), values)


def _whole(blocks: list[Floats]) -> Floats:
    return np.concatenate(blocks) if blocks else np.empty(0)


def _airplanes(block: Block, layout: Layout) -> dict[str, None]:
    """Return the airplanes in a block, by address or else by call sign."""
    column = layout.channels.get("icao24") or layout.channels.get("callsign")
    return {} if column is None else dict.fromkeys(name for name in block.text(column.index) if name)


def _require_one(airplanes: list[str], source: str) -> None:
    if len(airplanes) > 1:
        names = ", ".join(in_one_line(name) for name in airplanes[:6]) + (", …" if len(airplanes) > 6 else "")
        raise InputError(
            f"holds {len(airplanes)} airplanes ({names})",
            source,
            "keep the rows of the one that you want in a file of its own",
        )


def _updates(block: Block, column: int) -> Floats:
    """Return when each position was received, counted since 1970 or written as a moment [s]"""
    counted = block.numbers(column) if block.is_counted(column) else iso_moments(block.text(column)).seconds
    updates = numeric_moments(counted, None)
    return np.where(updates > _LONG_AGO, updates, np.nan)


def _by_position_time(
    seconds: Floats, updated: Floats, latitude: Floats, longitude: Floats
) -> tuple[Floats, dict[str, Bools], tuple[str, ...]]:
    """Date each position by its own update, and refuse those repeated or too old.

    A state vector repeats the last known position under a new time. Where the table tells when the
    position was received, that is the sample's moment, and a repetition is no new sample. A table whose
    positions change without an update was resampled by somebody, and its updates mean nothing.
    """
    known = np.isfinite(updated)
    if not known.any():
        return seconds, {}, ()
    rows = np.flatnonzero(known)
    same_update = np.abs(np.diff(updated[rows])) < _SAME_UPDATE
    moved = (np.diff(latitude[rows]) != 0) | (np.diff(longitude[rows]) != 0)
    if (same_update & moved).sum() > _MOST_MISFITS * rows.size:
        return seconds, {}, ("Positions change without an update, so that the updates' times were not used.",)
    moment = np.where(known, np.fmin(updated, seconds), seconds)
    repeated = np.zeros(seconds.size, dtype=np.bool_)
    repeated[rows[1:]] = same_update & ~moved
    reasons = {
        "the position is repeated from an earlier row": repeated,
        f"the position is more than {_OLDEST_POSITION:.0f} s old": seconds - moment > _OLDEST_POSITION,
    }
    return moment, reasons, ("Samples are dated by the last update of their position.",)


def _about(unreadable: Unreadable, layout: Layout) -> tuple[str, ...]:
    names = {heading.index: heading.text for heading in layout.channels.values()}
    return tuple(
        f"Column '{names[column]}' has {counted(count, 'cell')} without a number in it, such as "
        f"'{unreadable.example[column]}'; left out."
        for column, count in unreadable.count.items()
    )
