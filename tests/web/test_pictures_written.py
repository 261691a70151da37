"""What is written in pictures stands whole on its paper, and names do not hide one another."""

from __future__ import annotations

import re

import pytest

from groundref.standards.loading import KINDS

Box = dict[str, float]


def overlap(one: Box, other: Box) -> float:
    """The area that two boxes share [px²]."""
    across, down = (
        min(one[a] + one[size], other[a] + other[size]) - max(one[a], other[a])
        for a, size in (("x", "width"), ("y", "height"))
    )
    return max(across, 0.0) * max(down, 0.0)


def letters(box: Box) -> Box:
    """The letters of a line: its box reaches beyond them above and below."""
    return {**box, "y": box["y"] + 0.2 * box["height"], "height": 0.6 * box["height"]}


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_written_on_a_plan_is_cut_off_or_hidden(opened, kind):
    page = opened(f"/plan?maneuver={kind}&wind=240/15", width=1440)
    picture = page.locator("svg.figure").first
    paper = picture.bounding_box()
    written = [(each.text_content(), letters(each.bounding_box())) for each in picture.locator("text").all()]
    for said, box in written:
        assert paper["x"] - 1 <= box["x"], said
        assert box["x"] + box["width"] <= paper["x"] + paper["width"] + 1, said
        assert paper["y"] <= box["y"], said
        assert box["y"] + box["height"] <= paper["y"] + paper["height"], said
    names = [(said, box) for said, box in written if re.search(r"glid|everywhere|heading|wind|pylon", said)]
    assert any("wind 240° true" in said for said, _ in names)
    for said, box in names:
        for other, there in written:
            if other != said:
                assert overlap(box, there) < 12.0, (said, other)
