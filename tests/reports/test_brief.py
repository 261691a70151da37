"""The brief: one page of every kind on every paper, all positions on it, the same bytes each time."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date
from math import hypot, radians, tan

import pypdf
import pytest

import groundref
from groundref.assessment.findings import APPLIES, FAULTS
from groundref.planning import Blowing, Plan, Wanted
from groundref.planning.around import Around
from groundref.planning.asked import Where
from groundref.planning.cautions import STANDING, Weight
from groundref.reports import plan_words
from groundref.reports.brief import errors
from groundref.reports.brief.content import PAPERS, People
from groundref.reports.brief.render import page, picture_png
from groundref.units import degree, foot, knot

KINDS = tuple(APPLIES)
# Widths and heights of the papers in points: ISO 216 for A4 and A5 (210 × 297 mm, 148 × 210 mm), ANSI/ASME
# Y14.1 for Letter (8.5 × 11 in).
SIZES = {
    "a4": (210 / 25.4 * 72, 297 / 25.4 * 72),
    "a5": (148 / 25.4 * 72, 210 / 25.4 * 72),
    "letter": (612.0, 792.0),
}
PLACE = Where(latitude=radians(40.1), longitude=radians(-90.2), when=date(2026, 5, 1))


def planned(
    kind: str,
    *,
    where: Where | None = PLACE,
    gust: float = 0.0,
    around: Around | None = None,
    wanted: Wanted | None = None,
    speed: float = 14 * knot,
) -> Plan:
    wind = Blowing(speed=speed, direction_from=radians(240), gust=gust * knot)
    return groundref.plan(kind, wind=wind, where=where, around=around, wanted=wanted)


@pytest.fixture(scope="module")
def plans() -> dict[str, Plan]:
    return {kind: planned(kind) for kind in KINDS}


@pytest.fixture(scope="module")
def briefs(plans: dict[str, Plan]) -> dict[str, bytes]:
    return {kind: page(plan) for kind, plan in plans.items()}


def read(content: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(content))


def text_of(content: bytes) -> str:
    """Return the words of a page, white space run together, words broken at the end of a line joined."""
    raw = read(content).pages[0].extract_text()
    return re.sub(r"\s+", " ", re.sub(r"[-\u00ad\u2010\u2060]\s*\n\s*", "", raw))


def squeezed(words: str) -> str:
    """Return words without white space and hyphens, which a line's end may have put in or taken away."""
    return re.sub(r"[\s\-\u00ad\u2010\u2060]", "", words)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("kind", KINDS)
def test_one_page_with_every_position_and_caution(plans: dict[str, Plan], kind: str, paper: str) -> None:
    plan = plans[kind]
    content = page(plan, paper, People("Anna Example", "Ben Example"))
    reader = read(content)
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(SIZES[paper], abs=0.1)
    words = squeezed(text_of(content))
    schedule = plan.schedule
    for i in schedule.marked.nonzero()[0]:
        row = f"{schedule.name[i]}{schedule.time[i]:.0f}"
        assert squeezed(row) in words
    for caution in plan.cautions:
        assert squeezed(caution.says) in words or (paper == "a5" and caution.weight == Weight.NOTE)
    assert squeezed(STANDING) in words
    assert "AnnaExample" in words
    assert ("Remarks" in words) == (paper != "a5")
    assert "Engineout:" in words


@pytest.mark.parametrize("paper", PAPERS)
def test_the_fullest_plan_still_is_one_page(paper: str) -> None:
    """Gusts, a landing place out of reach, little bank: many cautions and the longest schedule."""
    crowded = Around(surroundings="open", landing_from_origin=(radians(60), 5000.0))
    plan = planned(
        "rectangular-course",
        gust=8.0,
        around=crowded,
        wanted=Wanted(height=600 * foot, bank_limit=30 * degree),
    )
    assert sum(c.weight > Weight.NOTE for c in plan.cautions) >= 1
    content = page(
        plan, paper, People("A student with a long name of several words", "Another one just as long")
    )
    assert len(read(content).pages) == 1
    words = squeezed(text_of(content))
    told = [c for c in plan.cautions if paper != "a5" or c.weight > Weight.NOTE]
    assert all(squeezed(caution.says) in words for caution in told)


