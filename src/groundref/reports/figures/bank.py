"""Bank flown against bank required, by position round the circle, lap over lap."""

from __future__ import annotations

from math import ceil, floor
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.assessment.held import steady
from groundref.debriefing import Debrief
from groundref.reports import like_paper, naming, places, svg, words
from groundref.reports.figures import as_planned
from groundref.reports.figures.circle_labels import badge
from groundref.reports.figures.labels import Box, badge_box, freest
from groundref.reports.laps import dash, during, tone, turn_sign
from groundref.reports.scales import Scale, span, thin, ticks
from groundref.units import degree

Floats = NDArray[np.float64]

HEIGHT: Final = 600
_LEFT, _RIGHT, _TOP, _BOTTOM = 62.0, 586.0, 44.0, 530.0
_GRID: Final = 5.0  # the curve of the required bank is drawn in steps of this [deg]
_NEAR: Final = 6.0  # and averaged over this much of the circle to either side, one standard deviation [deg]
_REACH: Final = 12.0  # the band holds what was required within this much to either side [deg]
_ENOUGH: Final = 0.5  # samples, weighted by nearness, below which the curve is not drawn
_MOST: Final = 2000  # samples; more add nothing to a smooth curve
_SDS: Final = 2.0
_FEW: Final = 2  # laps; the bands of more lie over one another and are drawn fainter
_NO_POINTS: Final = np.empty(0)
_JUMP: Final = 40.0  # a step this long between samples is the end of the paper, not a turn [deg]


def draw(debrief: Debrief, assessed: Assessed, name: str) -> Markup:
    """Return the picture of one maneuver; parameters as for the circle from above."""
    sign = turn_sign(assessed)
    bank = sign * during(debrief.states.bank, assessed) / degree
    bank_sd = during(debrief.states.bank_sd, assessed) / degree
    required = sign * assessed.profile.bank_required / degree
    x, y = scales(debrief, assessed)
    unrolled = places.unrolled(assessed)
    angle = unrolled.angle / degree
    angle = np.where((angle >= x.low) & (angle <= x.high), angle, np.nan)
    in_laps = assessed.profile.lap > 0
    return svg.picture(
        name,
        f"Bank flown against bank required by position {naming.round_it(assessed.maneuver.kind)}",
        describe(debrief, assessed),
        HEIGHT,
        _grid(x, y, unrolled, assessed.maneuver.kind),
        _limit(assessed, x, y),
        _required(
            angle[in_laps], required[in_laps], assessed.profile.bank_required_sd[in_laps] / degree, x, y
        ),
        _planned(assessed, x, y),
        _rolling(assessed, angle, np.where(_reached(~_settled(debrief, assessed)), bank, np.nan), x, y),
        _laps(assessed, angle, np.where(_settled(debrief, assessed), bank, np.nan), bank_sd, x, y),
        _nothing(bank, required),
        svg.circle(0, 0, 5, class_="cursor", visibility="hidden"),
    )


def describe(debrief: Debrief, assessed: Assessed) -> str:
    """Return the picture in words, with its numbers."""
    visited = places.visited(debrief.states, assessed)
    word = naming.lap(assessed.maneuver.kind)
    said = "; ".join(
        f"{word} {p.lap} {places.where(p)}: {words.degrees(p.bank)} flown,"
        f" {words.degrees(p.bank_required)} required"
        for p in visited
    )
    planned = as_planned.banks(assessed)
    return f"Bank is counted into the turn and is {debrief.states.bank_source}. {said}.{planned}"


def scales(debrief: Debrief, assessed: Assessed) -> tuple[Scale, Scale]:
    """Return the scales of the picture: position [deg] across, bank into the turn [deg] up.

    Rolling in and out has no say in them: it would press the bank that was held into a corner.
    """
    low, high = reached(debrief, assessed)
    like = like_paper.shared()
    if like is not None:
        low, high = (edge / degree for edge in like.bank)
    start = places.unrolled(assessed).start / degree
    # Half circles begin a little after the cut and may end as much beyond where they should.
    shown = 376.0 if assessed.maneuver.kind == "s-turns" else 360.0
    shown += 0.0 if like is None else like.reach / degree
    across = Scale(start, start + shown, _LEFT, _RIGHT)
    return across, Scale(min(low, 0.0) if low < 6 else low, high, _BOTTOM, _TOP)


