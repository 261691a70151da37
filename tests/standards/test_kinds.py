"""Standards for every kind of maneuver: targets, minimums, rules, and what a wrong file is answered."""

from __future__ import annotations

import re

import pytest

from groundref.errors import InputError
from groundref.standards.checks import BASES, TARGETS, UNITS
from groundref.standards.loading import KINDS, load_standard, parse_standard, standard_names
from groundref.standards.standard import Element

NAMES = ("commercial-pilot", "european-example", "flight-instructor", "private-pilot")
# What is wanted of an element of each kind before any verdict can be given.
NEEDED = {
    "s-turns": {"crossing", "level-at-line", "radius"},
    "rectangular-course": {"leg-distance", "entry-angle"},
    "turns-around-a-point": {"radius", "entry"},
    "eights-along-a-road": {"radius"},
    "eights-across-a-road": {"radius", "level-at-line"},
    "eights-around-pylons": {"radius", "straight-segment"},
    "eights-on-pylons": {"pivotal-height", "pylon", "straight-segment", "bank"},
    "steep-turns": {"bank-held", "rollout-heading", "altitude", "airspeed"},
}

OWN = """
name = "own"
title = "Own"
publication = "School manual"
edition = "2026"

[[task]]
kind = "{kind}"
title = "Ours"

[[task.element]]
code = "S1"
what = "something"
quantity = "{quantity}"
{keys}
published = true
source = "School manual, p. 1"
confirmed = true

{more}
"""


def own(quantity: str, keys: str, kind: str = "steep-turns", more: str = "") -> str:
    return OWN.format(quantity=quantity, keys=keys, kind=kind, more=more)


def only_element(text: str) -> Element:
    ((element,),) = [task.elements for task in parse_standard(text, "own.toml").tasks]
    return element


def refusal(text: str) -> str:
    with pytest.raises(InputError) as refused:
        parse_standard(text, "own.toml")
    assert refused.value.remedy
    assert "\n" not in str(refused.value)
    return str(refused.value)


def test_the_package_brings_these() -> None:
    assert tuple(standard_names()) == NAMES


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", KINDS)
def test_every_standard_has_a_task_for_every_kind(name: str, kind: str) -> None:
    task = load_standard(name).task(kind)
    assert task is not None
    assert {element.quantity for element in task.elements} >= NEEDED[kind]


@pytest.mark.parametrize("name", NAMES)
def test_every_element_is_whole(name: str) -> None:
    for task in load_standard(name).tasks:
        for element in task.elements:
            assert element.unit == UNITS[element.quantity]
            assert (element.target is not None) == (element.quantity in TARGETS)
            assert element.basis in BASES
            assert element.what
            assert element.source
            assert element.published == (element.basis != "practice")
            if not element.published:
                assert "common practice, no source" in element.source, element.code


@pytest.mark.parametrize("name", NAMES)
def test_the_code_says_whose_a_number_is(name: str) -> None:
    for task in load_standard(name).tasks:
        for element in task.elements:
            assert element.code.startswith("handbook-") == (element.basis == "handbook"), element.code
            if element.code.startswith("practice-"):
                assert element.basis == "practice"
            if re.match("(PA|CA)\\.", element.code):
                assert element.basis == "standard"


@pytest.mark.parametrize("name", NAMES)
def test_no_code_is_called_twice_for_one_quantity(name: str) -> None:
    for task in load_standard(name).tasks:
        named = [(element.code, element.quantity) for element in task.elements]
        assert len(set(named)) == len(named), task.kind


@pytest.mark.parametrize("name", NAMES)
def test_the_words_agree_with_the_numbers(name: str) -> None:
    """The number that is judged is the one that a person reads."""
    for task in load_standard(name).tasks:
        for element in task.elements:
            for number in (element.limit, element.minimum, element.target):
                if number is not None:
                    assert f"{number:,g}" in re.findall(r"\d[\d,.]*\d|\d", element.what), element.what


@pytest.mark.parametrize("name", NAMES)
def test_every_standard_has_its_rules(name: str) -> None:
    rules = load_standard(name).rules
    sources = " ".join(rule.source for rule in rules)
    wanted = (
        ("SERA.5005(f)(1)", "SERA.5005(f)(2)")
        if name == "european-example"
        else ("91.119(a)", "91.119(b)", "91.119(c)", "91.303", "91.307(c)")
    )
    for paragraph in wanted:
        assert paragraph in sources
    assert {rule.source for rule in rules if rule.confirmed} <= {"14 CFR 91.303"}


def test_the_example_says_that_it_is_one() -> None:
    example = load_standard("european-example")
    assert example.title == "European example"
    assert "not an official standard" in example.publication
    assert example.note.startswith("AN EXAMPLE")
    for task in example.tasks:
        for element in task.elements:
            assert element.code.startswith(("example-", "handbook-", "practice-")), element.code


