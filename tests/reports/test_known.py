"""How each figure is known: nothing on a page without it, nothing in the JSON without an entry."""

from __future__ import annotations

import re
from pathlib import Path

import lxml.html
import pytest

from groundref.assessment.findings import FAULTS
from groundref.reports import html, metric, reading
from groundref.reports.known import catalogue, of_standard, printed, printed_plan
from groundref.reports.known.blocks import Debriefed
from groundref.reports.known.entry import Known, sd_key, sentences, values
from groundref.standards.checks import UNITS
from tests.reports.told import untold

DOCS = Path(__file__).parents[2] / "docs" / "json.md"
UNIT = re.compile(r"_(ft|kt|deg|s|g|m|hpa|fpm|kg|inhg|c)$")


def numbers(document, path=()):
    """Paths of the numbers in a document, without positions in lists."""
    if isinstance(document, dict):
        return {key for name, value in document.items() for key in numbers(value, (*path, name))}
    if isinstance(document, list):
        return {key for value in document for key in numbers(value, path)}
    is_number = isinstance(document, int | float) and not isinstance(document, bool)
    return {".".join(path)} if is_number else set()


def deviation(key):
    return re.search(r"(^|[._])sd_|_sd$", key) is not None or key.endswith("covariance_kt2")


def known_keys(entries):
    return {key for one in entries for key in one.keys}


def test_every_figure_of_every_page_says_how_it_is_known(pages, name):
    assert untold(pages[name]) == []


def test_a_figure_without_a_note_is_noticed(pages):
    page = pages["two laps left"].replace('data-of="true airspeed"', 'data-of="another"')
    assert any(one.startswith("true airspeed") for one in untold(page))


def test_every_number_in_a_debrief_has_an_entry(debriefs):
    keys = {key.removeprefix("maneuvers.") for one in debriefs.values() for key in numbers(one.to_dict())}
    entries = (*catalogue.DEBRIEF, *of_standard.QUANTITIES.values(), *of_standard.FAULTS.values())
    assert {key for key in keys if not deviation(key)} - known_keys(entries) == set()
    assert len(keys) > 80


def section(begin, end):
    text = DOCS.read_text(encoding="utf-8")
    return text[text.index(begin) : text.index(end)]


@pytest.mark.parametrize(
    ("begin", "end", "entries"),
    [
        ("## The debrief:", "## The wind:", catalogue.DEBRIEF),
        ("## The plan:", "## The truth:", (*catalogue.PLAN, *catalogue.DEBRIEF)),
        ("## Progress:", "## The record's commands", catalogue.PROGRESS),
    ],
)
def test_every_figure_that_the_docs_name_has_an_entry(begin, end, entries):
    named = set(re.findall(r"`([a-z][a-z_0-9]+)`", section(begin, end)))
    figures = {name for name in named if UNIT.search(name) and not deviation(name)}
    assert len(figures) > 4
    assert figures - {key.rpartition(".")[2] for key in known_keys(entries)} == set()


def test_every_quantity_of_a_standard_and_every_error_has_an_entry():
    assert set(of_standard.QUANTITIES) == set(UNITS) - {"observed"}
    assert set(of_standard.FAULTS) == set(FAULTS)


def test_what_is_printed_stands_in_the_catalogue():
    for blocks, entries in (
        (printed.BLOCKS, catalogue.DEBRIEF),
        (printed_plan.PLAN, catalogue.PLAN),
        (printed_plan.PROGRESS, catalogue.PROGRESS),
    ):
        printed_keys = {key for names in blocks.values() for keys in names.values() for key in keys}
        assert printed_keys - known_keys(entries) == set()


def test_every_standard_deviation_that_an_entry_names_stands_in_the_json(debriefs):
    there = {key.removeprefix("maneuvers.") for one in debriefs.values() for key in numbers(one.to_dict())}
    named = {path for one in catalogue.DEBRIEF for path in one.sd}
    # No invented finding has a consequence with its deviation.
    assert named - there <= {"findings.consequence_sd_ft"}


def test_the_interval_is_the_one_that_holds_95_percent():
    """Against the normal quantile of scipy, a library that the catalogue does not use."""
    from scipy.stats import norm

    known = Known(("radius_ft",), "Derived", "a circle")
    said = sentences(known, ["radius_ft"], {"radius_ft": 1000.0, "radius_sd_ft": 100.0})
    assert said == f"Derived: a circle. 95% within ±{norm.ppf(0.975) * 100:.0f} ft."


def test_several_laps_say_from_least_to_most_and_nothing_is_known_to_zero():
    laps = {"laps": [{"radius_ft": 1.0, "radius_sd_ft": sd} for sd in (0.0001, 10.0)]}
    known = Known(("laps.radius_ft",), "Derived", "a circle")
    assert "95% within ±1 to ±20 ft." in sentences(known, ["laps.radius_ft"], laps)


def test_what_is_null_says_why():
    known = Known(("radius_ft",), "Derived", "a circle", cannot="no distance is held")
    assert sentences(known, ["radius_ft"], {"radius_ft": None}) == "Can't tell, because no distance is held."


def test_a_given_wind_and_place_are_said_to_be_given(debriefs):
    document = debriefs["two laps left"].to_dict()
    maneuver = document["maneuvers"][0]
    maneuver["reference"]["source"] = "given"
    document["flight"]["notes"] = ["The wind was given; the recording says another."]
    notes = Debriefed(document, maneuver).notes("facts", ["wind", "the point"])
    assert [note.says.partition(":")[0] for note in notes] == ["Given by you", "Given by you"]


def test_measured_and_derived_are_told_apart(debriefs):
    document = debriefs["two laps left"].to_dict()
    maneuver = document["maneuvers"][0]
    for source in ("measured", "derived"):
        maneuver["bank"]["source"] = source
        (note,) = Debriefed(document, maneuver).notes("facts", ["largest bank"])
        assert note.says.lower().startswith(source)


def test_names_of_deviations_and_paths_through_lists():
    assert (sd_key("laps.radius_ft"), sd_key("elements.worst")) == ("laps.radius_sd_ft", "elements.worst_sd")
    assert values({"laps": [{"at": 1}, {"at": None}, {}]}, "laps.at") == [1, None]


def test_text_from_a_file_cannot_name_another_figure():
    known = Known(("height_ft",), "Derived", "by {source}")
    assert "{height_ft}" in sentences(known, ["height_ft"], {"height_ft": 1.0, "source": "{height_ft}"})


@pytest.mark.parametrize("units", reading.UNITS)
def test_notes_name_what_stands_in_their_block(debriefs, units):
    """Elements and findings by the very words of the block, also where its measures are turned."""
    named = 0
    for debrief in debriefs.values():
        with reading.reading(units):
            text = html.page(debrief)
        tree = lxml.html.fromstring(metric.page(text) if units == reading.METRIC else text)
        for block in tree.xpath("//section[@class='findings' or @class='standard']"):
            notes = block.xpath(".//details[@class='known']/p/b")
            for each in block.xpath(".//details"):
                each.getparent().remove(each)
            shown = " ".join(block.text_content().split())
            for note in notes:
                for name in " ".join(note.text_content().split()).split(", "):
                    named += 1
                    assert name in shown
    assert named > 20
