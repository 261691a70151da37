"""Which flights are flown: every airplane, wind and direction, with radius, laps and speed drawn for each."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import radians
from typing import Final

import numpy as np

from .flights import LIGHT_TURBULENCE_KT, Order

WINDS_KT: Final = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0)
SPEEDS_KT: Final = {"c172p": (88.0, 100.0), "c172x": (88.0, 100.0), "J3Cub": (60.0, 68.0)}
RADII_FT: Final = (700.0, 850.0, 1000.0, 1200.0, 1400.0, 1600.0, 1800.0)
STEEPEST: Final = radians(48.0)
SHALLOWEST: Final = radians(14.0)
NEEDS_POWER: Final = radians(38.0)
"""Beyond this bank no pilot leaves the power alone: the speed would fall by more than 10 kt in two laps."""

DEVELOPMENT: Final = 0
"""First draw of the block that estimators may be improved on."""
RESERVED: Final = 1000
"""First draw of the block that is only for tests and published figures."""


CONDITIONS: Final = ("clean", "sloppy", "turbulent", "drifting")
"""Cleanly flown in smooth, steady wind; flown sloppily in it; cleanly in light turbulence; and cleanly in a
wind that changes slowly."""
SLOPPINESS: Final = (0.5, 0.75, 1.0)
WIND_DRIFT_KT: Final = 1.0
_APART: Final = 100


def orders(
    block: int,
    copies: int = 1,
    sloppiness: float = 0.0,
    turbulence_kt: float = 0.0,
    wind_drift_kt: float = 0.0,
) -> tuple[Order, ...]:
    """Return 36 flights a copy: three airplanes, six winds, both directions.

    In turbulence the pilot tends the power: left alone, a light airplane is slowed by gusts until it stalls.
    """
    return tuple(
        replace(
            order,
            turbulence_kt=turbulence_kt,
            wind_drift_kt=wind_drift_kt,
            tends_power=order.tends_power or turbulence_kt > 0,
        )
        for copy in range(copies)
        for airplane, wind, direction in product(SPEEDS_KT, WINDS_KT, ("left", "right"))
        for order in [_order(airplane, wind, direction, block + copy, sloppiness)]
    )


def mix(block: int, copies: int = 1) -> dict[str, tuple[Order, ...]]:
    """Return 36 flights a copy of each condition, all drawn anew; the clean ones are those of `orders`."""
    begin = {name: block + _APART * index for index, name in enumerate(CONDITIONS)}
    sloppy = [orders(begin["sloppy"], copies, size) for size in SLOPPINESS]
    return {
        "clean": orders(begin["clean"], copies),
        "sloppy": tuple(sloppy[index % 3][index] for index in range(len(sloppy[0]))),
        "turbulent": orders(begin["turbulent"], copies, turbulence_kt=LIGHT_TURBULENCE_KT),
        "drifting": orders(begin["drifting"], copies, wind_drift_kt=WIND_DRIFT_KT),
    }


def condition(order: Order) -> str:
    """Return which of `CONDITIONS` a flight was ordered in."""
    if order.turbulence_kt > 0:
        return "turbulent"
    if order.wind_drift_kt > 0:
        return "drifting"
    return "sloppy" if order.sloppiness > 0 else "clean"


def _order(airplane: str, wind: float, direction: str, number: int, sloppiness: float) -> Order:
    kind = tuple(SPEEDS_KT).index(airplane)
    rng = np.random.default_rng([number, kind, int(wind), direction == "left", int(100 * sloppiness)])
    speed = float(np.round(rng.uniform(*SPEEDS_KT[airplane])))
    while True:
        order = Order(
            airplane=airplane,
            wind_kt=wind,
            wind_from_deg=float(rng.integers(0, 360)),
            direction=direction,
            radius_ft=float(rng.choice(RADII_FT)),
            tas_kt=speed,
            height_ft=float(rng.integers(650, 1000)),
            laps=int(rng.integers(1, 4)),
            number=int(number * 1000 + rng.integers(0, 1000)),
            sloppiness=sloppiness,
            tends_power=bool(rng.random() < 0.5),
        )
        if SHALLOWEST <= order.steepest_bank <= STEEPEST:
            return order if order.steepest_bank < NEEDS_POWER else replace(order, tends_power=True)