def reached(debrief: Debrief, assessed: Assessed) -> tuple[float, float]:
    """Return the least and the largest bank into the turn that the picture has to hold [deg]."""
    sign = turn_sign(assessed)
    in_laps = assessed.profile.lap > 0
    bank = (sign * during(debrief.states.bank, assessed))[_settled(debrief, assessed)] / degree
    required = (sign * assessed.profile.bank_required)[in_laps] / degree
    return span(bank, required, planned_bank(assessed), least=15.0)


def _settled(debrief: Debrief, assessed: Assessed) -> NDArray[np.bool_]:
    """Return the samples in a lap, between rolling in and rolling out."""
    return steady(debrief.states, assessed.maneuver) & (assessed.profile.lap > 0)


def _reached(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the mask with the samples beside it, so that the line drawn of it meets its neighbours."""
    reached = mask.copy()
    reached[:-1] |= mask[1:]
    reached[1:] |= mask[:-1]
    return reached


def _rolling(assessed: Assessed, angle: Floats, bank: Floats, x: Scale, y: Scale) -> Markup:
    """Return rolling in and rolling out as a thin line, as far as it lies on the paper."""
    a, b = torn(angle, np.where((bank >= y.low) & (bank <= y.high), bank, np.nan))
    return svg.polyline(x(a), y(b), class_="rolling")


def _grid(x: Scale, y: Scale, unrolled: places.Round, kind: str) -> Markup:
    parts: list[str] = [svg.text(8, 20, "Bank into the turn")]
    for value in ticks(y.low, y.high, 7):
        at = y.at(value)
        parts.append(svg.line(_LEFT, at, _RIGHT, at, class_="grid"))
        parts.append(svg.text(_LEFT - 8, at + 5, f"{words.number(value)}°", "end", class_="quiet"))
    for quarter in range(ceil(x.low / 90.0 - 1e-9), floor(x.high / 90.0 + 1e-9) + 1):
        at = x.at(quarter * 90.0)
        label = unrolled.names[quarter % 4]
        parts.append(svg.line(at, _TOP, at, _BOTTOM + 6, class_="grid"))
        parts.append(svg.text(min(at, _RIGHT - 8), _BOTTOM + 28, label, "middle", class_="place"))
    flown = (
        "flown this way round" if unrolled.by_wind else f"of {naming.place_of(kind)}, flown this way round"
    )
    middle = (_LEFT + _RIGHT) / 2
    parts.append(svg.text(middle, _BOTTOM + 56, f"{flown} →", "middle", class_="quiet"))
    return svg.group(*parts)


def _limit(assessed: Assessed, x: Scale, y: Scale) -> Markup:
    """Return the bank limit where it lies on the paper."""
    limit = assessed.bank_limit / degree
    if not y.low <= limit <= y.high:
        return Markup("")
    at = y.at(limit)
    return svg.group(
        svg.line(_LEFT, at, _RIGHT, at, class_="limit"),
        svg.text(_RIGHT, at - 7, f"limit {words.number(limit)}°", "end", class_="quiet"),
    )


def planned_bank(assessed: Assessed) -> Floats:
    """Return the planned bank into the turn along the planned arcs; empty where there is none [deg]."""
    planned = assessed.as_planned
    return np.empty(0) if planned is None else planned.turn * planned.bank / degree


def _planned(assessed: Assessed, x: Scale, y: Scale) -> Markup:
    """Return the planned bank at the places where it was to be flown, in the wind that was planned for."""
    planned = assessed.as_planned
    if planned is None:
        return Markup("")
    angle = places.planned_angle(assessed, planned) / degree
    angle = (angle - x.low) % 360.0 + x.low
    a, b = torn(angle, planned_bank(assessed))
    return as_planned.line(x(a), y(b))


def _nothing(bank: Floats, required: Floats) -> Markup:
    """Return a word in the empty picture where neither bank can be told."""
    if np.isfinite(bank).any() or np.isfinite(required).any():
        return Markup("")
    return svg.text((_LEFT + _RIGHT) / 2, (_TOP + _BOTTOM) / 2, f"bank: {words.CANNOT_TELL}", "middle")


def averaged(angle: Floats, value: Floats, start: float = -90.0, end: float = 270.0) -> tuple[Floats, Floats]:
    """Return the mean of a value round the circle, weighted by nearness, NaN where nothing was flown.

    The circle has no end: what stands at the right edge of the paper also stands at the left.

    Parameters
    ----------
    angle
        Position [deg]
    value
        At each.
    start, end
        Of the picture [deg]
    """
    grid = np.arange(start, end + _GRID / 2, _GRID)
    good = np.flatnonzero(np.isfinite(angle) & np.isfinite(value))
    good = good[:: max(good.size // _MOST, 1)]
    apart = (grid[:, None] - angle[good] + 180.0) % 360.0 - 180.0
    weight = np.exp(-0.5 * (apart / _NEAR) ** 2)
    total = weight.sum(axis=1)
    return grid, np.where(total > _ENOUGH, weight @ value[good] / np.maximum(total, _ENOUGH), np.nan)


def enveloped(
    angle: Floats, value: Floats, doubt: Floats, start: float = -90.0, end: float = 270.0
) -> tuple[Floats, Floats]:
    """Return the least and the largest that a value with its doubt came to round the circle, NaN if unknown.

    One mean cannot stand for what was required at a moment when speed differed from lap to lap. The edges
    hold the deviations from the mean, not the values, since those of the neighbourhood differ by its slope.

    Parameters
    ----------
    angle
        Position [deg]
    value, doubt
        At each, and how far to either side it may be.
    start, end
        Of the picture [deg]
    """
    grid, mean = averaged(angle, value, start, end)
    off = value - np.interp(angle, grid, mean)
    good = np.isfinite(off) & np.isfinite(doubt)
    near = np.abs((grid[:, None] - angle[good] + 180.0) % 360.0 - 180.0) <= _REACH
    low = np.where(near, off[good] - doubt[good], np.inf).min(axis=1, initial=np.inf)
    high = np.where(near, off[good] + doubt[good], -np.inf).max(axis=1, initial=-np.inf)
    found = near.any(axis=1)
    return np.where(found, mean + low, np.nan), np.where(found, mean + high, np.nan)


def _required(angle: Floats, required: Floats, sd: Floats, x: Scale, y: Scale) -> Markup:
    """Return the mean curve to fly in a band of how it differed and its uncertainty."""
    at, mean = averaged(angle, required, x.low, x.high)
    low, high = (
        np.clip(y(edge), _TOP, _BOTTOM) for edge in enveloped(angle, required, _SDS * sd, x.low, x.high)
    )
    return svg.group(
        svg.band(x(at), low, high, class_="asked-band"),
        svg.polyline(x(at), y(mean), class_="asked"),
    )


def _laps(assessed: Assessed, angle: Floats, bank: Floats, sd: Floats, x: Scale, y: Scale) -> Markup:
    bands, lines, badges = [], [], []
    taken: list[Box] = []
    for number in range(1, len(assessed.maneuver.laps) + 1):
        mine = np.flatnonzero(assessed.profile.lap == number)
        # With the first sample of the next lap, so that no line has a hole where it closes.
        mine = np.append(mine, np.flatnonzero(assessed.profile.lap == number + 1)[:1])
        a, b, s = torn(angle[mine], bank[mine], sd[mine])
        px, py = x(a), y(b)
        kept = thin(px, py)
        low, high = (np.clip(y(b + side * _SDS * s), _TOP, _BOTTOM) for side in (-1.0, 1.0))
        bands.append(svg.band(px[kept], low[kept], high[kept], class_="flown-band", data_lap=number))
        style = {"class_": tone(number), "stroke_dasharray": dash(number), "data_lap": number}
        lines.append(svg.polyline(px[kept], py[kept], **style))
        badges.append(_badge(px, py, number, taken))
    crowded = "crowded" if len(bands) > _FEW else None
    return svg.group(*bands, class_=crowded) + Markup("").join(lines) + Markup("").join(badges)


def _badge(px: Floats, py: Floats, number: int, taken: list[Box]) -> Markup:
    """Return the number of a lap on its line, where it hides no other."""
    good = np.flatnonzero(np.isfinite(px) & np.isfinite(py))
    if good.size == 0:
        return Markup("")
    shares = 0.06 + 0.06 * number + 0.03 * np.array([0, 1, -1, 2, 3, 4, 5, 6, 7, 8])
    spots = good[np.clip(np.round(good.size * shares).astype(int), 0, good.size - 1)]
    boxes = [badge_box(a, b) for a, b in zip(px[spots].tolist(), py[spots].tolist(), strict=True)]
    chosen = freest(boxes, taken, _NO_POINTS, _NO_POINTS, HEIGHT)
    taken.append(boxes[chosen])
    return badge(float(px[spots[chosen]]), float(py[spots[chosen]]), number)


def torn(angle: Floats, *values: Floats) -> tuple[Floats, ...]:
    """Return the arrays with a NaN put in wherever the angle steps over the edge of the paper."""
    breaks = np.flatnonzero(np.abs(np.diff(angle)) > _JUMP) + 1
    return tuple(np.insert(array, breaks, np.nan) for array in (angle, *values))
