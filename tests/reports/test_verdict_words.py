"""One vocabulary of verdicts: the same word and sign wherever a verdict is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from groundref.progress.flown import ElementFlown
from groundref.reports import html, kept, verdict_html, verdict_words
from groundref.web import side_by_side

ELEMENT = ElementFlown(
    "X.1", "altitude held", "altitude", "met", 100, None, None, "ft", "standard", 40.0, 9.0
)


@pytest.mark.parametrize(
    ("verdict", "basis", "own", "mark"),
    [
        ("met", "standard", None, "met"),
        ("not-met", "handbook", None, "not-met"),
        ("undetermined", "standard", None, "undetermined"),
        ("undetermined", "practice", None, "unprinted"),
        ("undetermined", "practice", "met", "met"),
        ("undetermined", "practice", "undetermined", "undetermined"),
        ("met", "standard", "not-met", "not-met"),
    ],
)
def test_every_place_tells_a_verdict_alike(verdict, basis, own, mark):
    element = replace(ELEMENT, verdict=verdict, basis=basis, own=own)
    word = verdict_words.WORDS[mark]
    assert verdict_words.decided(element, own) is word
    assert kept.verdict(element) is word
    beside = side_by_side.told(element)
    assert beside.word is word
    assert beside.says.startswith(word.says)


def test_every_word_has_its_own_sign_and_meaning():
    words = verdict_words.WORDS.values()
    drawn = html.marks()
    for word in words:
        assert drawn.count(f'id="v-{word.mark}"') == 1
        assert f"#v-{word.mark}" in verdict_html.verdict(word)
    assert len({word.says for word in words}) == len({word.means for word in words}) == 4


def test_what_is_not_judged_does_not_count():
    assert verdict_words.counts(["met", "unprinted", "not-met", "met"]) == "2 met, 1 not met"
    assert verdict_words.counts(["unprinted"]) == "nothing to judge"
