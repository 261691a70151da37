"""Judging one maneuver: from what was flown to elements and findings."""

from __future__ import annotations

from dataclasses import replace

from groundref.aircraft.aircraft import Aircraft
from groundref.assessment.assessed import Assessed, Finding
from groundref.assessment.elements import judge
from groundref.assessment.findings import said_and_explained
from groundref.assessment.flown import gather
from groundref.assessment.held import held
from groundref.assessment.notes import notes
from groundref.assessment.unplaced import not_looked_for
from groundref.detection.maneuver import Maneuver
from groundref.estimation.states import States
from groundref.measures import in_metric, in_us
from groundref.standards.standard import Standard


def assess(states: States, maneuver: Maneuver, standard: Standard, aircraft: Aircraft | None) -> Assessed:
    """Judge a maneuver against a standard and look for common errors.

    Parameters
    ----------
    states
        Motion over the whole flight.
    maneuver
        The maneuver found in it.
    standard
        The standard to judge by.
    aircraft
        The airplane; None when none was named.
    """
    flown = gather(states, maneuver, standard, aircraft)
    off = flown.entry_off
    said, explained = said_and_explained(flown)
    open_notes = notes(flown, explained)
    return Assessed(
        maneuver=maneuver,
        profile=flown.profile,
        altitude=held(flown.altitude, states, maneuver),
        airspeed=held(flown.airspeed, states, maneuver),
        bank=held(flown.bank, states, maneuver),
        height_reference=flown.height_reference,
        height_sd=flown.height_sd,
        bank_limit=flown.bank_limit,
        bank_limit_source=flown.bank_limit_source,
        elements=judge(flown),
        findings=tuple(_read(each) for each in said),
        notes=tuple(in_us(each) for each in open_notes),
        notes_metric=tuple(in_metric(each) for each in open_notes),
        not_looked_for=not_looked_for(flown),
        entry_off_downwind=None if off is None else flown.first_turn * off[0],
        entry_off_downwind_sd=None if off is None else off[1],
        entry_recorded=flown.entry_told,
        details=flown.details,
    )


def _read(finding: Finding) -> Finding:
    """Return a finding with its sentences in both kinds of units."""
    return replace(
        finding,
        says=in_us(finding.says),
        says_metric=in_metric(finding.says),
        cure=in_us(finding.cure),
        cure_metric=in_metric(finding.cure),
    )
