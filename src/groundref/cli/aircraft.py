"""``groundref aircraft``: which airplanes there are, what is known of one, and a file to fill in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from groundref.cli import options
from groundref.errors import OutputError, UsageError

if TYPE_CHECKING:
    from groundref.aircraft.aircraft import Aircraft


def aircraft(
    name: str | None = None,
    /,
    *,
    mass_kg: Annotated[float | None, options.taking("N")] = None,
    template: Annotated[str | None, options.taking("FILE.toml|-")] = None,
    json: Annotated[str | None, options.taking("FILE|-")] = None,
) -> None:
    """List the airplanes, print one, or write a file to fill in with the numbers of your own.

    Parameters
    ----------
    name
        Name of an airplane, or your own .toml file, which is checked on the way.
    mass_kg
        Mass to print its speeds for; that of its file unless given.
    template
        Write a file with every key, its unit and meaning, to fill in; - is standard output.
    json
        Write what is known as JSON to this file; - is standard output, and then nothing else goes there.
    """
    if template is not None:
        if name is not None or mass_kg is not None or json is not None:
            raise UsageError("the template is no airplane yet", "--template", "ask for it alone")
        _write_template(template)
        return
    if name is None and mass_kg is not None:
        raise UsageError("a mass is that of one airplane", "--mass-kg", "name the airplane")
    airplanes = _asked(name, mass_kg)
    if json is not None:
        _write_json(airplanes, json, name)
    if json != "-":
        _show(airplanes, one=name is not None)


def _asked(name: str | None, mass_kg: float | None) -> list[Aircraft]:
    from groundref.aircraft.loading import aircraft_names, load_aircraft

    if name is None:
        return [load_aircraft(known) for known in aircraft_names()]
    return [load_aircraft(name, mass_kg)]


def _write_template(destination: str) -> None:
    from groundref import writing
    from groundref.aircraft.template import template

    # A file that was filled in before is the work of an hour.
    if destination != writing.STANDARD_OUTPUT and Path(destination).is_file():
        raise OutputError("there is a file of this name", destination, "name one that is not there yet")
    writing.write(destination, template().encode())


def _write_json(airplanes: list[Aircraft], destination: str, name: str | None) -> None:
    from groundref import export, writing
    from groundref.aircraft.document import aircraft_document
    from groundref.cli.destinations import check_destinations

    check_destinations([destination], others=[name])
    writing.write(destination, export.to_json(aircraft_document(airplanes)))


def _show(airplanes: list[Aircraft], *, one: bool) -> None:
    from groundref.cli import airplane
    from groundref.cli.screen import console

    if one:
        airplane.show(airplanes[0], console())
    else:
        console().print(airplane.table(airplanes))
