"""The rectangular course: legs along a boundary, and the turns between them."""

from __future__ import annotations

from collections.abc import Sequence

from groundref.angles import difference
from groundref.assessment.assessed import Assessed
from groundref.assessment.details import CornerFlown, CourseFlown, LegFlown
from groundref.debriefing import Debrief
from groundref.reports import facts, svg, tables, words
from groundref.reports.cells import Cell, length, speed
from groundref.reports.figures import course, quantities, strips
from groundref.reports.sections import common
from groundref.reports.sections.parts import Figure, Key, Section, Table, Track, mark


def _figures(debrief: Debrief, assessed: Assessed, name: str) -> list[Figure]:
    m = assessed.maneuver
    look = "field" if m.reference.source == "given" else "field fitted"
    box = mark(svg.tag("rect", x="1", y="1", width="38", height="10", class_=look))
    keys = [
        Key(box, f"the rectangle, {facts.how_known(m.reference)}"),
        *common.lap_keys(assessed, plain=True),
        *common.planned_keys(assessed),
    ]
    above = Figure("above", "The course from above", course.draw(debrief, assessed, f"{name}-above"), keys)
    drawn = strips.drawable(debrief, assessed, (quantities.outside, quantities.crab))
    legs = common.time_figure(
        debrief, assessed, f"{name}-legs", "Distance and crab on the legs", drawn, _CRAB
    )
    return [above, legs] if drawn else [above]


_CRAB = (
    "Lines break in the turns. Where the nose stands off the side by just the crab that it needs, the track"
    " runs along the side."
)


def _tables(debrief: Debrief, assessed: Assessed) -> list[Table]:
    # A circuit is straight for most of the time: its smallest bank says nothing.
    rows = [row for row in tables.common_rows(debrief, assessed) if row.name != "smallest bank"]
    found = [common.lap_table(debrief, assessed, rows)]
    given = assessed.maneuver.reference.source == "given"
    if isinstance(assessed.details, CourseFlown):
        found = [
            legs_table(assessed.details.legs, _distances(given)),
            corners_table(assessed.details.corners),
            *found,
        ]
    return found


def _distances(given: bool) -> str:
    where = "the boundary" if given else "the mean of each side, as the rectangle was fitted"
    return f"Distances are outside {where}, − inside; crab is how far the nose stands off the side."


def legs_table(legs: Sequence[LegFlown], says: str) -> Table:
    """Return what was flown on each leg.

    Parameters
    ----------
    legs
        In the order flown.
    says
        What distances are counted from.
    """
    heads = (
        "circuit · leg", "track off course", "crab flown", "crab needed", "mean distance", "nearest",
        "farthest", "ground speed",
    )  # fmt: skip
    rows = [
        (
            f"{leg.lap} · {leg.name}",
            [
                Cell(tables.sided(leg.off_course, leg.off_course_sd)),
                Cell(tables.sided(leg.crab)),
                Cell(tables.sided(leg.crab_needed, leg.crab_sd)),
                length(leg.distance, leg.distance_sd),
                length(leg.distance_min),
                length(leg.distance_max),
                speed(leg.ground_speed),
            ],
        )
        for leg in legs
    ]
    return Table("legs", "Leg by leg", "What was flown on each leg", heads, rows, says)


def corners_table(corners: Sequence[CornerFlown]) -> Table:
    """Return how each corner was turned."""
    heads = (
        "circuit · corner",
        "track turned",
        "heading turned",
        "heading needed",
        "largest bank",
        "next leg",
    )
    rows = [
        (
            f"{corner.lap} · {corner.name}",
            [
                Cell(tables.turned(corner.track_turn)),
                Cell(tables.turned(corner.heading_turn)),
                Cell(tables.turned(corner.heading_turn_needed)),
                Cell(words.degrees(corner.bank_max)),
                _overshoot(corner),
            ],
        )
        for corner in corners
    ]
    says = (
        "With a crab on the legs, a corner takes more or less than 90° of heading: from crab to crab."
        " Next leg: how far beyond its line the airplane went after the turn, or stayed short of it."
    )
    return Table("corners", "Corner by corner", "How each corner was turned", heads, rows, says)


def _overshoot(corner: CornerFlown) -> Cell:
    """Return how far beyond or short of the line of the next leg the turn ended."""
    far = length(abs(corner.overshoot), corner.overshoot_sd)
    if words.length(abs(corner.overshoot)) in {words.length(0.0), words.CANNOT_TELL}:
        return far
    return Cell(f"{far.main} {'beyond' if corner.overshoot > 0 else 'short'}", far.metric)


def _moving(debrief: Debrief, assessed: Assessed) -> dict[str, Track]:
    return {"above": common.on_the_ground(debrief, assessed)}


def _says(debrief: Debrief, assessed: Assessed, step: int) -> tuple[str, ...]:
    at = assessed.maneuver.first + step
    time = float(debrief.states.time[at])
    details = assessed.details
    legs = details.legs if isinstance(details, CourseFlown) else ()
    leg = next((each for each in legs if each.start <= time <= each.end), None)
    if leg is None or not isinstance(details, CourseFlown):
        return ("turning", f"bank {words.degrees(abs(float(debrief.states.bank[at])))}")
    return (
        leg.name,
        _from_the_side(float(details.outside[step]), assessed.maneuver.reference.source == "given"),
        f"nose {tables.sided(_off_the_side(debrief, leg, at))} of the side's direction",
        f"needed {tables.sided(leg.crab_needed)}",
    )


def _from_the_side(outside: float, given: bool) -> str:
    if given:
        return f"{words.length(outside)} outside the boundary"
    side = "outside" if outside > 0 else "inside"
    return f"{words.length(abs(outside))} {side} the mean of this side"


def _off_the_side(debrief: Debrief, leg: LegFlown, at: int) -> float:
    return float(difference(debrief.states.heading[at], leg.course))


SECTION = Section(_figures, common.along_figure, _tables, facts.facts, _moving, _says)
