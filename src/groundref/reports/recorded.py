"""What was recorded, what was measured and derived, what was left out, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from groundref.debriefing import Debrief
from groundref.reports import words
from groundref.reports.tables import Fact


def flight_facts(debrief: Debrief) -> list[Fact]:
    """Return what was recorded, what was measured and what was derived from it."""
    track, states = debrief.track, debrief.states
    recording = track.recording
    start, end = float(track.time[0]), float(track.time[-1])
    hertz = f"one every {words.number(track.interval, 1)} s"
    return [
        Fact("recording", f"{words.plain(recording.source)} ({recording.format})"),
        Fact("flown", f"{words.day(recording.epoch, start)}, {_from_to(debrief, start, end)} UTC"),
        Fact("samples", f"{track.samples:,} in the file, {len(track):,} used, {hertz}"),
        Fact("measured", words.measured(recording.measured)),
        Fact("derived", derived(debrief)),
        Fact("height above the ground", states.height_source or words.CANNOT_TELL),
        Fact(
            "standard",
            f"{debrief.standard.title}: {debrief.standard.publication}, {debrief.standard.edition}",
        ),
        Fact("airplane", "not named" if debrief.aircraft is None else debrief.aircraft.title),
    ]


def _from_to(debrief: Debrief, start: float, end: float) -> str:
    epoch = debrief.track.recording.epoch
    return f"{words.moment(epoch, start)} to {words.moment(epoch, end)}"


def derived(debrief: Debrief) -> str:
    """Return what was computed rather than recorded."""
    states = debrief.states
    maybe: Sequence[tuple[str, str]] = (
        ("true airspeed", states.airspeed_source),
        ("bank", states.bank_source),
    )
    return words.listed(["wind", "heading", "crab", *(name for name, source in maybe if source == "derived")])


def losses(debrief: Debrief) -> list[str]:
    """Return the samples that were not used, grouped by reason, and the gaps."""
    by_reason: dict[str, list[float | None]] = {}
    for rejection in debrief.track.rejected:
        by_reason.setdefault(rejection.why, []).append(rejection.time)
    said = [
        f"{words.count(len(times), 'sample')} not used: {why}{_when(debrief, times)}."
        for why, times in by_reason.items()
    ]
    gaps = [
        f"Gap of {words.duration(gap.end - gap.start)} from {_from_to(debrief, gap.start, gap.end)} UTC."
        for gap in debrief.track.gaps
    ]
    said = [words.plain(sentence) for sentence in said]
    return said + gaps[:_MOST_GAPS] + _more(len(gaps))


_MOST_GAPS: Final = 12


def _more(gaps: int) -> list[str]:
    return [f"And {gaps - _MOST_GAPS} more gaps."] if gaps > _MOST_GAPS else []


def _when(debrief: Debrief, times: Sequence[float | None]) -> str:
    known = [t for t in times if t is not None]
    if not known:
        return ""
    if len(known) == 1:
        return f" (at {words.moment(debrief.track.recording.epoch, known[0])} UTC)"
    return f" ({_from_to(debrief, min(known), max(known))} UTC)"


def notes(debrief: Debrief) -> list[str]:
    """Return every note once, in the order of the pipeline."""
    standard = (debrief.standard.note,) if debrief.standard.note else ()
    every = (*debrief.track.recording.notes, *debrief.track.notes, *debrief.states.notes, *standard)
    return [words.plain(note) for note in dict.fromkeys(every)]
