"""The registry of common errors, what explains what, and the order in which they are said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from groundref.assessment.assessed import Finding
from groundref.assessment.explained import (
    above_pivotal,
    beyond_circle,
    closed_by_bank,
    demanded_by_circle,
    drifted_so_far,
    entry_alone,
    first_half_circle,
    laps_of_one_size,
    no_more_than_over_limit,
    only_first_lap,
    opened_by_bank,
    seldom_in_half_circles,
    small_side_alone,
    speed_from_height,
    started_in_band,
    wide_side_alone,
)
from groundref.assessment.faults import (
    airspeed_not_held,
    altitude_not_held,
    bank_held_constant,
    bank_not_held,
    bank_over_limit,
    circle_off_point,
    entry_angle,
    entry_between_pylons,
    entry_not_downwind,
    entry_too_close,
    entry_too_far,
    late_turn_entry,
    leg_distance_uneven,
    legs_woven,
    not_level_at_line,
    outside_height_band,
    overbanked_upwind,
    pivotal_altitude_not_followed,
    radius_changed,
    rollout_heading_missed,
    uncoordinated,
    underbanked_downwind,
    unequal_half_circles,
    wrong_crab,
)
from groundref.assessment.flown import Flown

Find = Callable[[Flown], Finding | None]
When = Callable[[Flown, Finding], bool]

AROUND: Final = (bank_held_constant, overbanked_upwind, underbanked_downwind)
HELD: Final = (altitude_not_held, airspeed_not_held, outside_height_band, bank_over_limit, uncoordinated)

# Which errors each kind of maneuver can show, in the order in which they are tested.
APPLIES: Final[dict[str, dict[str, Find]]] = {
    kind: {module.NAME: module.find for module in modules}
    for kind, modules in {
        "turns-around-a-point": (
            *AROUND,
            late_turn_entry,
            entry_not_downwind,
            entry_too_close,
            entry_too_far,
            circle_off_point,
            radius_changed,
            *HELD,
        ),
        "s-turns": (*AROUND, entry_not_downwind, unequal_half_circles, not_level_at_line, *HELD),
        "rectangular-course": (entry_angle, wrong_crab, leg_distance_uneven, legs_woven, *HELD),
        "eights-along-a-road": (*AROUND, radius_changed, *HELD),
        "eights-across-a-road": (*AROUND, radius_changed, wrong_crab, legs_woven, *HELD),
        "eights-around-pylons": (
            *AROUND,
            entry_between_pylons,
            radius_changed,
            wrong_crab,
            legs_woven,
            *HELD,
        ),
        "eights-on-pylons": (pivotal_altitude_not_followed, bank_over_limit, uncoordinated),
        "steep-turns": (
            bank_not_held,
            rollout_heading_missed,
            altitude_not_held,
            airspeed_not_held,
            uncoordinated,
        ),
    }.items()
}

# All of them.
FAULTS: Final[dict[str, Find]] = {name: find for faults in APPLIES.values() for name, find in faults.items()}

# What the straight flight before the turn shows.
ENTRY: Final = frozenset(
    module.NAME for module in (entry_not_downwind, entry_too_close, entry_too_far, late_turn_entry)
)
# What single samples show, however seldom they were taken.
HEIGHT: Final = frozenset(module.NAME for module in (altitude_not_held, outside_height_band))
# What shows where it was measured, however coarse the positions are.
MEASURED: Final = frozenset(module.NAME for module in (airspeed_not_held, bank_over_limit, uncoordinated))


def _told(flown: Flown) -> dict[str, Find]:
    """Return the faults of the kind that the recording can show at all."""
    faults = APPLIES[flown.maneuver.kind]
    if flown.seldom:
        return {name: find for name, find in faults.items() if name in HEIGHT}
    if flown.coarse:
        return {name: find for name, find in faults.items() if name in HEIGHT | MEASURED}
    return {name: find for name, find in faults.items() if flown.entry_told or name not in ENTRY}


def _always(_: Flown, __: Finding) -> bool:
    return True


def _in_few(flown: Flown, effect: Finding) -> bool:
    """Return whether an error of the loops is made in no more than half of them."""
    return 2 * len(effect.laps) <= len(flown.all_laps)


def _opened_most(flown: Flown, _: Finding) -> bool:
    """Return whether too little bank opened most of the loops."""
    cause = underbanked_downwind.find(flown)
    return cause is not None and not _in_few(flown, cause)


@dataclass(frozen=True, slots=True)
class Explanation:
    """A fault that explains another, so that only the cause is said.

    Attributes
    ----------
    cause, effect
        Names of the faults.
    when
        Whether it does so, given what was flown and the effect's finding.
    because
        Why, in one clause.
    """

    cause: str
    effect: str
    when: When
    because: str


EXPLANATIONS: Final = (
    Explanation("bank-held-constant", "overbanked-upwind", _always, "one bank all round is too steep upwind"),
    Explanation("bank-held-constant", "underbanked-downwind", _always, "and too shallow downwind"),
    Explanation("bank-held-constant", "radius-changed", _always, "and lets the circles walk downwind"),
    Explanation("bank-held-constant", "wrong-crab", _always, "and leaves the loop beside its place"),
    Explanation(
        "bank-held-constant", "straight-legs-not-straight", _always, "and the way back had to be found"
    ),
    *(
        Explanation(cause, "wrong-crab", _always, "the loop then ended beside its place")
        for cause in ("overbanked-upwind", "bank-over-limit")
    ),
    Explanation("underbanked-downwind", "wrong-crab", _opened_most, "the loop then ended beside its place"),
    Explanation("wrong-crab", "underbanked-downwind", _in_few, "the loop began off its circle"),
    Explanation("bank-over-limit", "straight-legs-not-straight", _always, "and the way had to be found"),
    Explanation("bank-held-constant", "entry-too-close", _always, "and leaves the entry behind"),
    Explanation("bank-held-constant", "entry-too-far", _always, "and leaves the entry behind"),
    Explanation("overbanked-upwind", "radius-changed", _always, "the circle closes there"),
    Explanation("underbanked-downwind", "radius-changed", _always, "the circle opens there"),
    Explanation("entry-too-close", "radius-changed", entry_alone, "later the circle was the same"),
    Explanation("entry-too-far", "radius-changed", entry_alone, "later the circle was the same"),
    Explanation("late-turn-entry", "radius-changed", entry_alone, "later the circle was the same"),
    Explanation("circle-off-point", "radius-changed", laps_of_one_size, "another place was flown about"),
    *(
        Explanation("circle-off-point", effect, _always, "another place was flown about")
        for effect in ("entry-too-close", "entry-too-far", "late-turn-entry")
    ),
    Explanation("bank-held-constant", "circle-off-point", _always, "and lets the circles walk downwind"),
    Explanation("overbanked-upwind", "entry-too-far", _always, "the circle closed after the entry"),
    Explanation("underbanked-downwind", "entry-too-close", _always, "the circle opened after the entry"),
    Explanation("entry-too-far", "underbanked-downwind", only_first_lap, "the wide entry was flown out"),
    Explanation("entry-too-close", "overbanked-upwind", only_first_lap, "the tight entry was flown out"),
    Explanation("uncoordinated", "underbanked-downwind", _always, "a skid turns without bank"),
    Explanation("uncoordinated", "overbanked-upwind", _always, "a slip needs more bank for the same turn"),
    Explanation(
        "bank-over-limit", "overbanked-upwind", no_more_than_over_limit, "and what follows corrects it"
    ),
    Explanation("bank-over-limit", "underbanked-downwind", _always, "and what follows corrects it"),
    Explanation("bank-over-limit", "radius-changed", _always, "the circle closes there"),
    Explanation("bank-held-constant", "unequal-half-circles", _always, "and widens what is flown downwind"),
    Explanation("bank-held-constant", "not-level-at-line", _always, "and the line comes early or late"),
    Explanation("unequal-half-circles", "overbanked-upwind", small_side_alone, "a small circle needs it"),
    Explanation("unequal-half-circles", "underbanked-downwind", wide_side_alone, "a wide circle needs less"),
    Explanation("unequal-half-circles", "bank-over-limit", demanded_by_circle, "the small side asked for it"),
    Explanation("overbanked-upwind", "unequal-half-circles", closed_by_bank, "half circles close there"),
    Explanation("underbanked-downwind", "unequal-half-circles", opened_by_bank, "half circles open there"),
    Explanation("bank-over-limit", "unequal-half-circles", beyond_circle, "half circles close there"),
    Explanation("uncoordinated", "unequal-half-circles", _always, "what the feet did moved the turn"),
    Explanation("entry-not-downwind", "overbanked-upwind", first_half_circle, "it began off its track"),
    Explanation("entry-not-downwind", "underbanked-downwind", first_half_circle, "it began off its track"),
    Explanation("entry-not-downwind", "bank-over-limit", first_half_circle, "it began off its track"),
    Explanation("not-level-at-line", "overbanked-upwind", _always, "each half circle began out of place"),
    Explanation("not-level-at-line", "underbanked-downwind", _always, "each half circle began out of place"),
    Explanation("not-level-at-line", "unequal-half-circles", _always, "each half circle began out of place"),
    Explanation(
        "underbanked-downwind", "overbanked-upwind", seldom_in_half_circles, "the wide turn was closed again"
    ),
    Explanation("late-turn-entry", "entry-too-far", _always, "the airplane flew on past the point"),
    Explanation(
        "entry-too-close", "bank-over-limit", demanded_by_circle, "the circle itself asked for the bank"
    ),
    Explanation("wrong-crab", "radius-changed", _always, "the way led past the place to turn at"),
    Explanation("straight-legs-not-straight", "wrong-crab", _always, "the track swung past it"),
    Explanation("straight-legs-not-straight", "radius-changed", _always, "the loop began off its circle"),
    Explanation(
        "straight-legs-not-straight", "underbanked-downwind", _always, "the loop began off its circle"
    ),
    Explanation("straight-legs-not-straight", "overbanked-upwind", _always, "the loop began off its circle"),
    Explanation("wrong-crab", "leg-distance-uneven", drifted_so_far, "the leg drifted to there"),
    Explanation(
        "pivotal-altitude-not-followed",
        "bank-over-limit",
        above_pivotal,
        "from above the pivotal height the wing comes down to the pylon steeply",
    ),
    Explanation("altitude-not-held", "airspeed-not-held", speed_from_height, "height was traded for speed"),
    Explanation("altitude-not-held", "outside-height-band", started_in_band, "the start was inside it"),
)


def said_and_explained(flown: Flown) -> tuple[tuple[Finding, ...], tuple[tuple[Finding, str], ...]]:
    """Return the faults to be said, strongest first, and those that one of them explains with why.

    What nothing explains is said. Where faults explain one another all round, the strongest of them is. Their
    sentences hold measures that are still open.

    Parameters
    ----------
    flown
        The evidence.
    """
    found = [finding for find in _told(flown).values() if (finding := find(flown)) is not None]
    by_name = {finding.fault: finding for finding in found}
    why = _why(flown, by_name)
    said: list[Finding] = []
    explained: dict[str, str] = {}
    effects = {effect for _, effect in why}
    for finding in sorted(found, key=lambda f: (f.fault in effects, -f.strength)):
        if finding.fault not in explained:
            said.append(finding)
            _follow(finding.fault, why, {each.fault for each in said}, explained)
    said.sort(key=lambda f: f.strength, reverse=True)
    return tuple(said), tuple((by_name[name], because) for name, because in explained.items())


def _why(flown: Flown, by_name: dict[str, Finding]) -> dict[tuple[str, str], str]:
    """Return which of the faults found explains which, and why."""
    return {
        (each.cause, each.effect): each.because
        for each in EXPLANATIONS
        if each.cause in by_name and each.effect in by_name and each.when(flown, by_name[each.effect])
    }


def _follow(cause: str, why: dict[tuple[str, str], str], said: set[str], explained: dict[str, str]) -> None:
    """Add what a fault explains, and what that explains in turn."""
    for (one, effect), because in why.items():
        if one == cause and effect not in said and effect not in explained:
            explained[effect] = because
            _follow(effect, why, said, explained)
