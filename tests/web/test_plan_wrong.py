"""All fields of a plan that cannot be read are told at once, each beside itself, in few words."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from groundref.web.planning.made import made

DIGITS = "is not a number; write digits, such as 90 or 90.5."


def test_each_field_that_cannot_be_read_is_told() -> None:
    plan = made({"maneuver": "s-turns", "wind": "240/14", "radius_ft": "wide", "ias_kt": "fast", "laps": "x"})
    assert plan.wrong == {
        "radius_ft": f"'wide' {DIGITS}",
        "ias_kt": f"'fast' {DIGITS}",
        "laps": f"'x' {DIGITS}",
    }
    assert plan.field == next(iter(plan.wrong))


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (
            {"max_bank_deg": "abc", "radius_ft": "-5", "height_ft": "99999"},
            {
                "max_bank_deg": f"'abc' {DIGITS}",
                "radius_ft": "-5 is out of range; give 200 to 16000 ft.",
                "height_ft": "99999 is out of range; give 200 to 10000 ft.",
            },
        ),
        (  # a veer without a METAR is wrong beside the wind alone, and may not be without it
            {"wind": "240/400", "veer_deg": "5", "obstacle_ft": "-1", "laps": "500"},
            {
                "wind": "400 is out of range; give 0 to 99.",
                "obstacle_ft": "-1 is out of range; give 0 to 3000 ft.",
                "laps": "500 is out of range; give 0.25 to 100.",
            },
        ),
    ],
)
def test_numbers_out_of_range_are_told_with_what_cannot_be_read(
    said: dict[str, str], told: dict[str, str]
) -> None:
    plan = made({"maneuver": "s-turns"} | said)
    assert plan.content == ""
    assert plan.wrong == told


def test_what_could_fit_without_another_field_is_not_told() -> None:
    plan = made({"maneuver": "s-turns", "wind": "240/14", "radius_ft": "200", "ias_kt": "fast"})
    assert list(plan.wrong) == ["ias_kt"]


def test_a_plan_that_can_be_made_has_nothing_wrong() -> None:
    assert made({"maneuver": "s-turns", "wind": "240/14"}).wrong == {}


@pytest.mark.parametrize(("kind", "spacing"), [("eights-around-pylons", "1500"), ("eights-on-pylons", "500")])
def test_a_spacing_that_is_too_small_is_told_in_few_words(kind: str, spacing: str) -> None:
    plan = made({"maneuver": kind, "wind": "240/14", "spacing_ft": spacing})
    assert plan.field == "spacing_ft"
    assert "choose " in plan.says
    assert len(plan.says) < 110


def test_in_a_browser_all_are_marked_and_cleared(opened: Callable[..., Page]) -> None:
    page = opened("/plan?maneuver=s-turns&wind=240/14&radius_ft=wide&ias_kt=fast")
    for name in ("radius_ft", "ias_kt"):
        expect(page.locator(f"#{name}")).to_have_attribute("aria-invalid", "true")
        expect(page.locator(f"#{name}-wrong")).to_contain_text("is not a number")
    page.fill("#radius_ft", "900")
    expect(page.locator("#radius_ft-wrong")).to_be_empty()
    expect(page.locator("#ias_kt-wrong")).to_contain_text("'fast' is not a number")
    page.fill("#ias_kt", "90")
    expect(page.locator("[aria-invalid]")).to_have_count(0)
