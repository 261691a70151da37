"""``groundref aircraft``: which airplanes there are, and what is known of one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groundref.units import degree, knot

if TYPE_CHECKING:
    from groundref.aircraft.aircraft import Aircraft


def aircraft(name: str | None = None, /) -> None:
    """List the airplanes, or print one.

    Parameters
    ----------
    name
        Name of an airplane, or your own .toml file, which is checked on the way.
    """
    from groundref.aircraft.loading import aircraft_names, load_aircraft
    from groundref.cli.screen import console

    out = console()
    if name is None:
        for known in aircraft_names():
            out.print(f"{known}  {load_aircraft(known).title}")
        return
    airplane = load_aircraft(name)
    out.print(airplane.title, style="bold")
    for label, value in _lines(airplane):
        out.print(f"{label:<45} {value}")
    out.print(f"Source: {airplane.source}")


def _lines(airplane: Aircraft) -> list[tuple[str, str]]:
    return [
        ("Practice speed, calibrated", f"{airplane.practice_speed / knot:.0f} kt"),
        ("Stall speed, clean, level, calibrated", f"{airplane.stall_speed / knot:.0f} kt"),
        ("Maneuvering speed, calibrated", f"{airplane.maneuvering_speed / knot:.0f} kt"),
        ("Best-glide speed, calibrated", f"{airplane.glide_speed / knot:.0f} kt"),
        ("Glide ratio, still air", f"{airplane.glide_ratio:g}"),
        ("Mass the speeds are for", f"{airplane.mass:.0f} kg"),
        ("Roll rate in ordinary turns", f"{airplane.roll_rate / degree:.0f} °/s"),
        ("Wing span", f"{airplane.wing_span:.1f} m"),
        ("Wing", "above the eye" if airplane.high_wing else "below the eye"),
    ]
