"""Progress in words and pictures: every figure where it belongs, nothing promised, good for everyone's eyes.

Outside checks: axe-core (Deque) on the rules of WCAG that a machine can check; html5lib and lxml parse the
page and the pictures, pypdf the paper, whose sizes are those of ISO 216 and ANSI/ASME Y14.1.
"""

from __future__ import annotations

import io
import re
from itertools import pairwise

import html5lib
import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe
from lxml import etree
from rich.console import Console

from groundref.errors import UsageError
from groundref.progress import progress
from groundref.progress.evidence import STANDING
from groundref.reports import metric, reading
from groundref.reports.progress import figure, html, panel, pdf, terminal, words
from tests.progress.invented import BAND, RADIUS, SEGMENT, altitudes, element, lesson, maneuver, student

SIZES = {"a4": (595.3, 841.9), "letter": (612.0, 792.0)}
CASES = {
    "a summer": student(),
    "nobody": (),
    "one lesson": altitudes(140),
    "two lessons": altitudes(140, 90),
    "many": student(seed=4, lessons=60),
    "nothing measured": tuple(
        lesson(n, maneuver(element(worst=None, verdict="undetermined"), wind=None)) for n in range(1, 4)
    ),
    "no limit": tuple(lesson(n, maneuver(element(SEGMENT, 3.0 + n))) for n in range(1, 5)),
}


@pytest.fixture(scope="module")
def told():
    return {name: progress("Ada <Invented> & Co", lessons) for name, lessons in CASES.items()}


def printed(one, width=100):
    console = Console(width=width, file=io.StringIO(), color_system=None)
    console.print(terminal.summary(one, console_width=width))
    return console.file.getvalue()


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("width", [50, 80, 100])
def test_the_terminal_says_who_decides_and_is_never_too_wide(told, case, width):
    said = printed(told[case], width)
    assert max(map(len, said.splitlines())) <= width
    assert STANDING in " ".join(said.split())
    assert "nan" not in said


def test_the_terminal_begins_with_what_the_lessons_show(told):
    lines = printed(told["a summer"]).splitlines()
    assert lines[0] == "Progress of Ada <Invented> & Co"
    assert lines[1] == "9 lessons, 3 May 2026 to 28 June 2026"
    first_screen = " ".join(" ".join(lines[:32]).split())
    for one in told["a summer"].maneuvers:
        assert one.evidence[0] in first_screen
    assert STANDING in first_screen


def test_numbers_stand_beside_their_elements(told):
    said = " ".join(printed(told["a summer"]).split())
    one = next(e for e in told["a summer"].maneuvers[0].elements if e.quantity == "altitude")
    row = re.search(r"Altitude 100 ft (.*?) (\d+) ±(\d+) ft −(\d+) ±(\d+) ft growing smaller", said)
    assert row is not None
    assert int(row[2]) == round(one.trend.now)
    assert int(row[4]) == round(-one.trend.a_lesson)


def test_the_same_wind_is_the_same_number_wherever_it_stands():
    blown = progress("A. Student", [lesson(n, maneuver(element(), wind=w)) for n, w in ((1, 9.3), (2, 15.2))])
    written = html.page(blown)
    assert "9 to 15" in written.replace("\N{NO-BREAK SPACE}", " ")
    assert "The strongest wind was 15 kt." in written.replace("\N{NO-BREAK SPACE}", " ")
    assert "16 kt" not in written.replace("\N{NO-BREAK SPACE}", " ")


def test_pictures_have_the_lessons_numbers_of_the_record():
    told = progress("A. Student", [lesson(n, maneuver(element(worst=80.0 + n))) for n in (1, 3, 117)])
    drawn = panel.draw(told.maneuvers[0].elements[0])
    numbers = re.findall(r">(\d+)</text>", drawn.partition(">lesson</text>")[0].rpartition('class="bar"')[2])
    assert numbers[-3:] == ["1", "3", "117"]