def test_the_same_bytes_each_time(plans: dict[str, Plan]) -> None:
    kind = "turns-around-a-point"
    assert page(plans[kind]) == page(planned(kind))
    assert picture_png(plans[kind]) == picture_png(planned(kind))
    assert page(plans[kind]) != page(plans[kind], people=People(student="Anna Example"))


def test_no_clock_in_it(briefs: dict[str, bytes]) -> None:
    metadata = read(briefs["steep-turns"]).metadata
    assert metadata is not None
    assert metadata.creation_date is None
    assert metadata.title == "Steep turns, plan"


def test_what_gives_way_is_said() -> None:
    """98 kt, 1,000 ft and 30° in still air: tan φ = V²/(g R) gives 40.4°, and 30° takes 1,473 ft."""
    wanted = Wanted(true_airspeed=98 * knot, radius=1000 * foot, bank_limit=30 * degree)
    plan = groundref.plan("turns-around-a-point", wind=Blowing(speed=0.0, direction_from=0.0), wanted=wanted)
    words = text_of(page(plan))
    assert "they do not fit" in words
    assert "needs 40°" in words
    assert "fly 1,473 ft, 473 ft wider, not steeper" in words


def test_the_most_serious_caution_stands_first() -> None:
    wanted = Wanted(true_airspeed=100 * knot, radius=700 * foot)
    plan = planned("turns-around-a-point", wanted=wanted)
    words = text_of(page(plan))
    stops = [c.says for c in plan.cautions if c.weight == Weight.STOP]
    assert stops
    assert squeezed(words).index(squeezed(stops[0])) < squeezed(words).index("Entry")


def test_magnetic_stands_beside_true(plans: dict[str, Plan]) -> None:
    """2.1° west there: track 060 true is 062 magnetic."""
    assert "060/062" in text_of(page(plans["turns-around-a-point"]))
    assert "060/062" not in text_of(page(planned("turns-around-a-point", where=None)))


def test_text_of_the_user_is_no_markup(plans: dict[str, Plan]) -> None:
    content = page(plans["steep-turns"], people=People("#panic() *x* $y$ [z]", None))
    assert "#panic() *x* $y$ [z]" in text_of(content)


@pytest.mark.parametrize("kind", KINDS)
def test_the_texts_name_errors_that_the_kind_can_show(kind: str) -> None:
    said = errors.table("kinds")[kind]
    assert set(said["errors"]) <= set(APPLIES[kind])
    assert len(set(said["errors"])) == len(said["errors"]) >= 3
    assert len(said["look"]) == 3


def test_every_error_has_its_words() -> None:
    assert set(errors.table("errors")) == set(FAULTS)
    assert set(errors.table("kinds")) == set(APPLIES)


def test_every_number_in_the_texts_is_known(plans: dict[str, Plan]) -> None:
    for plan in plans.values():
        known = errors.numbers(plan)
        for one in errors.table("errors").values():
            for part in ("see", "cure"):
                one[part].format_map(known)


@pytest.mark.parametrize("kind", KINDS)
def test_no_number_that_is_missing_is_printed(briefs: dict[str, bytes], kind: str) -> None:
    words = text_of(briefs[kind])
    assert "can't tell" not in words
    assert not re.search(r"\b(nan|None|inf)\b", words)


def test_a_plan_without_cautions_has_no_frame(plans: dict[str, Plan]) -> None:
    bare = replace(plans["turns-around-a-point"], cautions=())
    words = text_of(page(bare))
    assert "CARE" not in words
    assert "STOP" not in words


def letters(content: bytes) -> dict[str, float]:
    """Return the size in points of the smallest letters of each piece of text on a page."""
    sizes: dict[str, float] = {}

    def seen(said: str, user: list[float], text: list[float], _font: object, size: float) -> None:
        if said.strip():
            # Length of the upright unit vector of the letters, after text and page matrices.
            upright = (text[2] * user[0] + text[3] * user[2], text[2] * user[1] + text[3] * user[3])
            sizes[said.strip()] = min(hypot(*upright) * size, sizes.get(said.strip(), 1e9))

    read(content).pages[0].extract_text(visitor_text=seen)
    return sizes


