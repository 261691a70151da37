"""The page: well formed, self-contained, escaped, the same each time, with the numbers of the debrief."""

from __future__ import annotations

import json
import re
import time
from dataclasses import replace
from io import StringIO
from itertools import pairwise

import html5lib
import pytest
from lxml import etree, html
from rich.console import Console

from groundref.debriefing import debrief as debriefed
from groundref.reports import given_wind, naming, places, recorded, verdicts, words
from groundref.reports.html import page
from groundref.reports.terminal import summary
from groundref.simulation import simulate
from groundref.track.track import Gap
from groundref.units import degree, knot
from tests.reports import invented


def tree(text):
    return html.fromstring(text)


def visible(text):
    root = tree(text)
    for hidden in root.xpath("//script | //style"):
        hidden.drop_tree()
    return " ".join(" ".join(root.itertext()).split())


def test_it_is_html_without_a_single_parse_error(pages, name):
    # html5lib is the reference implementation of the WHATWG parsing algorithm in Python.
    html5lib.HTMLParser(strict=True).parse(pages[name])


def test_it_fetches_nothing(pages, name):
    root = tree(pages[name])
    assert not root.xpath("//link | //img | //iframe | //script[@src] | //*[local-name()='image']")
    assert all(a.get("href").startswith("#") for a in root.xpath("//a | //*[local-name()='use']"))
    assert not re.search(r"@import|url\((?!#)", pages[name])
    addresses = set(re.findall(r"https?://[^\"'\s<]+", pages[name]))
    assert addresses <= {"http://www.w3.org/2000/svg"}  # a name, not an address: nothing is fetched from it


def test_every_picture_says_in_words_what_it_shows(pages, name):
    pictures = tree(pages[name]).xpath("//*[local-name()='svg'][@role='img']")
    assert pictures
    for picture in pictures:
        title, description = picture.xpath("./*[local-name()='title' or local-name()='desc']")
        assert title.text
        assert re.search(r"\d", description.text)
        assert picture.get("aria-labelledby") == title.get("id")
        assert picture.get("aria-describedby") == description.get("id")


def test_pictures_without_words_are_hidden_from_a_screen_reader(pages, name):
    for picture in tree(pages[name]).xpath("//*[local-name()='svg'][not(@role='img')]"):
        assert picture.get("aria-hidden") == "true"


def test_no_missing_value_shows_as_a_programmer_would_see_it(pages, name):
    assert not re.search(r"\b(nan|none|null|undefined|inf)\b", visible(pages[name]), re.I)
    numbers = re.findall(r'(?: d| x| y| cx| cy| r| width| height)="([^"]*)"', pages[name])
    assert not any(re.search(r"nan|inf|None", value) for value in numbers)


def test_ids_are_unique_and_references_lead_somewhere(pages, name):
    root = tree(pages[name])
    ids = [e.get("id") for e in root.xpath("//*[@id]")]
    assert len(ids) == len(set(ids))
    wanted = [r for e in root.xpath("//*[@aria-labelledby]") for r in e.get("aria-labelledby").split()]
    wanted += [e.get("for") for e in root.xpath("//*[@for]")]
    wanted += [e.get("href")[1:] for e in root.xpath("//*[starts-with(@href, '#')]")]
    wanted += re.findall(r"url\(#([^)]+)\)", pages[name])
    assert set(wanted) <= set(ids)


