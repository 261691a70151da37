"""Standards: what the data say against what was read, and what a wrong file is answered."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from groundref.errors import InputError, UsageError
from groundref.standards.loading import load_standard, parse_standard, standard_names
from groundref.standards.standard import Element

TEXT = files("groundref.standards").joinpath("private-pilot.toml").read_text("utf-8")


def elements(code: str) -> list[Element]:
    task = load_standard("private-pilot").task("turns-around-a-point")
    assert task is not None
    return [element for element in task.elements if element.code == code]


def test_the_default_standard_is_the_private_pilots() -> None:
    assert load_standard() == load_standard("private-pilot")
    assert "private-pilot" in standard_names()


def test_height_band_as_printed() -> None:
    """FAA-S-ACS-6, PA.V.B.S3c: 600 to 1,000 ft above ground (read in two copies)."""
    (band,) = elements("PA.V.B.S3c")
    assert (band.minimum, band.limit, band.unit, band.published) == (600, 1000, "ft", True)


def test_altitude_and_airspeed_as_printed() -> None:
    """FAA-S-ACS-6, PA.V.B.S7: altitude within 100 ft, airspeed within 10 kt (read in two copies)."""
    found = {element.quantity: (element.limit, element.unit) for element in elements("PA.V.B.S7")}
    assert found == {"altitude": (100, "ft"), "airspeed": (10, "kt")}


def test_bank_ceiling_is_the_handbooks() -> None:
    """FAA-H-8083-3C p. 7-5: no more than 45° of bank; the standard itself prints no bank limit."""
    task = load_standard().task("turns-around-a-point")
    assert task is not None
    (bank,) = [element for element in task.elements if element.quantity == "bank"]
    assert (bank.limit, bank.unit, bank.confirmed) == (45, "deg", True)
    assert "FAA-H-8083-3C" in bank.source
    assert bank.basis == "handbook"


def test_the_basis_follows_from_published_where_it_is_not_stated() -> None:
    task = load_standard().task("turns-around-a-point")
    assert task is not None
    for element in task.elements:
        if element.quantity != "bank":
            assert element.basis == ("standard" if element.published else "practice"), element.code


def test_no_number_is_called_published_without_a_publication() -> None:
    task = load_standard().task("turns-around-a-point")
    assert task is not None
    for element in task.elements:
        assert element.published == element.source.startswith("FAA-"), element.code
        assert not (element.confirmed and not element.published), element.code


def test_what_was_read_only_in_copies_is_not_called_confirmed() -> None:
    task = load_standard().task("turns-around-a-point")
    assert task is not None
    assert not any(element.confirmed for element in task.elements if element.code.startswith("PA."))


def test_a_standard_has_no_task_for_what_it_does_not_cover() -> None:
    turns = TEXT[: TEXT.index('kind = "rectangular-course"')].rsplit("[[task]]", 1)[0]
    assert parse_standard(turns, "own.toml").task("turns-around-a-point") is not None
    assert parse_standard(turns, "own.toml").task("steep-turns") is None


@pytest.mark.parametrize(
    ("find", "replacement", "sentence"),
    [
        (
            "limit = 100\n",
            'limit = "much"\n',
            "own.toml: task 1, element 5, limit: expected a number, found text",
        ),
        ("limit = 100\n", "limt = 100\n", "own.toml: task 1, element 5: the key `limt` is not known"),
        ("limit = 45", "limit = nan", "own.toml: task 1, element 7, limit: nan is no limit"),
        ("limit = 45", "limit = -45", "own.toml: task 1, element 7, limit: -45 is no limit"),
        ('unit = "kt"', 'unit = "mph"', "own.toml: task 1, element 6, unit: a limit of airspeed is in 'kt'"),
        ('unit = "kt"', "", "own.toml: task 1, element 6, unit: a limit of airspeed is in 'kt'"),
        (
            "minimum = 600",
            "minimum = 6000",
            "element 1, minimum: the minimum 6000 does not lie below the limit",
        ),
        ("minimum = 600", "", "element 1, minimum: a height band needs both ends"),
        ("limit = 1000\n", "", "element 1, limit: a height band needs both ends"),
        (
            "limit = 45",
            "limit = 45\nminimum = 10",
            "element 7, minimum: only a height band and a straight segment have a minimum",
        ),
        ("limit = 45", "minimum = 10", "element 7, minimum: a minimum needs a limit beside it"),
        ('"observed"', '"observed"\nlimit = 3', "element 2, limit: an observed element has no limit"),
        ('"observed"', '"style"', "own.toml: task 1, element 2, quantity: there is no quantity 'style'"),
        ('name = "private-pilot"\n', "", "own.toml: the key `name` is missing"),
        (
            'kind = "turns-around-a-point"',
            'kind = "loop"',
            "own.toml: task 1, kind: there is no maneuver 'loop'",
        ),
        (
            'basis = "handbook"',
            'basis = "rumour"',
            "own.toml: task 1, element 7, basis: there is no basis 'rumour'",
        ),
        (
            'basis = "handbook"',
            'basis = "practice"',
            "element 7, basis: a number with published = true cannot have the basis 'practice'",
        ),
        ("[[task]]", "[[task", "own.toml: line 12, column 7: this is not valid TOML"),
    ],
)
def test_a_wrong_file_is_refused_by_name_table_and_key(find: str, replacement: str, sentence: str) -> None:
    assert find in TEXT
    with pytest.raises(InputError) as refused:
        parse_standard(TEXT.replace(find, replacement, 1), "own.toml")
    assert sentence in str(refused.value)
    assert refused.value.remedy


def test_a_file_of_the_wrong_shape_is_refused() -> None:
    with pytest.raises(InputError, match=r"own\.toml: task: expected a list, found a whole number"):
        parse_standard('name = ""\ntitle = ""\npublication = ""\nedition = ""\ntask = 3', "own.toml")


def test_two_tasks_of_one_kind_are_refused() -> None:
    task = TEXT[TEXT.index("[[task]]") : TEXT.index("[[rule]]")]
    with pytest.raises(
        InputError, match=r"own\.toml: task 9, kind: there are two tasks of kind 'turns-around"
    ):
        parse_standard(TEXT + task, "own.toml")


def test_a_school_can_bring_its_own(tmp_path: Path) -> None:
    path = tmp_path / "our-school.toml"
    path.write_text(
        TEXT.replace("limit = 100\n", "limit = 75\n").replace("private-pilot", "our-school"), "utf-8"
    )
    standard = load_standard(str(path))
    task = standard.task("turns-around-a-point")
    assert standard.name == "our-school"
    assert task is not None
    assert [element.limit for element in task.elements if element.quantity == "altitude"] == [75]


def test_unknown_name_and_unreadable_files() -> None:
    with pytest.raises(UsageError, match="private-pilot"):
        load_standard("no-such-standard")
    with pytest.raises(InputError, match="cannot be read"):
        load_standard("no/such/file.toml")