def test_instructor_codes_that_were_not_confirmed_are_own_names() -> None:
    instructor = load_standard("flight-instructor")
    assert "could not be confirmed" in instructor.note
    for task in instructor.tasks:
        for element in task.elements:
            assert not re.match(r"[A-Z]{2}\.", element.code), element.code
            if "FAA-S-ACS-25" in element.source:
                assert not element.confirmed


@pytest.mark.parametrize("quantity", sorted(set(UNITS) - {"observed", "height-band"} - set(TARGETS)))
def test_every_quantity_takes_a_limit_in_its_unit_or_none(quantity: str) -> None:
    element = only_element(own(quantity, f'limit = 7\nunit = "{UNITS[quantity]}"'))
    assert (element.limit, element.unit, element.target) == (7, UNITS[quantity], None)
    without = only_element(own(quantity, ""))
    assert (without.limit, without.unit) == (None, UNITS[quantity])


@pytest.mark.parametrize(("quantity", "target"), [("bank-held", 45), ("entry-angle", 135.5)])
def test_a_target_is_kept(quantity: str, target: float) -> None:
    element = only_element(own(quantity, f'limit = 5\ntarget = {target}\nunit = "deg"'))
    assert (element.limit, element.target) == (5, target)


def test_a_straight_segment_may_have_a_minimum() -> None:
    element = only_element(own("straight-segment", 'minimum = 3\nlimit = 5\nunit = "s"'))
    assert (element.minimum, element.limit) == (3, 5)


def test_rules_are_kept_in_their_order() -> None:
    rule = '[[rule]]\nwhat = "Above {}."\nsource = "Manual"\nconfirmed = false\n'
    standard = parse_standard(own("bank", "", more=rule.format("A") + rule.format("B")), "own.toml")
    assert [found.what for found in standard.rules] == ["Above A.", "Above B."]
    assert parse_standard(own("bank", ""), "own.toml").rules == ()


HELD = 'limit = 5\nunit = "deg"\n'


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (own("bank-held", HELD), "element 1, target: bank-held needs a target"),
        (own("entry-angle", HELD), "element 1, target: entry-angle needs a target"),
        (own("bank-held", "target = 45"), "element 1, limit: bank-held needs a limit"),
        (own("entry-angle", "target = 45"), "element 1, limit: entry-angle needs a limit"),
        (own("bank-held", HELD + "target = 90"), "element 1, target: 90 is no target of bank-held"),
        (own("bank-held", HELD + "target = nan"), "element 1, target: nan is no target of bank-held"),
        (own("bank-held", HELD + "target = 0"), "element 1, target: 0 is no target of bank-held"),
        (own("entry-angle", HELD + "target = -45"), "element 1, target: -45 is no target of entry-angle"),
        (own("bank", HELD + "target = 45"), "element 1, target: bank has no target"),
        (own("observed", "target = 45"), "element 1, target: observed has no target"),
        (own("straight-segment", "minimum = 3"), "element 1, minimum: a minimum needs a limit beside it"),
        (
            own("straight-segment", 'minimum = 5\nlimit = 5\nunit = "s"'),
            "element 1, minimum: the minimum 5 does not lie below the limit 5",
        ),
        (own("crossing", 'limit = 5\nunit = "ft"'), "element 1, unit: a limit of crossing is in 'deg'"),
        (own("straight-segment", 'limit = 5\nunit = "min"'), "unit: a limit of straight-segment is in 's'"),
        (own("pylon", 'unit = "rad"'), "element 1, unit: a limit of pylon is in 'deg', not 'rad'"),
        (own("observed", 'unit = "ft"'), "element 1, unit: an observed element has no unit"),
        (own("pilon", HELD), "own.toml: task 1, element 1, quantity: there is no quantity 'pilon'"),
        (own("bank", HELD, kind="chandelle"), "own.toml: task 1, kind: there is no maneuver 'chandelle'"),
        (
            own("bank", HELD, more='[[rule]]\nwhat = "High."\nconfirmed = true'),
            "own.toml: rule 1: the key `source` is missing",
        ),
        (
            own("bank", HELD, more='[[rule]]\nwhat = "High."\nsource = "x"\nconfirmed = "no"'),
            "own.toml: rule 1, confirmed: expected true or false, found text",
        ),
        (
            'name = ""\ntitle = ""\npublication = ""\nedition = ""\ntask = []',
            "own.toml: task: there is no task",
        ),
        (
            OWN[: OWN.index("[[task.element]]")].format(kind="s-turns") + "element = []",
            "own.toml: task 1, element: the task has no elements",
        ),
    ],
)
def test_a_wrong_file_is_answered_in_one_sentence(text: str, sentence: str) -> None:
    assert sentence in refusal(text)
