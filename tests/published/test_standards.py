"""The numbers of the standards that come with the package, against the publications they name.

Each row is one printed number. How it was had: "read" in a copy of the document, "quoted" in a secondary copy
or quotation, "memory" where it is to be verified. The data must not claim more than that.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import pytest

from groundref.standards.loading import load_standard
from groundref.standards.standard import Element


class Printed(NamedTuple):
    """One number as printed, where, and how it was had."""

    standard: str
    kind: str
    code: str
    quantity: str
    minimum: float | None
    target: float | None
    limit: float
    source: str
    had: str


ACS6_B: Final = "FAA-S-ACS-6, area V task B"
PRIVATE, COMMERCIAL, EUROPEAN = "private-pilot", "commercial-pilot", "european-example"
POINT, S_TURNS, COURSE, STEEP, ON_PYLONS = (
    "turns-around-a-point",
    "s-turns",
    "rectangular-course",
    "steep-turns",
    "eights-on-pylons",
)


def steep(standard: str, area: str, bank: float, source: str) -> list[Printed]:
    """Return the four numbers of steep turns: within 100 ft, 10 kt, 5° of bank and 10° of heading."""
    code = f"{area}.S5"
    return [
        Printed(standard, STEEP, code, "altitude", None, None, 100, source, "quoted"),
        Printed(standard, STEEP, code, "airspeed", None, None, 10, source, "quoted"),
        Printed(standard, STEEP, code, "bank-held", None, bank, 5, source, "quoted"),
        Printed(standard, STEEP, code, "rollout-heading", None, None, 10, source, "quoted"),
    ]


BANDS = [(COURSE, "PA.V.B.S3a"), (S_TURNS, "PA.V.B.S3b"), (POINT, "PA.V.B.S3c")]
EIGHTS = ["eights-along-a-road", "eights-across-a-road", "eights-around-pylons"]
HANDBOOK_BAND = "FAA-H-8083-3B, ground reference chapter"
HANDBOOK_BANK = "FAA-H-8083-3C p. 7-5"
AMC = "AMC1 FCL.235"
ROWS = [
    *(Printed(PRIVATE, kind, code, "height-band", 600, None, 1000, ACS6_B, "quoted") for kind, code in BANDS),
    *(Printed(PRIVATE, k, "PA.V.B.S7", "altitude", None, None, 100, ACS6_B, "quoted") for k, _ in BANDS),
    *(Printed(PRIVATE, k, "PA.V.B.S7", "airspeed", None, None, 10, ACS6_B, "quoted") for k, _ in BANDS),
    *(Printed(PRIVATE, k, "handbook-bank", "bank", None, None, 45, HANDBOOK_BANK, "read") for k, _ in BANDS),
    *(
        Printed(name, kind, "handbook-height", "height-band", 600, None, 1000, HANDBOOK_BAND, "quoted")
        for name in (PRIVATE, COMMERCIAL)
        for kind in EIGHTS
    ),
    *(
        Printed(PRIVATE, kind, "handbook-bank", "bank", None, None, 45, HANDBOOK_BANK, "read")
        for kind in EIGHTS
    ),
    *steep(PRIVATE, "PA.V.A", 45, "FAA-S-ACS-6, area V task A"),
    *steep(COMMERCIAL, "CA.V.A", 50, "FAA-S-ACS-7, area V task A"),
    Printed(
        COMMERCIAL, ON_PYLONS, "CA.V.E.S5", "bank", None, None, 40, "FAA-S-ACS-7, area V task E", "quoted"
    ),
    Printed(
        COMMERCIAL,
        ON_PYLONS,
        "handbook-straight-segment",
        "straight-segment",
        3,
        None,
        5,
        "FAA-H-8083-3 and the older practical test standards",
        "quoted",
    ),
    Printed(EUROPEAN, STEEP, "example-altitude", "altitude", None, None, 150, AMC, "quoted"),
    Printed(EUROPEAN, STEEP, "example-airspeed", "airspeed", None, None, 15, AMC, "quoted"),
    Printed(EUROPEAN, STEEP, "example-rollout", "rollout-heading", None, None, 10, AMC, "quoted"),
]


def find(row: Printed) -> Element:
    task = load_standard(row.standard).task(row.kind)
    assert task is not None
    (found,) = [e for e in task.elements if (e.code, e.quantity) == (row.code, row.quantity)]
    return found


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.standard} {row.kind} {row.code} {row.quantity}")
def test_number_as_printed(row: Printed) -> None:
    element = find(row)
    assert (element.minimum, element.target, element.limit) == (row.minimum, row.target, row.limit)
    assert element.published
    assert element.confirmed == (row.had == "read")
    assert element.source.startswith(row.source.split(",")[0].split(" ")[0])


def test_nothing_else_is_called_a_number_of_the_standard() -> None:
    """Every number that the two American standards are said to print is a row above."""
    rows = {(row.standard, row.kind, row.code, row.quantity) for row in ROWS}
    for name in (PRIVATE, COMMERCIAL):
        for task in load_standard(name).tasks:
            for element in task.elements:
                if element.limit is not None and element.published and element.basis == "standard":
                    assert (name, task.kind, element.code, element.quantity) in rows, element.code


@pytest.mark.parametrize(("kind", "quantity"), [(POINT, "bank"), (POINT, "radius"), (S_TURNS, "crossing")])
def test_what_task_b_does_not_print_is_not_said_to_be_printed(kind: str, quantity: str) -> None:
    """FAA-S-ACS-6 area V task B: no limit of bank and no tolerance of radius or crossing (two copies)."""
    task = load_standard(PRIVATE).task(kind)
    assert task is not None
    assert all(e.basis != "standard" for e in task.elements if e.quantity == quantity)


@pytest.mark.parametrize(
    ("standard", "source", "numbers"),
    [
        (PRIVATE, "14 CFR 91.119(b)", ("1,000 ft", "2,000 ft")),
        (PRIVATE, "14 CFR 91.119(c)", ("500 ft",)),
        (PRIVATE, "14 CFR 91.303", ("1,500 ft", "4 NM", "3 miles")),
        (PRIVATE, "14 CFR 91.307(c)", ("60°", "30°")),
        (EUROPEAN, "SERA.5005(f)(1)", ("1,000 ft", "600 m")),
        (EUROPEAN, "SERA.5005(f)(2)", ("500 ft", "150 m")),
    ],
)
def test_rule_as_printed(standard: str, source: str, numbers: tuple[str, ...]) -> None:
    """14 CFR 91.303 was read in a copy of the rule; the others in quotations of it."""
    (rule,) = [rule for rule in load_standard(standard).rules if rule.source == source]
    assert rule.confirmed == (source == "14 CFR 91.303")
    for number in numbers:
        assert number in rule.what


def test_the_american_standards_carry_the_same_rules() -> None:
    assert load_standard(PRIVATE).rules == load_standard(COMMERCIAL).rules
    assert load_standard(PRIVATE).rules == load_standard("flight-instructor").rules


def test_instructor_applicants_are_held_to_the_numbers_of_the_other_two() -> None:
    instructor = load_standard("flight-instructor")
    for name, kinds in ((PRIVATE, (POINT, S_TURNS, COURSE)), (COMMERCIAL, (STEEP, ON_PYLONS))):
        for kind in kinds:
            ours, theirs = instructor.task(kind), load_standard(name).task(kind)
            assert ours is not None
            assert theirs is not None
            numbers = [
                [
                    (e.quantity, e.minimum, e.target, e.limit)
                    for e in task.elements
                    if e.quantity != "observed"
                ]
                for task in (ours, theirs)
            ]
            assert numbers[0] == numbers[1], kind
