"""Before the flight: the bank, crab, ground speed and sight picture to expect at each place of a maneuver."""

from __future__ import annotations

from groundref.planning.around import Around
from groundref.planning.asked import Blowing, Day, Wanted, Where
from groundref.planning.planned import Plan, make, plan

__all__ = ["Around", "Blowing", "Day", "Plan", "Wanted", "Where", "make", "plan"]
