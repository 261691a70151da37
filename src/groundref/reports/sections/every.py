"""Which section each kind of maneuver has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundref.reports.sections import arcs, around_a_point, on_pylons, rectangular_course, steep_turns
from groundref.reports.sections.parts import Section

SECTIONS: Final[Mapping[str, Section]] = {
    "turns-around-a-point": around_a_point.SECTION,
    "s-turns": arcs.SECTION,
    "rectangular-course": rectangular_course.SECTION,
    "eights-along-a-road": arcs.SECTION,
    "eights-across-a-road": arcs.SECTION,
    "eights-around-pylons": arcs.SECTION,
    "eights-on-pylons": on_pylons.SECTION,
    "steep-turns": steep_turns.SECTION,
}
