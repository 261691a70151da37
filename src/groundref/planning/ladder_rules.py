"""Rules of the ladder that change a number of the plan: radius, bank, wind, laps, direction."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from groundref.errors import NoSolutionError
from groundref.planning.asked import Wanted
from groundref.planning.fit import CEILING, TEACHING
from groundref.planning.ladder_advice import ADVICE, Advice
from groundref.planning.ladder_case import Case, Rule
from groundref.planning.step import Step
from groundref.planning.wider import TOLD, wide_enough
from groundref.standards.usual import APART, usual
from groundref.units import degree, foot, knot

WIDER: Final = 1.25
"""Where no bank limit says how much wider, a radius grows by this: a fifth less of tan φ everywhere."""
TIGHTER: Final = 0.9
BRISK: Final = 12.0 * knot
"""A wind in which a maneuver is first practiced less; own figure."""
_TOO_STEEP: Final = frozenset({"bank-over-limit"})
_BY_PLACE: Final = frozenset({"overbanked-upwind", "underbanked-downwind", "bank-held-constant"})
_HELD: Final = frozenset({"altitude-not-held", "airspeed-not-held"})
_ENTRY: Final = frozenset({"late-turn-entry", "entry-not-downwind", "entry-too-close", "entry-too-far"})
_ONE_RADIUS: Final = frozenset(
    {
        "turns-around-a-point",
        "s-turns",
        "eights-along-a-road",
        "eights-across-a-road",
        "eights-around-pylons",
    }
)
_PAIRS: Final = frozenset({"s-turns"})
_OTHER_WAY: Final = {
    "turns-around-a-point": "the point is then seen past the other wing, and a standard may ask for either",
    "rectangular-course": "the field is then seen past the other wing, and traffic patterns go either way",
}
_ANY_WAY: Final = "the picture over the nose is another one that way round, and a standard may ask for either"


def _wider(case: Case) -> tuple[Wanted, Step | None]:
    """Make the radius wider where the bank was too steep, or wrong by place in a brisk wind."""
    steep = case.seen(_TOO_STEEP) or case.not_met("bank")
    saw = steep or (case.seen(_BY_PLACE) if case.flown_wind >= BRISK else "")
    was = case.flown_radius
    if not saw or was is None or case.last.kind not in _ONE_RADIUS:
        return case.now, None
    radius, limit = _next_radius(case, was)
    why = "a wider circle needs less bank everywhere, and the bank has to change more slowly"
    if limit is not None:
        whose = "asked for" if case.asked.bank_limit is not None else "planned with last time"
        why += f"; the {limit / degree:.0f}° {whose} hold from there on"
    if case.asked.radius is not None:
        words = f"the {_feet(case.asked.radius)} asked for stand, where this rule would plan {_feet(radius)}"
        return case.now, Step("wider-radius", saw, words, why)
    wanted = replace(case.now, radius=radius, bank_limit=limit)
    change = f"radius {_feet(radius)} in place of {_feet(was)}"
    if case.now.spacing is not None and case.asked.spacing is None:
        wanted = replace(wanted, spacing=None)  # loops that wide may not fit between the pylons flown about
        change += f", about pylons {APART:g} of it apart"
    return wanted, Step("wider-radius", saw, change, why)


def _next_radius(case: Case, was: float) -> tuple[float, float | None]:
    """Return the radius to fly next [m], and the bank limit that decides it; None where none does."""
    inputs, limit = case.inputs, case.asked.bank_limit or case.flown.bank_limit
    grown = TOLD * round(WIDER * was / TOLD)
    if inputs is None:
        return grown, None
    try:
        if limit is not None and (held := wide_enough(inputs, limit, was)) > was:
            return held, limit
        return max(grown, wide_enough(inputs, CEILING, was)), case.asked.bank_limit
    except NoSolutionError:  # the wind leaves no way through: the plan itself says so
        return grown, case.asked.bank_limit


def _less_bank(case: Case) -> tuple[Wanted, Step | None]:
    """Plan with less bank where the kind has no one radius to widen."""
    saw = case.seen(_TOO_STEEP) or case.not_met("bank not above")
    texts = {
        "rectangular-course": "corners of less bank are wider and begun sooner, so nothing is hurried",
        "eights-on-pylons": "pylons farther away need less bank at the same height",
    }
    why = texts.get(case.last.kind)
    if not saw or why is None:
        return case.now, None
    if case.asked.bank_limit is not None:
        words = f"the {case.asked.bank_limit / degree:.0f}° asked for stand, where this rule would plan 30°"
        return case.now, Step("less-bank", saw, words, why)
    wanted = replace(case.now, bank_limit=TEACHING)
    return wanted, Step("less-bank", saw, "planned with no more than 30° of bank", why)


def _lighter(case: Case) -> tuple[Wanted, Step | None]:
    """Advise less wind where bank by place was wrong in a brisk one."""
    saw = case.seen(_BY_PLACE)
    if not saw or case.flown_wind < BRISK:
        return case.now, None
    why = (
        "the tangents of the banks are as the squares of the ground speeds, so with half of the wind they "
        "differ about half as much"
    )
    flown = f"{case.flown_wind / knot:.0f} kt"
    change = f"a day or an hour with less wind than these {flown}"
    if case.wind_given and case.wind is not None:
        now = f"the {case.wind.speed / knot:.0f} kt"
        lighter = case.wind.speed < case.flown_wind - 1.0 * knot
        change = f"{now} planned for in place of the {flown} flown in"
        if not lighter:
            change = f"{now} given stand, where this rule would ask for less than the {flown} flown in"
    return case.now, Step("less-wind", saw, change, why)


def _by_quarter(case: Case) -> tuple[Wanted, Step | None]:
    """Have the bank called out where it was wrong by place, and neither a radius nor the wind is changed."""
    saw = case.seen(_BY_PLACE) or (
        case.seen(_TOO_STEEP) if case.last.kind not in _ONE_RADIUS and not case.steps else ""
    )
    changed = case.now.radius != case.asked.radius and any(s.rule == "wider-radius" for s in case.steps)
    if not saw or changed:
        return case.now, None
    where = "corner" if case.last.kind == "rectangular-course" else "quarter"
    change = f"the bank of the table said aloud ahead of each {where}"
    if case.last.kind == "steep-turns":
        change = "the bank to hold said aloud before the roll-in, and the roll stopped there"
    why = (
        "the bank has to change ahead of the place, and who says it beforehand looks out for where it changes"
    )
    return case.now, Step("bank-called-out", saw, change, why)


def _advised(advice: Advice) -> Rule:
    """Return the rule that gives an advice."""

    def rule(case: Case) -> tuple[Wanted, Step | None]:
        saw = case.seen(advice.faults)
        if not saw:
            return case.now, None
        planned = case.now.radius or case.flown_radius or usual(case.last.kind).radius
        change = advice.by_kind.get(case.last.kind, advice.change).format(radius=_feet(planned))
        laps = case.now.laps
        if case.asked.laps is not None and advice.laps not in (None, case.asked.laps):
            change += f" (the {case.asked.laps:g} in a row asked for stand)"
        elif advice.laps is not None:
            laps = advice.laps
        return replace(case.now, laps=laps), Step(advice.rule, saw, change, advice.why)

    return rule


def _entries(case: Case) -> tuple[Wanted, Step | None]:
    """Fly several short ones where the entry was weak."""
    saw = case.seen(_ENTRY) or case.not_met("enter")
    if not saw:
        return case.now, None
    few, word = (2.0, "two") if case.last.kind in _PAIRS else (1.0, "one")
    why = "an entry is learned by entering, and what follows is only as good as it"
    change = f"several separate entries, with only {word} flown after each"
    if case.asked.laps is not None:
        return case.now, Step("more-entries", saw, f"{change}; {_stand(case.asked.laps)}", why)
    return replace(case.now, laps=few), Step("more-entries", saw, change, why)


def _more(case: Case) -> tuple[Wanted, Step | None]:
    """Fly more in a row where what should be held was weak."""
    saw = case.seen(_HELD) or case.not_met("altitude", "airspeed", "height")
    if not saw:
        return case.now, None
    habit = usual(case.last.kind).laps
    laps = habit + (2.0 if case.last.kind in _PAIRS else 1.0)
    change = f"{laps:g} in place of {habit:g} in a row"
    why = "the first ones settle height, airspeed and the bank; the later ones show whether it holds"
    if case.asked.laps is not None:
        return case.now, Step("more-laps", saw, f"{change}; {_stand(case.asked.laps)}", why)
    if case.now.laps is not None:
        return case.now, Step("more-laps", saw, f"once that is well, {change}", why)
    return replace(case.now, laps=laps), Step("more-laps", saw, change, why)


def _other_way(case: Case) -> tuple[Wanted, Step | None]:
    """Fly the other way round when all was well, as long as only one way was flown."""
    ways = {each.direction for each in case.flown.maneuvers}
    if case.steps or case.weak or ways not in ({"left"}, {"right"}):
        return case.now, None
    flown = next(iter(ways))
    other = "right" if flown == "left" else "left"
    change, why = f"turns to the {other}", _OTHER_WAY.get(case.last.kind, _ANY_WAY)
    if case.direction_given and case.asked.direction == flown:
        change = f"the {flown} asked for stands, where this rule would turn to the {other}"
        other = flown
    wanted = replace(case.now, direction=other)
    return wanted, Step("other-direction", f"nothing stood out to the {flown}", change, why)


def _tighter(case: Case) -> tuple[Wanted, Step | None]:
    """Make the radius tighter when all was well both ways."""
    was = case.flown_radius
    if case.steps or case.weak or was is None or case.last.kind not in _ONE_RADIUS:
        return case.now, None
    radius = TOLD * round(was * TIGHTER / TOLD)
    change = f"radius {_feet(radius)} in place of {_feet(was)}"
    why = "a tighter circle asks for more bank and a quicker change of it, within the same limit"
    saw = "nothing stood out either way"
    if case.asked.radius is not None or case.asked.bank_limit is not None:
        stands = "radius" if case.asked.radius is not None else "bank limit"
        words = f"the {stands} asked for stands, where this rule would plan {_feet(radius)}"
        return case.now, Step("tighter-radius", saw, words, why)
    return replace(case.now, radius=radius), Step("tighter-radius", saw, change, why)


def _none_fits(case: Case) -> tuple[Wanted, Step | None]:
    """Say that no rule fits, where none did."""
    if case.steps:
        return case.now, None
    if case.weak:
        why = "what the debrief says to do next time stands, and the instructor chooses how"
        return case.now, Step("none", case.weak, "no rule fits, so nothing is changed", why)
    why = "no rule makes this maneuver harder step by step, so the instructor chooses"
    return case.now, Step("none", "nothing stood out", "flown again as it was", why)


def _feet(length: float) -> str:
    return f"{length / foot:,.0f} ft"


def _stand(laps: float) -> str:
    return f"but the {laps:g} asked for stand"


RULES: Final[tuple[Rule, ...]] = (
    _wider,
    _less_bank,
    _lighter,
    _by_quarter,
    *(_advised(advice) for advice in ADVICE),
    _entries,
    _more,
    _other_way,
    _tighter,
    _none_fits,
)