@pytest.mark.parametrize("kind", KINDS)
def test_a_kneeboard_is_read_at_arm_s_length(plans: dict[str, Plan], kind: str) -> None:
    """No letter below 7.5 points, within the hundredth of a point that the file keeps."""
    sizes = letters(page(plans[kind], "a5"))
    assert len(sizes) > 20
    assert min(sizes.values()) > 7.49


def test_the_limit_of_bank_stands_among_the_limits(plans: dict[str, Plan]) -> None:
    """Eights on pylons: CA.V.E.S5 has no more than about 40° (from memory), which is what is planned with."""
    for paper in PAPERS:
        assert "bank not above 40°" in text_of(page(plans["eights-on-pylons"], paper))


def stopped_plan() -> Plan:
    """22 kt, 1,000 ft at 90 kt: 49° of bank where the wind is behind."""
    wind = Blowing(speed=22 * knot, direction_from=radians(240))
    wanted = Wanted(radius=1000 * foot, bank_limit=30 * degree)
    return groundref.plan("turns-around-a-point", wind=wind, wanted=wanted)


@pytest.mark.parametrize("paper", PAPERS)
def test_what_is_not_to_be_flown_says_so_and_what_works_instead(paper: str) -> None:
    """In the wind's turn tan φ = (V + W)²/(g R) downwind (FAA-H-8083-25, radius of turn): R for 30°."""
    plan = stopped_plan()
    said = text_of(page(plan, paper))
    assert said.count("NOT TO BE FLOWN SO") == 2
    assert "Entry: not to be flown so" in said
    fast = plan.inputs.true_airspeed + 22 * knot
    radius = fast**2 / (9.80665 * tan(radians(30))) / foot
    assert f"radius {radius:,.0f} ft, bank up to 30°, ground speed" in said.replace("\u00a0", " ")
    assert f"to {fast / knot:.0f} kt." in said.replace("\u00a0", " ")


def test_a_plan_to_be_flown_is_not_marked(plans: dict[str, Plan]) -> None:
    for kind in ("turns-around-a-point", "rectangular-course"):
        said = text_of(page(plans[kind]))
        assert "NOT TO BE FLOWN" not in said
        assert "The plan that works" not in said


def test_width_that_does_not_mend_it_is_not_offered() -> None:
    """A landing place out of reach stays so on a wider circle."""
    far = Around(landing_from_origin=(radians(60), 9000.0))
    plan = planned("turns-around-a-point", around=far)
    said = text_of(page(plan))
    assert said.count("NOT TO BE FLOWN SO") == 2
    assert "The plan that works" not in said


@pytest.mark.parametrize("kind", KINDS)
def test_in_a_calm_nothing_is_said_to_change(kind: str) -> None:
    """Words that hang on the wind have others; each error named is one that the kind can show."""
    still = planned(kind, speed=0.0)
    said = [*errors.look_for(still), *(part for one in errors.errors(still) for part in one.values())]
    assert len(said) >= 9
    wrong = r"changing|never at rest|fastest|slowest|[Uu]pwind|(into|with) the wind|from a (tail|head)wind"
    assert not [each for each in said if re.search(wrong, each)]
    assert "crab up to" not in " ".join(value for _, value in plan_words.entry(still))
    kinds = errors.table("kinds")[kind]
    named = kinds.get("errors_calm", kinds["errors"])
    assert set(named) <= set(APPLIES[kind])
    assert len(set(named)) == len(named) >= 3
    assert len(kinds.get("look_calm", kinds["look"])) == 3


def test_with_wind_the_bank_is_said_to_change() -> None:
    windy = planned("turns-around-a-point")
    said = [*errors.look_for(windy), *(part for one in errors.errors(windy) for part in one.values())]
    assert any("always changing" in each for each in said)
    assert any("never at rest" in each for each in said)