def test_figures_of_two_kinds_do_not_share_a_name():
    told = progress("A. Student", [lesson(1, maneuver(element(BAND, 963.0), element(RADIUS, 92.0)))])
    written = html.page(told)
    assert "Height off 800 ft" in written.replace("\N{NO-BREAK SPACE}", " ")
    heads = re.findall(r'<th scope="col">([^<]*)</th>', written[written.index("Figures of every lesson") :])
    assert len(heads) == len(set(heads))
    assert {"mean radius", "off the radius"} <= set(heads)


def test_two_lessons_are_called_no_trend(told):
    said = printed(told["two lessons"])
    assert "can't tell yet" in said
    assert "growing" not in said


@pytest.mark.parametrize("case", CASES)
def test_the_page_is_whole_and_fetches_nothing(told, case):
    said = html.page(told[case])
    assert html.page(told[case]) == said
    html5lib.HTMLParser(strict=True).parse(said)
    assert "Ada &lt;Invented&gt; &amp; Co" in said
    assert STANDING in said
    assert not re.search(r"(?:src|href)=\"(?!#)", said)
    assert "<script" not in said
    for word in ("nan", "None", "inf "):
        assert word not in re.sub(r"<style>.*?</style>", "", said, flags=re.DOTALL).split()


def test_every_figure_of_every_lesson_stands_in_the_page(told):
    text = " ".join(re.sub(r"<[^>]+>", " ", html.page(told["a summer"])).split())
    for one in told["a summer"].maneuvers:
        for each in one.elements:
            for flown in each.figures:
                if each.unit == "ft" and flown.element.worst is not None:
                    assert f"{flown.element.worst:,.0f} ±{flown.element.worst_sd:,.0f} ft" in text


@pytest.mark.parametrize("case", CASES)
def test_the_picture_is_a_picture_of_every_element_with_figures(told, case):
    root = etree.fromstring(figure.svg_file(told[case]).encode())
    shown = [e for m in told[case].maneuvers for e in m.elements if any(f.off is not None for f in e.figures)]
    marks = root.xpath("//*[@class='met' or @class='open-mark']")
    assert len(marks) == sum(f.off is not None for e in shown for f in e.figures)
    assert len(root.xpath("//*[@class='asked']")) == sum(e.asked is not None for e in shown)
    assert len(root.xpath("//*[@class='trend']")) == sum(e.trend is not None for e in shown)


def test_marks_lie_where_their_figures_are():
    told = progress("a student", altitudes(50, 100, 150, 200, sd=0.0))
    root = etree.fromstring(figure.svg_file(told).encode())
    (limit,) = root.xpath("//*[@class='asked']")
    marks = root.xpath("//*[@class='met']")
    heights = [float(mark.get("cy")) for mark in marks]
    assert heights[1] == pytest.approx(float(limit.get("y1")), abs=0.1)
    assert heights[0] - heights[1] == pytest.approx(heights[2] - heights[3], abs=0.1)
    assert [float(mark.get("cx")) for mark in marks] == sorted(float(mark.get("cx")) for mark in marks)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("case", CASES)
def test_the_paper_is_signed_and_the_same_each_time(told, case, paper):
    made = pdf.pdf(told[case], paper)
    assert pdf.pdf(told[case], paper) == made
    pages = pypdf.PdfReader(io.BytesIO(made)).pages
    for each in pages:
        assert (each.mediabox.width, each.mediabox.height) == pytest.approx(SIZES[paper], abs=0.5)
        assert STANDING in " ".join(each.extract_text().split())
    last = pages[-1].extract_text()
    for word in ("Remarks", "Instructor", "Student", "Date"):
        assert word in last


def test_a_name_that_cannot_be_set_is_refused():
    with pytest.raises(UsageError, match="no letter '李'"):
        pdf.pdf(progress("李", ()))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1366, 390])
