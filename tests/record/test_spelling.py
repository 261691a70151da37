"""A name found in its spellings, and not inside other names."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.record.spelling import Name

JO = Name("Jo Brandt", ["Ines Brandt", "Jon Brandtner", "Jo Brandt Meyer", "Ana Jones"])


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Jo Brandt flew well", "someone flew well"),
        ("jo_brandt-3.gpx", "someone-3.gpx"),
        ("JOBRANDT", "someone"),
        ("JoBrandtLesson3.gpx", "someoneLesson3.gpx"),
        ("Brandt, Jo: solo", "someone: solo"),
        ("Brandt's second lesson", "someone's second lesson"),
        ("Jo and Jones, Brandtner too", "Jo and Jones, Brandtner too"),
        ("Ines Brandt told Brandt", "Ines Brandt told someone"),
        ("Jo Brandt Meyer told Jo Brandt", "Jo Brandt Meyer told someone"),
        ("nothing", "nothing"),
    ],
)
def test_texts(text: str, left: str) -> None:
    assert JO.out_of(text) == left
    assert not JO.stands_in(left)


def test_accents_and_old_codes() -> None:
    name = Name("José Groß")
    for text in ("José", "JOSÉ", "jose", unicodedata.normalize("NFD", "José"), "GROSS", "gross", "groß"):
        assert name.out_of(f"with {text}.") == "with someone."
    assert name.out_of("José".encode("latin-1").decode("utf-8", "surrogateescape")) == "someone"


def test_short_names_are_not_found_in_numbers() -> None:
    assert Name("T").out_of("2026-05-01T14:00 by T") == "2026-05-01T14:00 by someone"
    assert Name("4711").out_of("4711 flew 40.4711 and 4711.5 and 14711") == (
        "someone flew 40.4711 and 4711.5 and 14711"
    )


def test_cells_of_a_table_stay_apart() -> None:
    assert JO.out_of("1,Brandt,Jo,2", apart=True) == "1,someone,someone,2"
    assert JO.out_of("1,Jo, Brandt,2", apart=True) == "1,someone, someone,2"


def test_somebody_called_someone() -> None:
    assert Name("Someone Else").out_of("Someone Else was here") == "nobody was here"


names = st.text(st.characters(categories=["Lu", "Ll"], max_codepoint=0x24F), min_size=3, max_size=9)
texts = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=30)


@given(st.lists(names, min_size=1, max_size=3), texts, texts, st.sampled_from(" _-.,"))
def test_no_name_is_left_in_any_text(words: list[str], before: str, after: str, between: str) -> None:
    name = Name(" ".join(words))
    for written in (between.join(words), between.join(words).upper(), words[-1], words[0].lower()):
        left = name.out_of(f"{before} {written} {after}")
        assert not name.stands_in(left)
        assert name.instead in left
        assert written not in left.replace(before, "").replace(after, "").replace(name.instead, "")


@given(names, texts)
def test_a_text_without_the_name_stays(word: str, text: str) -> None:
    name = Name(word)
    if not name.stands_in(text):
        assert name.out_of(text) == text
