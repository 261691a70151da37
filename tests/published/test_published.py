"""Published values against the mechanics; one row of a data file, with its source, is one check.

A row: `what` it says; `call` the function; `with` its arguments, each a number or "number unit"; `gives` the
published value; `printed_to` its last printed digit, half of which is the tolerance; `source`; `status`, how
the value was had. Where they apply: `pick`, which of several results; `relative_to`, arguments to change in
a second call whose result divides the first; `allowance` with `because`, where a published value rests on
rounded constants and so is known to lie off the exact one.
"""

from __future__ import annotations

import tomllib
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from groundref import units

HERE = Path(__file__).parent

STATUS = {
    "read in a copy of the document",
    "read in a secondary copy or quotation",
    "from memory, to be verified",
    "computed independently of this code",
}

UNITS = {
    "deg": units.degree,
    "deg/s": units.degree,
    "ft": units.foot,
    "h": units.hour,
    "hPa": units.hectopascal,
    "inHg": units.inch_hg,
    "K": 1.0,
    "kg/m3": 1.0,
    "kt": units.knot,
    "m": 1.0,
    "mi": units.statute_mile,
    "NM": units.nautical_mile,
    "Pa": 1.0,
    "s": 1.0,
}


def to_si(quantity: float | str) -> float:
    if not isinstance(quantity, str):
        return float(quantity)
    number, unit = quantity.split()
    if unit == "degC":
        return float(number) + units.celsius_zero
    return float(number) * UNITS[unit]


def scale(quantity: float | str) -> float:
    unit = quantity.split()[1] if isinstance(quantity, str) else ""
    return UNITS.get(unit, 1.0)


def call(row: dict[str, Any], arguments: dict[str, Any]) -> float:
    module, name = row["call"].split(".")
    function = getattr(import_module(f"groundref.mechanics.{module}"), name)
    result = function(**{key: to_si(value) for key, value in arguments.items()})
    return float(result[row["pick"]] if "pick" in row else result)


ROWS = [
    pytest.param(row, id=f"{path.stem}: {row['what']}")
    for path in sorted(HERE.glob("*.toml"))
    for row in tomllib.loads(path.read_text(encoding="utf-8"))["check"]
]


@pytest.mark.parametrize("row", ROWS)
def test_value_as_published(row: dict[str, Any]) -> None:
    ours = call(row, row["with"])
    if "relative_to" in row:
        ours /= call(row, row["with"] | row["relative_to"])
    tolerance = 0.5 * row["printed_to"] + row.get("allowance", 0.0)
    assert abs(ours - to_si(row["gives"])) <= tolerance * scale(row["gives"]) * (1 + 1e-9), (
        f"{ours / scale(row['gives']):.6g} for the published {row['gives']} ({row['source']})"
    )


@pytest.mark.parametrize("row", ROWS)
def test_every_row_names_its_source(row: dict[str, Any]) -> None:
    assert row["status"] in STATUS
    assert len(row["source"]) > 10
    assert ("allowance" in row) == ("because" in row)
    assert np.isfinite(to_si(row["gives"]))