@pytest.mark.parametrize("case", ["a summer", "many", "nothing measured"])
def test_the_page_is_accessible_and_fits_its_screen(told, browser, tmp_path, case, scheme, width):
    file = tmp_path / "progress.html"
    file.write_text(html.page(told[case]), encoding="utf-8")
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme, offline=True)
    shown = context.new_page()
    shown.goto(file.as_uri())
    # Sixty lessons take axe the better part of a minute; their colors are those of a summer.
    if case != "many" or (scheme, width) == ("light", 1366):
        result = Axe().run(
            shown, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]}
        )
        assert result.violations_count == 0, result.generate_report()
    assert shown.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    context.close()


def _labels(drawn: str) -> list[str]:
    root = etree.fromstring(drawn.encode())
    return [each.text for each in root.xpath("//*[local-name()='text' and @text-anchor='end']")]


def test_ticks_are_round_in_the_unit_that_is_read(told):
    us = figure.svg_file(told["a summer"])
    si = figure.svg_file(told["a summer"], reading.METRIC)
    for drawn, names in ((us, ("ft", "kt")), (si, ("m", "km/h"))):
        # The wind's strongest is a figure of its own, not a tick: it stands after the word for the lessons.
        every = _labels(drawn)
        ticks = [said for before, said in pairwise(["", *every]) if before != "lesson" and said != "lesson"]
        found = [said.split(" ") for said in ticks if said.partition(" ")[2] in names]
        assert {unit for _, unit in found} == set(names)
        for number, _ in found:
            assert number.replace(",", "").rstrip("0") in ("", "1", "2", "3", "4", "5", "6", "8", "15"), every


def test_page_and_paper_say_one_figure_alike(told):
    with reading.reading(reading.METRIC):
        page = metric.page(html.page(told["a summer"]))
    text = " ".join(re.sub(r"<[^>]+>", " ", page).split())
    paper = pypdf.PdfReader(io.BytesIO(pdf.pdf(told["a summer"], units=reading.METRIC)))
    printed_text = " ".join(" ".join(each.extract_text() for each in paper.pages).split())
    with reading.reading(reading.METRIC):
        figures = [words.now(e) for m in told["a summer"].maneuvers for e in m.elements if words.measured(e)]
    assert any("km/h" in said for said in figures)
    for said in figures:
        assert said in text
        assert said in printed_text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{WORD JOINER}", "")
    assert "600 to 1,000 ft (183 to 305 m)" in printed_text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("units", reading.UNITS)
@pytest.mark.parametrize("media", ["screen", "print"])
def test_no_label_of_a_panel_is_cut_or_lies_on_another(told, browser, tmp_path, units, media):
    file = tmp_path / "progress.html"
    with reading.reading(units):
        file.write_text(html.page(told["a summer"]), encoding="utf-8")
    context = browser.new_context(viewport={"width": 320, "height": 740}, offline=True)
    shown = context.new_page()
    shown.emulate_media(media=media)
    shown.goto(file.as_uri())
    cut = shown.evaluate(
        """() => [...document.querySelectorAll(".panel svg.figure")].flatMap(svg =>
          [...svg.querySelectorAll("text")].filter(text => {
            const box = text.getBBox();
            return box.x < 0 || box.x + box.width > 640;
          }).map(text => text.textContent))"""
    )
    assert cut == []
    # The lowest tick and the word for the lessons: the letters of the one end above where the other's begin.
    apart = shown.evaluate(
        """() => [...document.querySelectorAll(".panel svg.figure")].map(svg => {
          const words = [...svg.querySelectorAll('text[text-anchor="end"]')];
          const at = words.findIndex(text => text.textContent === "lesson");
          const tick = words.slice(0, at).sort((a, b) => a.getBBox().y - b.getBBox().y).pop();
          const size = parseFloat(getComputedStyle(tick).fontSize);
          return (words[at].y.baseVal[0].value - tick.y.baseVal[0].value) / size;
        })"""
    )
    assert apart
    assert min(apart) > 1.0
    context.close()
