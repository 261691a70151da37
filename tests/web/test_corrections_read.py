"""What a form of corrections says, read: all that is wrong in it at once, by the labels of its fields."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from typing import Any

import pytest

from groundref.record.asked import Asked, Stretch
from groundref.web import altimeter
from groundref.web.corrections import corrected, rows
from groundref.web.wrong import FieldsError
from tests.record.invented import flown

CLOCK = "write a time of day, UTC, such as 14:05:30"
DEGREES = "write latitude,longitude in degrees, −90 to 90 and −180 to 180"
WITHIN = "give a time from 14:00:00 to 14:30:53 UTC"  # of the invented flight
NUMBER = "write a number, or leave it empty"
SETTING = "give 850 to 1083 hPa or 25 to 32 inHg"
NEW = "of the maneuver that was not found"


@pytest.fixture(scope="module")
def document() -> Any:
    """A debrief with one maneuver."""
    return json.loads(flown().document)


def form(document: Any) -> dict[str, str]:
    """The form as the page has it."""
    return {
        f"{name}-{row.number}": text
        for row in rows(document, Asked())
        for name, text in (("kind", row.kind), ("from", row.start), ("to", row.end))
    }


def test_a_form_as_it_was_made_says_nothing_new(document: Any) -> None:
    assert corrected(form(document), document, Asked()) == Asked()


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"ground_ft": "high"}, [f"Ground elevation: 'high' is not a number; {NUMBER}."]),
        ({"ground_ft": "nan"}, [f"Ground elevation: 'nan' is not a number; {NUMBER}."]),
        ({"ground_ft": "99999"}, ["Ground elevation: 99999 is out of range; give -2000 to 30000 ft."]),
        ({"altimeter_hpa": "35.1"}, [f"Altimeter setting: 35.1 is out of range; {SETTING}."]),
        ({"altimeter_hpa": "A3402"}, [f"Altimeter setting: A3402 is out of range; {SETTING}."]),
        ({"wind": "240/99"}, ["Wind: 99 is out of range; give 0 to 80 kt."]),
        (
            {"point": "40.1"},
            [f"Point turned about: '40.1' is not a place; {DEGREES}."],
        ),
        (
            {"point": "95,-200"},
            [
                "Point turned about: Latitude 95 is out of range and longitude -200 is out of range; "
                f"{DEGREES}."
            ],
        ),
        (
            {"line": "x,-75 40.1,190"},
            [
                f"Line: 'x' is not a latitude and longitude 190 is out of range; {DEGREES}, a space between "
                "places."
            ],
        ),
        (
            {
                "to-1": "08:00",
                "ground_ft": "high",
                "from-new": "23:00",
                "to-new": "14:05",
                "kind-new": "none",
            },
            [
                f"Ground elevation: 'high' is not a number; {NUMBER}.",
                f"End of maneuver 1: 08:00 is outside the recording; {WITHIN}.",
                f"Beginning {NEW}: 23:00 is outside the recording; {WITHIN}.",
            ],
        ),
        (
            {"kind-new": "s-turns"},
            [
                f"{one} {NEW}: It is empty; kind, beginning and end go together."
                for one in ("Beginning", "End")
            ],
        ),
        (
            {"kind-new": "circles", "from-new": "14:00", "to-new": "14:05"},
            [
                "What the maneuver that was not found was: There is no maneuver 'circles'; "
                "choose one of the list."
            ],
        ),
        (
            {"kind-new": "s-turns", "from-new": "soon", "to-new": "14:05"},
            [f"Beginning {NEW}: 'soon' is not a time; {CLOCK}."],
        ),
        ({"to-1": ""}, [f"End of maneuver 1: It is empty; {CLOCK}."]),
        (
            {"ground_ft": "high", "wind": "240/99", "to-1": "later", "from-1": "never", "altimeter_hpa": "1"},
            [
                f"Ground elevation: 'high' is not a number; {NUMBER}.",
                f"Altimeter setting: 1 is out of range; {SETTING}.",
                "Wind: 99 is out of range; give 0 to 80 kt.",
                f"Beginning of maneuver 1: 'never' is not a time; {CLOCK}.",
                f"End of maneuver 1: 'later' is not a time; {CLOCK}.",
            ],
        ),
    ],
)
def test_all_that_makes_no_sense_is_said(document: Any, fields: dict[str, str], said: list[str]) -> None:
    with pytest.raises(FieldsError) as refused:
        corrected(form(document) | fields, document, Asked())
    assert [f"{label}: {says}" for label, says in refused.value.fields.values()] == said
    assert str(refused.value) == " ".join(said)
    assert not re.search(r"_ft|_hpa|-1\\b|-new", str(refused.value))


def test_an_altimeter_setting_in_inches_is_kept_in_hectopascals_and_stays_when_sent_again(
    document: Any,
) -> None:
    asked = corrected(form(document) | {"altimeter_hpa": "A2992"}, document, Asked())
    assert asked.altimeter_hpa == pytest.approx(29.92 * 33.86389)
    shown = altimeter.shown(asked.altimeter_hpa)
    assert shown == "29.92"
    assert corrected(form(document) | {"altimeter_hpa": shown}, document, asked) == asked


def test_an_end_before_its_beginning_is_said_at_the_end(document: Any) -> None:
    fields = form(document)
    turned = {"from-1": fields["to-1"], "to-1": fields["from-1"]}
    with pytest.raises(FieldsError, match="End of maneuver 1: It ends before it begins; exchange the times"):
        corrected(fields | turned, document, Asked())
    with pytest.raises(
        FieldsError, match=r"Ground elevation: .* End of maneuver 1: It ends before it begins"
    ):
        corrected(fields | turned | {"ground_ft": "high"}, document, Asked())


def test_who_reads_metric_is_told_in_meters_and_at_the_fields_of_that_form(document: Any) -> None:
    with pytest.raises(FieldsError) as refused:
        corrected({**form(document), "ground_ft": "99999", "wind": "240/99"}, document, Asked(), metric=True)
    assert {name: one.says for name, one in refused.value.fields.items()} == {
        "ground_m": "30479.6952 is out of range; give -609 to 9144 m.",
        "wind_kmh": "183.348 is out of range; give 0 to 148 km/h.",
    }


def test_a_stretch_is_called_by_the_maneuver_that_it_is(document: Any) -> None:
    (one,) = document["maneuvers"]
    first = datetime.fromisoformat(one["start"])
    none = Stretch(first - timedelta(minutes=5), first - timedelta(minutes=3), None)
    before, found = rows(document, Asked(said=(none,)))
    assert (before.called, before.maneuver) == (f"the stretch from {before.start}", None)
    assert (found.called, found.maneuver) == ("maneuver 1", 1)
