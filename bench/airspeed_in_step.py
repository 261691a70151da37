"""What airspeed that is lost and regained once a lap does to the wind, and whether it is known: a table.

Ground velocity alone cannot tell such airspeed from wind. The lessons are groundref's own, with the error
`airspeed-not-held`, whose time of 80 s is nearly that of a lap at 1,800 ft and far from it at 1,200 ft.
"""

from __future__ import annotations

from itertools import product
from typing import Final

import numpy as np

import groundref
from groundref.units import foot, knot

RADII_FT: Final = (1200.0, 1800.0)
SIZES_KT: Final = (3.0, 6.0, 12.0)
RECORDERS: Final = ("phone", "avionics")
DRAWS: Final = 12
CHI_SQUARE_2_95: Final = 5.991465


def debriefed(radius_ft: float, size_kt: float, recorder: str, draw: int) -> tuple[float, ...]:
    """Return lap time [s], airspeed once a lap, wind error, its stated deviation [kt], and whether inside."""
    recording, truth = groundref.simulate(
        radius=radius_ft * foot, seed=draw, recorder=recorder, faults={"airspeed-not-held": size_kt}
    )
    circle = groundref.debrief(recording).maneuvers[0].maneuver
    wind = circle.wind
    if wind is None:
        raise RuntimeError("the wind was not told")
    turning = (truth.time >= circle.start) & (truth.time <= circle.end)
    heading = truth.heading[turning]
    columns = np.stack([np.ones_like(heading), np.cos(heading), np.sin(heading)], axis=1)
    once = np.linalg.lstsq(columns, truth.true_airspeed[turning])[0][1:]
    blown = [truth.wind_east[turning].mean(), truth.wind_north[turning].mean()]
    off = np.array([wind.east, wind.north]) - blown
    covariance = np.array([[wind.east_sd**2, wind.covariance], [wind.covariance, wind.north_sd**2]])
    return (
        (circle.end - circle.start) / len(circle.laps),
        float(np.hypot(*once)) / knot,
        float(np.hypot(*off)) / knot,
        float(np.sqrt(np.trace(covariance) / 2)) / knot,
        float(off @ np.linalg.solve(covariance, off) <= CHI_SQUARE_2_95),
    )


def main() -> None:
    """Fly, debrief, print."""
    print(f"{DRAWS} lessons a line; medians\n")
    names = "recorder", "radius, ft", "wander, kt", "lap, s", "once a lap, kt", "wind off, kt", "stated, kt"
    print("| " + " | ".join(names) + " | inside |")
    print("| --- " + "| ---: " * 7 + "|")
    for recorder, radius, size in product(RECORDERS, RADII_FT, SIZES_KT):
        rows = np.array([debriefed(radius, size, recorder, draw) for draw in range(1, DRAWS + 1)])
        lap, once, off, stated, _ = np.median(rows, axis=0)
        inside = f"{rows[:, 4].sum():.0f} of {DRAWS}"
        print(
            f"| {recorder} | {radius:,.0f} | {size:.0f} | {lap:.0f} | {once:.1f} | {off:.2f} "
            f"| {stated:.2f} | {inside} |"
        )


if __name__ == "__main__":
    main()
