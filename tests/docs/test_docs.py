"""The pages tell the truth: their examples run, and every command and option stands in them."""

from __future__ import annotations

import os
import re
import runpy
import shlex
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from groundref.aircraft.loading import parse_aircraft
from groundref.assessment.findings import APPLIES
from groundref.assessment.findings import FAULTS as ERRORS
from groundref.cli.main import COMMANDS, build, main
from groundref.cli.record import COMMANDS as RECORD_COMMANDS
from groundref.cli.record import record_app
from groundref.simulation.faults import FAULTS
from groundref.simulation.shapes import APPLYING
from groundref.standards.loading import parse_standard
from groundref.standards.usual import USUAL
from groundref.units import degree, foot

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
COMMANDS_PAGE = (ROOT / "docs" / "commands.md").read_text("utf-8")


def blocks(page: Path, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", page.read_text("utf-8"), re.MULTILINE | re.DOTALL)


def said(words: list[str], cwd: Path) -> str:
    """Return what a Python of its own prints, as for a reader."""
    done = subprocess.run(
        [sys.executable, *words],
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **variables(cwd)},
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def variables(folder: Path) -> dict[str, str]:
    """Return the variables for commands in a folder: their output is as wide as the pages show it."""
    return {"COLUMNS": "100", "GROUNDREF_RECORD": str(folder / "training-record.sqlite")}


@pytest.fixture
def groundref(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., str]:
    """Return what runs a command in this process and in an empty folder, and returns what it prints."""
    monkeypatch.chdir(tmp_path)
    for name, value in variables(tmp_path).items():
        monkeypatch.setenv(name, value)
    capsys.readouterr()

    def groundref(*words: str) -> str:
        code = main(words)
        printed = capsys.readouterr()
        assert code == 0, printed.err
        return printed.out

    return groundref


def matches(printed: str, shown: str) -> bool:
    """Return whether what was printed is what the page shows, where `…` stands for anything."""
    pattern = ".*".join(re.escape(" ".join(part.split())) for part in shown.split("…"))
    return (
        re.fullmatch(r"\s*" + pattern.replace(r".*\ ", ".*") + r"\s*", " ".join(printed.split())) is not None
    )


@pytest.mark.parametrize(
    "page", [page for page in PAGES if blocks(page, "console")], ids=lambda page: page.name
)
def test_commands_print_what_the_page_shows(page: Path, groundref: Callable[..., str]) -> None:
    for block in blocks(page, "console"):
        for example in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, _, shown = example.partition("\n")
            program, *words = shlex.split(command)
            assert program == "groundref"
            printed = groundref(*words)
            assert matches(printed, shown), printed


def test_the_commands_of_the_readme_work_as_they_stand_in_their_order(tmp_path: Path) -> None:
    here = ".venv/bin/groundref "
    lines = "".join(blocks(ROOT / "README.md", "sh")).splitlines()
    commands = [shlex.split(line.removeprefix(here)) for line in lines if line.startswith(here)]
    assert [words[0] for words in commands] == [
        "plan", "plan", "simulate", "debrief", "record", "record",
    ]  # fmt: skip
    printed = [said(["-m", "groundref", *words], tmp_path) for words in commands]
    assert "fly wider" in printed[0]
    assert "do not fit together" not in printed[1]
    assert "Plan and flight" in printed[3]
    assert "Lesson 1 is in the record: Jo Brandt with Ines Okafor" in printed[4]
    assert "Progress of Jo Brandt" in printed[5]
    assert {"plan.json", "brief.pdf", "lesson.gpx", "lesson.html"} <= {
        each.name for each in tmp_path.iterdir()
    }


def test_every_page_stands_in_the_table_of_the_readme() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    for page in PAGES[1:]:
        assert f"| [docs/{page.name}](docs/{page.name}) |" in readme


@pytest.mark.parametrize(
    "page", [page for page in PAGES[1:] if blocks(page, "python")], ids=lambda page: page.name
)
def test_python_on_the_page_runs(
    page: Path, groundref: Callable[..., str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    groundref("simulate", "turns-around-a-point", "-o", "lesson.gpx")
    script = tmp_path / "script.py"
    script.write_text("\n".join(blocks(page, "python")), "utf-8")
    runpy.run_path(str(script), run_name="__main__")
    assert capsys.readouterr().out.strip()


def test_python_of_the_readme_runs_by_itself(groundref: Callable[..., str], tmp_path: Path) -> None:
    groundref("simulate", "turns-around-a-point", "-o", "lesson.gpx")
    assert said(["-c", "\n".join(blocks(ROOT / "README.md", "python"))], tmp_path).strip()


def test_the_data_files_on_the_page_are_accepted() -> None:
    standard, airplane = blocks(ROOT / "docs" / "data-files.md", "toml")
    assert parse_standard(standard, "page").name == tomllib.loads(standard)["name"]
    assert parse_aircraft(airplane, "page").name == tomllib.loads(airplane)["name"]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_and_option_stands_in_the_page(command: str) -> None:
    assert f"groundref {command}" in COMMANDS_PAGE
    for argument in build()[command].assemble_argument_collection(parse_docstring=False):
        for name in argument.names:
            if name.startswith("--") and name != "--output":
                assert name in COMMANDS_PAGE, name


@pytest.mark.parametrize("command", RECORD_COMMANDS)
def test_every_command_and_option_of_the_record_stands_in_its_page(command: str) -> None:
    page = (ROOT / "docs" / "record.md").read_text("utf-8")
    assert f"groundref record {command}" in page
    for argument in record_app()[command].assemble_argument_collection(parse_docstring=False):
        for name in argument.names:
            if name.startswith("--"):
                assert name in page, name


def test_every_fault_stands_in_the_page_with_its_size() -> None:
    page = (ROOT / "docs" / "simulate.md").read_text("utf-8")
    rows = re.findall(r"^\| `([a-z-]+)` \| (\w+) \| ([\d.]+) \|", page, re.MULTILINE)
    shown = {name: (unit, float(size)) for name, unit, size in rows}
    assert shown == {name: (fault.unit, fault.default) for name, fault in FAULTS.items()}


def test_the_page_says_which_faults_apply_and_what_is_usual() -> None:
    page = (ROOT / "docs" / "simulate.md").read_text("utf-8")
    applying = dict(re.findall(r"^\| `([a-z-]+)` \| ((?:`[a-z-]+` )+)\|$", page, re.M))
    assert {kind: set(re.findall(r"`([a-z-]+)`", names)) for kind, names in applying.items()} == {
        kind: set(names) for kind, names in APPLYING.items()
    }
    number = r" ([\d,]+) \|"
    rows = re.findall(rf"^\| `([a-z-]+)` \| [a-z ,]+ \|{number * 4}$", page, re.M)
    shown = {kind: [float(each.replace(",", "")) for each in figures] for kind, *figures in rows}
    assert shown == {
        kind: pytest.approx([one.laps, one.radius / foot, one.height / foot, one.bank / degree])
        for kind, one in USUAL.items()
    }


def test_every_finding_stands_in_its_page_and_the_kinds_that_it_is_looked_for_in() -> None:
    page = (ROOT / "docs" / "findings.md").read_text("utf-8")
    headings = re.findall(r"^### (.*)$", page, re.MULTILINE)
    assert sorted(name for heading in headings for name in heading.split(", ")) == sorted(ERRORS)
    rows = re.findall(r"^\| `([a-z-]+)` \| ((?:`[a-z-]+` ?)+) \|$", page, re.MULTILINE)
    shown = {kind: set(re.findall(r"`([a-z-]+)`", names)) for kind, names in rows}
    assert shown == {kind: set(faults) for kind, faults in APPLIES.items()}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text("utf-8")):
        assert (page.parent / target).exists(), target
