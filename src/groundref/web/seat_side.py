"""The view from the seat without a 3-D picture: a sentence, and the wing tip with the place beside it."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.reports import plan_words, svg, words
from groundref.reports.figures.planned_sight import frame
from groundref.units import degree

Floats = NDArray[np.float64]

TALL: Final = 400
_LETTER: Final = 17.0
_LEAST: Final = 12.0  # degrees shown to either side of the wing, at least
_MOST: Final = 20.0  # of its way; farther off is the way in
_EDGE: Final = 60.0  # of where it is now; the back or the zenith is not drawn
_AROUND: Final = 60.0  # [s] of the way of the place through the view, to either side


def row_at(document: dict[str, Any], at: float) -> int:
    """Return the moment nearest to a time.

    Parameters
    ----------
    document
        Of a flight or a plan.
    at
        [s]
    """
    seconds = np.asarray(document["seconds"], dtype=np.float64)
    return int(np.abs(seconds - at).argmin())


def says(document: dict[str, Any], row: int) -> str:
    """Return in one sentence where the place stands.

    Parameters
    ----------
    document
        Of a flight or a plan.
    row
        Its moment.
    """
    seat = document["seat"]
    if seat["why"]:
        return str(seat["why"])
    found = {name: column[row] for name, column in seat["columns"].items()}
    bank = document["bank_deg"][row]
    if found["about"] is None or found["depression_deg"] is None or bank is None:
        return "Nothing is flown about here."
    where = f"{plan_words.ahead(found['ahead_of_wing_deg'] * degree)}"
    line = "on the wing line" if where == "abeam" else f"{where} the wing line".replace("ahead", "ahead of")
    over = plan_words.above(found["above_wing_deg"] * degree)
    level = "level with it" if over == "on it" else f"{over} it"
    what = seat["spots"][found["about"]]["what"].capitalize()
    way = "" if not round(abs(bank)) else " right" if bank > 0 else " left"
    hidden = "; the wing hides it" if found["hidden"] else ""
    return (
        f"{what} stands {words.number(found['depression_deg'])}° below the horizon, {line} and {level}, "
        f"at {round(abs(bank))}° of bank{way}{hidden}."
    )


def draw(document: dict[str, Any], row: int) -> Markup:
    """Return the wing tip as seen from the seat, level, with the way of the place and where it is now.

    Parameters
    ----------
    document
        Of a flight or a plan, its seat not empty.
    row
        Its moment.
    """
    found = {
        name: np.array([np.nan if one is None else one for one in document["seat"]["columns"][name]])
        for name in ("above_wing_deg", "ahead_of_wing_deg", "about", "side")
    }
    seconds = np.asarray(document["seconds"], dtype=np.float64)
    near = (np.abs(seconds - seconds[row]) <= _AROUND) & (found["about"] == found["about"][row])
    above, ahead = (np.where(near, found[name], np.nan) for name in ("above_wing_deg", "ahead_of_wing_deg"))
    beyond = np.maximum(np.abs(above), np.abs(ahead)) > _MOST
    above[beyond], ahead[beyond] = np.nan, np.nan
    here = np.array([found["above_wing_deg"][row], found["ahead_of_wing_deg"][row]])
    most = float(np.nanmax(np.abs(np.concatenate([above, ahead, np.clip(here, -_EDGE, _EDGE)])), initial=0.0))
    reach = max(1.25 * most, _LEAST)
    ahead_right = -1.0 if bool((found["side"] >= 0.0).all() and found["side"].any()) else 1.0
    x, y = svg.WIDTH / 2, TALL / 2
    scale = min((TALL / 2 - 1.3 * _LETTER) / reach, (svg.WIDTH / 2 - 3 * _LETTER) / (1.6 * reach))
    return svg.picture(
        "side-view",
        "Where it stands from the wing tip, the wing held level",
        says(document, row),
        TALL,
        frame((x, y), scale, reach, ahead_right, _LETTER, TALL),
        svg.polyline(x + ahead_right * ahead * scale, y - above * scale, class_="flown"),
        _mark(x, y, scale, ahead_right, found, row),
    )


def _mark(x: float, y: float, scale: float, ahead_right: float, found: dict[str, Floats], row: int) -> Markup:
    """Return the place now, with what a script needs to move it."""
    at = (ahead_right * found["ahead_of_wing_deg"][row], -found["above_wing_deg"][row])
    there = bool(np.isfinite(at).all())
    return svg.tag(
        "circle",
        cx=x + float(at[0]) * scale if there else -99.0,
        cy=y + float(at[1]) * scale if there else -99.0,
        r=9.0,
        class_="cursor",
        data_x=x,
        data_y=y,
        data_right=ahead_right * scale,
        data_up=scale,
    )
