"""Tables of an export hold figures that can be read; the debriefs beside them keep every digit."""

from __future__ import annotations

from groundref.record.folder.tables import HEADINGS, table
from groundref.record.lessons import shown
from groundref.record.place import Place
from tests.record.small import filled


def test_figures_have_six_digits(place: Place) -> None:
    record = filled(place, 1)
    with record.reading() as connection:
        tables = {name: table(connection, name) for name in HEADINGS}
        (flown,) = shown(connection, 1).maneuvers
    said = [
        value
        for name, columns in tables.items()
        for heading, kind in HEADINGS[name].items()
        if kind is float
        for value in columns[heading]
        if value is not None
    ]
    assert said
    assert all(float(f"{value:.6g}") == value for value in said)
    (wind,) = tables["maneuvers"]["wind_sd_kt"]
    assert flown.wind_sd_kt is not None
    assert wind != flown.wind_sd_kt
    assert abs(wind / flown.wind_sd_kt - 1) <= 5e-6
