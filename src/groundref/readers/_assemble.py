"""Columns in SI to a recording: rows without time or position are set aside with their reason."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap, wrap_signed
from groundref.errors import NothingToWorkOnError
from groundref.track.recording import Recording, Rejection

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_REJECTIONS: Final = 1000  # listed one by one; more are counted in a note
_COMPASS: Final = ("track", "heading", "heading_magnetic")
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_EARLIEST: Final = -1e6  # [s]  a time without a date, in a zone ahead of UTC, may lie a little before 1970
_LATEST: Final = 1e10  # [s]  three hundred years on: a damaged stamp, and no moment that a date can hold
_SAME_PLACE: Final = 1e-9  # [rad]  six millimetres


def assemble(
    source: str,
    format: str,
    seconds: Floats,
    channels: Mapping[str, Floats | Bools],
    *,
    part: NDArray[np.int64] | None = None,
    refused: Mapping[str, Bools] | None = None,
    notes: tuple[str, ...] = (),
) -> Recording:
    """Build a recording from columns of one length, in the file's order.

    Parameters
    ----------
    source, format
        As in the recording.
    seconds
        Moments; NaN where a row has none [s since 1970-01-01 UTC]
    channels
        Columns in SI by the recording's names, with ``latitude`` and ``longitude`` among them.
    part
        Piece of the file that each row comes from.
    refused
        Further reasons to set rows aside, each with the rows it holds for.
    notes
        Sentences for the reader.

    Raises
    ------
    NothingToWorkOnError
        When no row is left.
    """
    seconds = np.where((seconds > _EARLIEST) & (seconds < _LATEST), seconds, np.nan)
    reasons = _reasons(
        seconds,
        np.asarray(channels["latitude"], np.float64),
        np.asarray(channels["longitude"], np.float64),
        refused or {},
    )
    bad = np.logical_or.reduce(list(reasons.values()))
    if bad.all():
        worst = max(reasons, key=lambda why: int(reasons[why].sum())) if bad.size else "it has no row"
        raise NothingToWorkOnError(
            f"has no sample with a time and a position ({worst})", source, "check that the recorder had a fix"
        )
    keep: Bools | slice = ~bad if bad.any() else slice(None)  # a view when nothing goes: no second copy
    start = float(np.floor(seconds[keep][0]))
    kept: dict[str, Any] = {
        name: values for name, column in channels.items() if _has_value(values := column[keep])
    }
    for name in _COMPASS:
        if name in kept:
            kept[name] = wrap(kept[name])
    kept["longitude"] = wrap_signed(kept["longitude"])
    rejected = _rejections(seconds - start, reasons, bad)
    if int(bad.sum()) > len(rejected):
        notes += (f"{int(bad.sum())} rows were set aside, of which the first {len(rejected)} are listed.",)
    return Recording(
        source=source,
        format=format,
        epoch=_EPOCH + timedelta(seconds=start),
        time=seconds[keep] - start,
        part=None if part is None else part[keep],
        rejected=rejected,
        notes=notes,
        **kept,
    )


def _reasons(
    seconds: Floats, latitude: Floats, longitude: Floats, refused: Mapping[str, Bools]
) -> dict[str, Bools]:
    """Return each reason to set rows aside with its rows; a row counts for the first that holds."""
    no_position = ~(np.isfinite(latitude) & np.isfinite(longitude))
    off_earth = (np.abs(latitude) > np.pi / 2) | (np.abs(longitude) > 2 * np.pi)
    nowhere = (np.abs(latitude) < _SAME_PLACE) & (np.abs(longitude) < _SAME_PLACE)
    return {
        "no readable time": ~np.isfinite(seconds),
        "no position": no_position,
        "position beyond the poles or a full circle": off_earth,
        "position 0, 0, which means no fix": nowhere,
        **refused,
    }


def _rejections(time: Floats, reasons: Mapping[str, Bools], bad: Bools) -> tuple[Rejection, ...]:
    rows = np.flatnonzero(bad)[:MOST_REJECTIONS]
    whys = list(reasons)
    first = np.argmax(np.stack([reasons[why][rows] for why in whys]), axis=0)
    return tuple(
        Rejection(float(time[row]) if np.isfinite(time[row]) else None, f"row {row + 1}: {whys[why]}")
        for row, why in zip(rows, first, strict=True)
    )


def _has_value(values: Floats | Bools) -> bool:
    return values.dtype == np.bool_ or bool(np.isfinite(values).any())
