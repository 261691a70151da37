"""Steep turns: one bank, height and airspeed held, rolled out on the heading of the start."""

from __future__ import annotations

from collections.abc import Callable

from groundref.assessment.assessed import Assessed
from groundref.assessment.details import SteepFlown, SteepTurn
from groundref.debriefing import Debrief
from groundref.reports import facts, tables, words
from groundref.reports.cells import Cell, Row, length
from groundref.reports.figures import path
from groundref.reports.laps import turn_sign
from groundref.reports.sections import common
from groundref.reports.sections.parts import Figure, Key, Section, Table, Track, swatch

_DRIFT = (
    "Nothing on the ground is held in this maneuver: the wind carries the turn along, and that is no error."
    " The drift says what wind there was."
)

_TURNED = (
    "Turned is the track from the middle of rolling in to the middle of rolling out, so a whole turn shows a"
    " little less than 360°; rolled out compares the headings flown before and after."
)


def _figures(debrief: Debrief, assessed: Assessed, name: str) -> list[Figure]:
    keys = [*common.lap_keys(assessed, plain=True), Key(swatch("drift"), "carried by the wind in a turn")]
    above = Figure(
        "above", "Carried by the wind", path.draw(debrief, assessed, f"{name}-above"), keys, _DRIFT, "small"
    )
    return [common.along_figure(debrief, assessed, name), above]


def _nothing(debrief: Debrief, assessed: Assessed, name: str) -> None:
    """Leave the place beside the facts free: what was held along time stands at the top."""


def _tables(debrief: Debrief, assessed: Assessed) -> list[Table]:
    rows = tables.common_rows(debrief, assessed)
    details = assessed.details
    own = _rows(assessed, details.turns) if isinstance(details, SteepFlown) else []
    return [common.lap_table(debrief, assessed, [*rows[:3], *own, *rows[3:]], _TURNED)]


def _rows(assessed: Assessed, turns: tuple[SteepTurn, ...]) -> list[Row]:
    by_lap = {turn.lap: turn for turn in turns}

    def row(name: str, cell: Callable[[SteepTurn], Cell]) -> Row:
        return common.lap_row(
            assessed, name, lambda n: cell(by_lap[n]) if n in by_lap else Cell(words.CANNOT_TELL)
        )

    return [
        row("mean bank", lambda turn: Cell(tables.with_degrees(turn.bank, turn.bank_sd))),
        row("heading before", lambda turn: Cell(words.bearing(turn.heading_in))),
        row("heading after", lambda turn: Cell(words.bearing(turn.heading_out))),
        row("rolled out", lambda turn: Cell(_off(turn))),
        row("carried over the ground", lambda turn: length(turn.drift)),
        row("by the wind alone", lambda turn: length(turn.drift_expected)),
    ]


def _off(turn: SteepTurn) -> str:
    """Return how far beyond or short of the heading of the start a turn was rolled out."""
    if not words.known(turn.off_heading):
        return words.CANNOT_TELL
    said = tables.with_degrees(abs(turn.off_heading), turn.off_heading_sd)
    if said.startswith("0°") or said.startswith("0 "):
        return f"{said} off"
    return f"{said} {'beyond' if turn.off_heading > 0 else 'short'}"


def _moving(debrief: Debrief, assessed: Assessed) -> dict[str, Track]:
    return {"above": common.on_the_ground(debrief, assessed)}


def _says(debrief: Debrief, assessed: Assessed, step: int) -> tuple[str, ...]:
    at = assessed.maneuver.first + step
    states = debrief.states
    said = [f"bank {words.degrees(float(turn_sign(assessed)[step] * states.bank[at]))}"]
    if states.altitude is not None:
        said.append(f"{words.altitude(states.altitude_datum)} {words.length(float(states.altitude[at]))}")
    return (*said, f"true airspeed {words.speed(float(states.true_airspeed[at]))}")


SECTION = Section(_figures, _nothing, _tables, facts.facts, _moving, _says)
