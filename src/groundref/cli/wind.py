"""``groundref wind``: the wind and the true airspeed along a flight."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.reading import read_recordings
from groundref.cli.waiting import waiting

if TYPE_CHECKING:
    from rich.table import Table


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
        full = debrief(flight).to_dict()
    document = {"schema": "groundref/wind/1", "flight": full["flight"], "wind": full["wind"]}
    if json:
        from groundref import export, writing

        writing.write(json, export.to_json(document))
    if json != "-":
        from groundref.cli.screen import console

        console().print(_table(document["wind"]))


def _table(winds: list[dict[str, Any]]) -> Table | str:
    from rich.table import Table

    if not winds:
        return "The wind cannot be told from this recording: the direction of flight changes too little."
    table = Table("from", "to", "wind from, true", "speed", "true airspeed", box=None, padding=(0, 2, 0, 0))
    for row in winds:
        table.add_row(row["start"][11:19], row["end"][11:19], _direction(row), _speed(row), _airspeed(row))
    return table


def _direction(row: dict[str, Any]) -> str:
    return "can't tell" if row["from_deg"] is None else f"{row['from_deg']:03.0f}°"


def _speed(row: dict[str, Any]) -> str:
    sd = max(row["north_sd_kt"], row["east_sd_kt"])
    return f"{row['speed_kt']:.1f} kt (± {2 * sd:.1f} either way)"


def _airspeed(row: dict[str, Any]) -> str:
    if row["tas_kt"] is None:
        return "can't tell"
    return f"{row['tas_kt']:.1f} kt" + (
        "" if row["tas_sd_kt"] is None else f" (± {2 * row['tas_sd_kt']:.1f})"
    )
