"""``groundref wind``: the wind and the true airspeed along a flight."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.reading import read_recordings
from groundref.cli.waiting import waiting

if TYPE_CHECKING:
    from datetime import datetime

    from rich.table import Table

    from groundref.debriefing import Debrief

Row = tuple[float, float, str, str]  # start and end [s], wind, true airspeed


def wind(
    recording: Annotated[str, Parameter(allow_leading_hyphen=True)],
    /,
    *,
    json: Annotated[str | None, options.taking("FILE|-")] = None,
    columns: Annotated[str | None, options.taking("FILE.toml")] = None,
) -> None:
    """Say what the wind and the true airspeed were along a recorded flight.

    Parameters
    ----------
    recording
        A recording; - is standard input.
    json
        Write the wind as JSON to this file; - is standard output, and then nothing else goes there.
    columns
        A small .toml file that says which column of a text table holds what, for headings that do not.
    """
    check_destinations([json], [recording], [columns])
    flight = read_recordings([recording], columns)
    from groundref.debriefing import debrief

    with waiting("working out the wind"):
        result = debrief(flight)
    if json:
        from groundref import export, writing

        full = result.to_dict()
        document = {"schema": "groundref/wind/1", "flight": full["flight"], "wind": full["wind"]}
        writing.write(json, export.to_json(document))
    if json != "-":
        _show(result)


def _show(result: Debrief) -> None:
    from groundref.cli.screen import console
    from groundref.reports import words

    recording, out = result.track.recording, console()
    out.print(f"Wind along {recording.source}, flown on {words.day(recording.epoch)}", markup=False)
    untold = _untold(result)
    out.print(_table(sorted(_told(result) + untold), recording.epoch))
    out.print("“±” is one standard deviation; directions are true; taxiing is left out.")
    if untold:
        out.print("Where the wind can't be told, the direction of flight changed too little.")


def _table(rows: list[Row], epoch: datetime) -> Table:
    from rich.table import Table

    from groundref.reports import words

    table = Table("time, UTC", "wind from", "true airspeed", box=None, padding=(0, 2, 0, 0))
    for start, end, wind, airspeed in rows:
        table.add_row(words.from_to(epoch, start, end).removesuffix(" UTC"), wind, airspeed)
    return table


def _told(result: Debrief) -> list[Row]:
    from groundref.reports import words

    return [
        (
            wind.start,
            wind.end,
            words.wind(wind),
            words.both_speeds(wind.true_airspeed, wind.true_airspeed_sd, digits=1),
        )
        for wind in result.winds
    ]


def _untold(result: Debrief) -> list[Row]:
    """Return the stretches that were flown without a wind that could be told, with the airspeed measured."""
    import numpy as np

    from groundref.reports import words
    from groundref.track.clean import FLYING_SPEED

    states = result.states
    untold = np.isnan(states.wind_east) & (states.ground_speed > FLYING_SPEED)
    cut = np.flatnonzero((np.diff(untold) != 0) | (np.diff(states.piece) != 0)) + 1
    return [
        (
            float(states.time[run[0]]),
            float(states.time[run[-1]]),
            words.CANNOT_TELL,
            words.both_speeds(float(np.mean(states.true_airspeed[run])), digits=1),
        )
        for run in np.split(np.arange(len(states)), cut)
        if untold[run[0]]
    ]