def test_headings_go_down_one_step_at_a_time(pages, name):
    levels = [int(h.tag[1]) for h in tree(pages[name]).xpath("//h1 | //h2 | //h3 | //h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_tables_say_what_they_hold_and_what_their_heads_govern(pages):
    root = tree(pages["two laps left"])
    for table in root.xpath("//table"):
        assert table.xpath("./caption")[0].text_content().strip()
        assert all(th.get("scope") in {"col", "row"} for th in table.xpath(".//th"))


def test_the_same_debrief_gives_the_same_bytes():
    assert page(invented.debrief()) == page(invented.debrief())


@pytest.mark.parametrize(
    "evil", ["<script>alert(1)</script>.gpx", '"><img src=x onerror=alert(1)>', "a&b<c>.csv"]
)
def test_a_hostile_file_name_is_only_text(evil):
    text = page(invented.debrief(source=evil))
    root = tree(text)
    assert evil in root.xpath("//*[@class='file']")[0].text
    assert not root.xpath("//img")
    assert len(root.xpath("//script")) == 2  # ours: one for the page, one with the data of the maneuver
    html5lib.HTMLParser(strict=True).parse(text)


def test_hostile_sentences_are_only_text():
    evil = "</script><script>alert(1)</script>"
    debrief = invented.debrief()
    one = debrief.maneuvers[0]
    finding = replace(one.findings[0], says=evil, cure=evil, position=evil)
    bad = replace(debrief, maneuvers=(replace(one, findings=(finding,), bank_limit_source=evil),))
    root = tree(page(bad))
    assert len(root.xpath("//script")) == 2
    assert root.xpath("//*[@class='findings']//*[@class='says']")[0].text == evil


def test_control_characters_of_a_file_name_do_not_reach_the_page():
    text = page(invented.debrief(source="a\x00\x1b\udcff.gpx"))
    assert not re.search(r"[\x00\x1b\udcff]", text)
    text.encode()


def test_findings_come_first_strongest_first_each_with_its_cure():
    debrief = invented.debrief()
    text = visible(page(debrief))
    places = [text.index(f.says) for f in debrief.maneuvers[0].findings]
    assert places == sorted(places)
    assert places[-1] < text.index("The circle from above")
    for finding in debrief.maneuvers[0].findings:
        assert f"Next time: {finding.cure}" in text
        assert words.size(finding.size, finding.size_sd, finding.size_unit) in text


def test_the_lap_table_holds_the_numbers_of_the_laps():
    debrief = invented.debrief()
    rows = {
        row.xpath("string(./th)"): [" ".join(c.text_content().split()) for c in row.xpath("./td")]
        for row in tree(page(debrief)).xpath("//*[contains(@class, 'laps')]//tbody/tr")
    }
    for n, lap in enumerate(debrief.maneuvers[0].maneuver.laps):
        part = slice(lap.first, lap.last + 1)
        bank = -debrief.states.bank[part] / degree  # a turn to the left
        altitude = debrief.states.altitude[part]
        assert rows["radius"][n] == f"{lap.radius / 0.3048:,.0f} ±10 ft {lap.radius:.0f} m"
        assert rows["off the circle, rms"][n] == f"{lap.radial_rms / 0.3048:.0f} ft {lap.radial_rms:.0f} m"
        assert rows["farthest outside"][n] == f"{lap.radial_max / 0.3048:.0f} ft {lap.radial_max:.0f} m"
        assert rows["farthest inside"][n] == f"{-lap.radial_min / 0.3048:.0f} ft {-lap.radial_min:.0f} m"
        assert rows["highest altitude"][n] == f"{altitude.max() / 0.3048:,.0f} ft {altitude.max():.0f} m"
        assert rows["lowest altitude"][n] == f"{altitude.min() / 0.3048:,.0f} ft {altitude.min():.0f} m"
        assert rows["largest bank"][n] == f"{bank.max():.0f}°"
        assert rows["smallest bank"][n] == f"{bank.min():.0f}°"
        assert rows["turned"][n] == "360° left"


def test_every_element_stands_with_its_verdict_in_words(pages):
    rows = tree(pages["two laps left"]).xpath("//table[@class='elements']/tbody/tr")
    said = {" ".join(r.xpath("string(./th)").split()): " ".join(r[0].text_content().split()) for r in rows}
    assert said == {
        "altitude held X.1": "met",
        "airspeed held X.2": "can't tell",
        "height of the entry X.3": "met",
        "constant radius X.4": "not met",
    }
    assert "only an instructor on board sees it: divides attention" in visible(pages["two laps left"])


def test_limits_say_whether_they_are_printed_or_practice(pages):
    text = visible(pages["two laps left"])
    assert "600 to 1,000 ft 183 to 305 m · as printed" in text
    assert "100 ft 30 m · common practice" in text


def test_wind_airspeed_and_radius_lead_with_their_uncertainty(pages):
    text = visible(pages["two laps left"])
    assert "240° ±4° at 14.0 ±0.9 kt (26 km/h)" in text
    assert "90.0 ±0.9 kt (167 km/h), derived" in text
    assert "1,400 ±10 ft (427 m)" in text


def test_what_cannot_be_told_is_said(pages):
    assert "The bank required can't be told without the wind" in visible(pages["no wind"])
    assert "wind can't tell" in visible(pages["no wind"])
    assert "altitude can't tell" in visible(pages["no altitude"])
    assert "can't tell altitude held X.1 100 ft" in visible(pages["no altitude"])


def test_rejected_samples_gaps_and_notes_are_listed(pages):
    text = visible(pages["two laps left"])
    assert "1 sample not used: position jumps by 900 m and back (at 14:00:38 UTC)." in text
    assert "Gap of 11 s, 14:02:07 to 14:02:18 UTC." in text
    assert "The recorder's noise was estimated from the data" in text
    assert "measured position and altitude above mean sea level" in text
    assert "derived wind, heading, crab, true airspeed and bank" in text


def test_a_drift_is_said_and_drawn(pages):
    text = pages["drift"]
    assert "its center moved 394 ±13 ft (120 m) towards 060° in a lap" in visible(text)
    centers = tree(text).xpath("//*[@class='center']")
    assert len(centers) == 3


def test_several_maneuvers_have_a_list_of_contents(pages):
    links = tree(pages["three maneuvers"]).xpath("//nav//a")
    assert [a.get("href") for a in links] == ["#m1", "#m2", "#m3"]
    assert not tree(pages["two laps left"]).xpath("//nav")


def test_a_flight_without_maneuvers_says_what_was_looked_at(pages):
    text = visible(pages["nothing found"])
    assert "No ground-reference maneuver was found" in text
    assert "479 samples" in text


def test_the_cautions_are_always_there(pages, name):
    text = visible(pages[name])
    assert "not for use in flight" in text
    assert "handbook, the local rules and a licensed instructor decide" in text


def test_the_moments_of_the_slider_are_plain_json_of_one_length(pages):
    for script in tree(pages["no wind"]).xpath("//script[@type='application/json']"):
        data = json.loads(script.text, parse_constant=pytest.fail)
        assert len({len(values) for values in data.values()}) == 1


def test_pictures_are_well_formed_xml(pages, name):
    for picture in re.findall(r"<svg xmlns=.*?</svg>", pages[name], re.S):
        etree.fromstring(picture)


def test_a_long_flight_does_not_make_a_large_page_or_a_slow_one():
    debrief = invented.debrief(transit=2400)
    page(debrief)  # the templates are read once
    before = time.process_time()
    text = page(debrief)
    assert time.process_time() - before < 0.5  # usually 20 ms; a busy machine must not fail it
    assert len(text) < 200_000


PALETTE = re.compile(r"--([\w-]+): (#[0-9a-f]{6});?")


def luminance(color):
    """Relative luminance, WCAG 2.2, definition of "relative luminance"."""
    channels = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_of_contrast_knows_black_on_white():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(
        4.54, abs=0.01
    )  # the grey the guidelines' tools name


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("ink", ["ink", "quiet", "accent", "outside", "inside", "edge"])
def test_colours_stand_out_from_the_paper(pages, scheme, ink):
    blocks = pages["two laps left"].split(":root {")[1:]
    colors = dict(PALETTE.findall(blocks[scheme].split("}")[0]))
    assert contrast(colors[ink], colors["paper"]) >= 4.5
    if ink in {"ink", "quiet"}:
        assert contrast(colors[ink], colors["wash"]) >= 4.5


def unprinted(**options):
    """An invented debrief whose last judged element has only a usual value."""
    debrief = invented.debrief(**options)
    (one,) = debrief.maneuvers
    why = "No number is printed; flown 152 ft (± 18 ft), outside the usual 100 ft."
    element = replace(
        one.elements[3], code="practice-radius", verdict="undetermined", why=why, basis="practice"
    )
    (task,) = debrief.standard.tasks
    asked = replace(task.elements[3], code="practice-radius")
    tasks = (replace(task, elements=(*task.elements[:3], asked, *task.elements[4:])),)
    judged = replace(one, elements=(*one.elements[:3], element, *one.elements[4:]))
    return replace(debrief, standard=replace(debrief.standard, tasks=tasks), maneuvers=(judged,))


def test_a_usual_value_is_no_limit_and_its_verdict_no_doubt():
    text = page(unprinted())
    (row,) = [
        r for r in tree(text).xpath("//table[@class='elements']/tbody/tr") if "radius" in r.text_content()
    ]
    assert " ".join(row[0].text_content().split()) == "not judged"
    assert " ".join(row[3].text_content().split()).startswith("152 ±18 ft")
    assert " ".join(row[4].text_content().split()) == "Outside the usual 100 ft."
    assert "practice-radius" not in visible(text)
    assert row.xpath(".//*[local-name()='use']")[0].get("href") == "#v-unprinted"


def test_a_handbooks_advice_is_not_called_printed():
    debrief = unprinted()
    (one,) = debrief.maneuvers
    element = replace(one.elements[3], code="handbook-bank", basis="handbook")
    judged = replace(debrief, maneuvers=(replace(one, elements=(*one.elements[:3], element)),))
    (verdict,) = verdicts.verdicts(judged, judged.maneuvers[0])[3:]
    assert (verdict.basis, verdict.code, verdict.recorded.says) == ("handbook's advice", "", "can't tell")


def test_reasons_do_not_repeat_what_stands_beside_them():
    element = invented.debrief().maneuvers[0].elements[0]
    asked = invented.STANDARD.tasks[0].elements[0]
    why = "Flown 46 ft (± 8 ft), within the limit of 100 ft (invented)."
    assert verdicts.reason(replace(element, why=why), asked) == "Within the limit of 100 ft."
    why = (
        "Flown 1,046 ft (± 30 ft), and the measurement cannot tell it from the limit of 1,000 ft (invented)."
    )
    said = "The measurement cannot tell it from the limit of 1,000 ft."
    assert verdicts.reason(replace(element, why=why), asked) == said
    assert (
        verdicts.reason(replace(element, why="No altitude was recorded."), asked)
        == "No altitude was recorded."
    )


@pytest.mark.parametrize(
    ("turns", "said"),
    [
        ((360, 360), "2 laps"),
        ((360, 348), "2 laps"),
        ((360, 90), "1 lap and a part"),
        ((300,), "part of a lap"),
        ((300, 200), "parts of 2 laps"),
    ],
)
def test_a_part_of_a_lap_is_not_called_one(turns, said):
    debrief = invented.debrief(laps=len(turns))
    one = debrief.maneuvers[0]
    laps = [replace(lap, turn=-t * degree) for lap, t in zip(one.maneuver.laps, turns, strict=True)]
    part = replace(one, maneuver=replace(one.maneuver, laps=tuple(laps)))
    assert naming.heading(part) == f"Turns around a point, left, {said}"


@pytest.mark.parametrize(
    ("datum", "name"), [("pressure", "pressure altitude"), ("ellipsoid", "altitude above the ellipsoid")]
)
def test_an_altitude_in_another_datum_says_so_everywhere(datum, name):
    debrief = invented.debrief(height_known=False)
    debrief = replace(debrief, states=replace(debrief.states, altitude_datum=datum))
    text = visible(page(debrief))
    assert f"{name} 1,837 ft (560 m) at the start" in text
    assert f"highest {name}" in text
    assert not re.search(r"highest altitude \d", text)


def test_many_gaps_are_one_line():
    debrief = invented.debrief()
    gaps = tuple(Gap(10.0 * n, 10.0 * n + 2 + (n == 7)) for n in range(1, 143))
    many = replace(debrief, track=replace(debrief.track, gaps=gaps))
    said = [line for line in recorded.losses(many) if "gap" in line.lower()]
    assert said == ["142 gaps of 2 s to 3 s, the longest 14:01:17 to 14:01:20 UTC."]


@pytest.mark.parametrize(
    ("confidence", "said"),
    [
        (1.0, "surely turns around a point (99%+)"),
        (0.953, "very probably turns around a point (95%)"),
        (0.7, "probably turns around a point (70%)"),
    ],
)
def test_nothing_is_a_hundred_percent_sure(confidence, said):
    debrief = invented.debrief()
    one = debrief.maneuvers[0]
    one = replace(one, maneuver=replace(one.maneuver, confidence=confidence))
    assert said in visible(page(replace(debrief, maneuvers=(one,))))


def test_what_could_not_be_judged_is_said():
    debrief = invented.debrief()
    said = "Bank by place in the circle was not judged: the wind could not be told."
    unjudged = replace(debrief, maneuvers=(replace(debrief.maneuvers[0], notes=(said,)),))
    assert said in visible(page(unjudged))
    console = Console(width=100, file=StringIO())
    console.print(summary(unjudged))
    assert said in " ".join(console.file.getvalue().split())


def test_a_drifting_circle_is_the_one_it_began_as(pages):
    text = visible(pages["drift"])
    assert "the circle as begun" in text
    assert "radius when begun" in text
    assert "fits best" not in text
    assert "radius held" not in text


GIVEN = "The wind was given, 060° at 20 kt, and used; the recording itself "


@pytest.mark.parametrize(
    ("note", "warned"),
    [
        (GIVEN + "contradicts it with 239° at 12 kt (± 0.8 kt).", True),
        (GIVEN + "agrees with it: calm.", False),
    ],
)
def test_a_wind_that_was_given_is_called_so_and_a_contradiction_stands_first(note, warned):
    debrief = invented.debrief()
    debrief = replace(debrief, states=replace(debrief.states, notes=(note,)))
    text = visible(page(debrief))
    beside = "given; the recording says 239° at 12 kt" if warned else "given"
    assert f"14.0 ±0.9 kt (26 km/h), {beside}" in text
    assert ("the recording says" in text) == warned
    in_meters = visible(page(debrief, units="metric"))
    assert ("given; the recording says 239° at 22 km/h" in in_meters) == warned
    console = Console(width=100, file=StringIO())
    console.print(summary(debrief))
    told = " ".join(console.file.getvalue().split())
    for said in (text, told):
        assert f", {beside}" in said
        assert (said.index(note) < said.index("Turns around a point, left")) == warned


def test_a_wind_that_was_found_is_not_called_given():
    assert ", given" not in visible(page(invented.debrief()))


def test_notes_of_the_pipeline_begin_as_the_page_expects():
    recording, _ = simulate(seed=3, wind_speed=2 * knot)
    light = debriefed(recording, wind=(0.0, 9.0 * knot))
    # The recording's own wind is 2 kt, whatever its direction.
    said = given_wind.wind_given(light.states.notes)
    assert re.fullmatch(r"given; the recording says \d{3}° at 2 kt", said)
    assert len(recorded.warnings(light)) == 1
    (one,) = debriefed(recording).maneuvers
    assert any(note.startswith(places.NOT_BY_PLACE) for note in one.notes)
    assert not places.named_by_wind(one)


@pytest.mark.parametrize(("seed", "hidden"), [(8, True), (1, False)])
def test_an_airspeed_left_open_says_once_that_it_was_not_recorded(seed, hidden):
    recording, _ = simulate(
        seed=seed, wind_speed=15 * knot, flight="maneuver-only", faults={"airspeed-not-held": 3.0}
    )
    debrief = debriefed(recording)
    (one,) = (
        each
        for each in verdicts.verdicts(debrief, debrief.maneuvers[0])
        if each.what.startswith("airspeed held")
    )
    assert one.recorded.says == "can't tell"
    assert one.why.count("Airspeed was not recorded") == 1
    assert ("called held only where all of the 95% lies within the limit" in one.why) == hidden
