"""What was recorded, what was measured and derived, what was left out, in words."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor
from typing import Final

import numpy as np

from groundref.debriefing import Debrief
from groundref.detection.cut_short import CutShort
from groundref.reports import given_wind, notices, words
from groundref.reports.cells import Fact
from groundref.units import degree


def flight_facts(debrief: Debrief) -> list[Fact]:
    """Return what was recorded, what was measured and what was derived from it."""
    track, states = debrief.track, debrief.states
    recording = track.recording
    start, end = float(track.time[0]), float(track.time[-1])
    hertz = f"one every {words.number(track.interval, 1)} s"
    return [
        Fact("recording", f"{words.plain(recording.source)} ({recording.format})", again=True),
        Fact(
            "flown",
            f"{words.day(recording.epoch, start)}, {words.from_to(recording.epoch, start, end)}",
            again=True,
        ),
        Fact("samples", f"{track.samples:,} in the file, {len(track):,} used, {hertz}"),
        Fact("measured", words.measured(recording.measured)),
        Fact("derived", derived(debrief)),
        Fact("height above the ground", states.height_source or words.CANNOT_TELL, again=True),
        Fact(
            "standard",
            f"{debrief.standard.title}: {debrief.standard.publication}, {debrief.standard.edition}",
            again=True,
        ),
        Fact("airplane", "not named" if debrief.aircraft is None else debrief.aircraft.title),
    ]


def derived(debrief: Debrief) -> str:
    """Return what was computed rather than recorded."""
    states = debrief.states
    maybe: Sequence[tuple[str, str]] = (
        ("true airspeed", states.airspeed_source),
        ("bank", states.bank_source),
    )
    return words.listed(["wind", "heading", "crab", *(name for name, source in maybe if source == "derived")])


def looked(debrief: Debrief) -> str:
    """Return how much of a flight was searched."""
    track = debrief.track
    pieces = int(np.unique(track.piece).size)
    lasted = words.duration(float(track.time[-1] - track.time[0]))
    return f"{lasted} of recording in {words.count(pieces, 'piece')}, {words.count(len(track), 'sample')}"


def none_why(debrief: Debrief) -> str:
    """Return what a maneuver needs; empty where it is known what was missing."""
    return "" if debrief.said or _short_of_the_point(debrief) else notices.NONE_WHY


def none_reasons(debrief: Debrief, undo: str = notices.UNDO) -> list[str]:
    """Return why nothing was found.

    What the reader asked to be left out, and what the instructor said; where that was nothing, what was cut
    short and the usual reasons.
    """
    asked = [f"{left_out} A maneuver in that part was not looked for." for left_out in debrief.left_out]
    if debrief.said:  # and not the recording or the flying is why
        spoken = [*(f"{each} {undo}" for each in debrief.not_read()), *debrief.set_aside()]
        return [*asked, *spoken]
    known = [*asked, *(_cut(debrief, one) for one in debrief.cut_short), *_seldom(debrief)]
    if _short_of_the_point(debrief):
        return known
    usual = notices.NONE_REASONS
    named = usual if debrief.place_given else (*usual[:-1], f"{usual[-1]} {notices.NAME_IT}")
    return [*known, *named]


def _short_of_the_point(debrief: Debrief) -> bool:
    return any(one.by == "point" for one in debrief.cut_short)


def _cut(debrief: Debrief, one: CutShort) -> str:
    """Return in a sentence or two how far a turn went, and what was missing."""
    flown = floor(abs(one.turn) / degree)
    side = "right" if one.turn > 0 else "left"
    when = words.from_to(debrief.track.recording.epoch, one.start, one.end)
    if one.by == "point":
        return (
            f"The turn about the point went {flown}° round to the {side} ({when}). Once round, 360°, is"
            f" needed: {360 - flown}° more."
        )
    where = "begins" if one.by == "begins" else "ends"
    return (
        f"The recording {where} in a turn to the {side}, of which {flown}° are in it ({when}). Once round a"
        f" point, a loop and a steep turn take 360°: {360 - flown}° are missing. S-turns take two half"
        " circles of 180°."
    )


_SELDOM: Final = 3.0  # [s] from one sample to the next: a half circle of S-turns then has some ten


def _seldom(debrief: Debrief) -> list[str]:
    """Return what is lost where samples are few; nothing where they are not."""
    if not debrief.track.interval >= _SELDOM:
        return []
    every = words.number(debrief.track.interval, 1).removesuffix(".0")
    return [
        f"There is one sample every {every} s: steep turns, S-turns and eights may not be found, or not"
        " whole, and bank and crossings are blunted. Record one a second."
    ]


def losses(debrief: Debrief) -> list[str]:
    """Return the samples that were not used, grouped by reason, and the gaps."""
    by_reason: dict[str, list[float | None]] = {}
    for rejection in debrief.track.rejected:
        by_reason.setdefault(rejection.why, []).append(rejection.time)
    said = [
        f"{words.count(len(times), 'sample')} not used: {why}{_when(debrief, times)}."
        for why, times in by_reason.items()
    ]
    return [words.plain(sentence) for sentence in said] + _gaps(debrief)


_MOST_GAPS: Final = 3  # that are listed one by one


def _gaps(debrief: Debrief) -> list[str]:
    """Return a sentence a gap; where there are many, one that counts them and names the longest."""
    gaps, epoch = debrief.track.gaps, debrief.track.recording.epoch
    if len(gaps) <= _MOST_GAPS:
        return [
            f"Gap of {words.duration(gap.end - gap.start)}, {words.from_to(epoch, gap.start, gap.end)}."
            for gap in gaps
        ]
    shortest, longest = (pick(gaps, key=lambda gap: gap.end - gap.start) for pick in (min, max))
    least, most = words.duration(shortest.end - shortest.start), words.duration(longest.end - longest.start)
    lasted = f"of {most}" if least == most else f"of {least} to {most}"
    when = words.from_to(epoch, longest.start, longest.end)
    return [f"{len(gaps):,} gaps {lasted}, the longest {when}."]


def _when(debrief: Debrief, times: Sequence[float | None]) -> str:
    known = [t for t in times if t is not None]
    if not known:
        return ""
    if len(known) == 1:
        return f" (at {words.moment(debrief.track.recording.epoch, known[0])} UTC)"
    return f" ({words.from_to(debrief.track.recording.epoch, min(known), max(known))})"


def warnings(debrief: Debrief, undo: str = notices.UNDO) -> list[str]:
    """Return what puts the whole debrief in doubt and so stands before it."""
    given = (note for note in debrief.states.notes if note.startswith(given_wind.BEGINS))
    wind = [note for note in given if "contradicts" in note]
    # Where nothing is found at all, it stands there as the reason.
    unread = [f"{each} {undo}" for each in debrief.not_read()] if debrief.maneuvers else []
    return [words.plain(note) for note in (*wind, *unread)]


def notes(debrief: Debrief) -> list[str]:
    """Return every note once, in the order of the pipeline."""
    standard = (debrief.standard.note,) if debrief.standard.note else ()
    read = (*debrief.track.recording.notes, *debrief.track.notes, *_seldom(debrief))
    every = (*read, *debrief.states.notes, *debrief.not_read(), *standard)
    return [words.plain(note) for note in dict.fromkeys(every)]
