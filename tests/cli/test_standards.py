"""``groundref standards``: readable at both widths, everything on it, wrong files refused with code 3."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import pytest

from groundref.cli import exits, main
from groundref.reports.notices import CAUTIONS
from groundref.standards.loading import load_standard, standard_names


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(("standards", *words)) == exits.DONE
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_list_names_every_standard(capsys: pytest.CaptureFixture[str]) -> None:
    out = flat(printed(capsys))
    for name in standard_names():
        standard = load_standard(name)
        assert f"{name} {standard.title} ({standard.edition})" in out


@pytest.mark.parametrize("columns", [80, 100])
@pytest.mark.parametrize("name", standard_names())
def test_everything_is_printed_within_the_width(
    name: str, columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    out = printed(capsys, name)
    standard = load_standard(name)
    assert max(map(len, out.splitlines())) <= columns
    assert "…" not in out
    words = flat(out)
    for text in (standard.title, standard.publication, standard.edition, standard.note, *CAUTIONS):
        assert flat(text) in words
    for rule in standard.rules:
        assert flat(rule.what) in words
        assert flat(rule.source) in words
    for task in standard.tasks:
        assert f"{task.title} ({task.kind})" in words
        for element in task.elements:
            assert element.code in words
            assert flat(element.source.removesuffix(f", {element.code}")) in words


@pytest.mark.parametrize("columns", [80, 100])
def test_every_limit_stands_on_the_line_of_its_code(
    columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    out = printed(capsys, "commercial-pilot")
    for code, limit in (
        ("CA.V.E.S5", "40°"),
        ("handbook-straight-segment", "3 to 5 s"),
        ("handbook-height", "600 to 1,000 ft"),
        ("CA.V.E.S6", "seen by eye"),
        ("practice-straight-segment", "none printed"),
        ("practice-entry-angle", "45 ± 15°"),
    ):
        assert re.search(rf"^{re.escape(code)}  .*  {re.escape(limit)}  +\[\d+\]", out, re.MULTILINE), code
    assert re.search(r"^CA\.V\.A\.S5  +bank held.*  50 ± 5°  ", out, re.MULTILINE)


def test_every_source_number_leads_to_a_source(capsys: pytest.CaptureFixture[str]) -> None:
    tasks, _, rest = printed(capsys, "private-pilot").partition("Sources of the limits")
    used = set(re.findall(r"\[(\d+)\]\s*$", tasks, re.MULTILINE))
    given = re.findall(r"^\[(\d+)\]", rest, re.MULTILINE)
    assert len(given) > 3
    assert used == set(given)
    assert given == [str(number) for number in range(1, len(given) + 1)]


TEXT = files("groundref.standards").joinpath("private-pilot.toml").read_text("utf-8")


def test_a_schools_own_file_is_printed_as_it_stands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Brackets in a school's words are words, not instructions to the terminal."""
    own = tmp_path / "own.toml"
    own.write_text(TEXT.replace("turns completed in", "[bold]turns[/bold] completed in"), "utf-8")
    assert "[bold]turns[/bold]" in printed(capsys, str(own))


@pytest.mark.parametrize(
    ("find", "replacement", "sentence"),
    [
        ('kind = "s-turns"', 'kind = "s-turn"', "task 3, kind: there is no maneuver 's-turn'"),
        (
            'kind = "s-turns"',
            'kind = "steep-turns"',
            "task 4, kind: there are two tasks of kind 'steep-turns'",
        ),
        ('quantity = "crossing"', 'quantity = "angle"', "quantity: there is no quantity 'angle'"),
        ("target = 45\nlimit = 5\n", "limit = 5\n", "target: bank-held needs a target"),
        ("target = 45\nlimit = 5\n", "target = 45\n", "limit: bank-held needs a limit"),
        ("minimum = 600\nlimit = 1000\n", "minimum = 600\n", "limit: a height band needs both ends"),
        ("minimum = 600\nlimit = 1000\n", "limit = 1000\n", "minimum: a height band needs both ends"),
        ('unit = "s"', 'unit = "h"', "unit: a limit of straight-segment is in 's', not 'h'"),
        ('source = "14 CFR 91.119(a)"\n', "", "rule 1: the key `source` is missing"),
    ],
)
def test_a_wrong_file_is_one_sentence_and_code_3(
    find: str, replacement: str, sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert find in TEXT
    own = tmp_path / "own.toml"
    own.write_text(TEXT.replace(find, replacement, 1), "utf-8")
    assert main(("standards", str(own))) == exits.INPUT
    captured = capsys.readouterr()
    assert captured.out == ""
    (line,) = captured.err.splitlines()
    assert line.startswith("groundref: ")
    assert sentence in line
    assert ";" in line  # the remedy


def test_an_unknown_name_is_a_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(("standards", "glider-pilot")) == exits.USAGE
    assert "european-example" in capsys.readouterr().err
