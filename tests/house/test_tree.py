"""The tree: sizes, no traces of a machine, pins, and the two commands."""

from __future__ import annotations

import ast
import re
import statistics
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "groundref"
MODULES = sorted(PACKAGE.rglob("*.py"))
LARGEST_MODULE = 400
LOCKS = sorted((ROOT / "requirements").glob("*.txt"))
# Put together here, so that this file does not hold what it looks for.
MACHINE = re.compile("|".join(("/" + folder + "/") for folder in ("work", "root", r"home/\w+", r"Users/\w+")))
LEFT_OUT = {".git", ".venv", "out", "dist", "build", "__pycache__", "LICENSE"}


def files() -> Iterator[Path]:
    """Yield the project's own files."""
    for path in ROOT.rglob("*"):
        inside = path.relative_to(ROOT).parts
        made = LEFT_OUT & set(inside) or any(part.endswith((".egg-info", "_cache")) for part in inside)
        if path.is_file() and not made and ".hypothesis" not in inside:
            yield path


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_module_is_too_long(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= LARGEST_MODULE


def function_sizes() -> list[int]:
    """Return the number of body lines, without the docstring, of every function of the package."""
    sizes = []
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef):
                body = node.body[1:] if ast.get_docstring(node) is not None else node.body
                sizes.append((body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0)
    return sizes


def test_functions_are_short() -> None:
    sizes = function_sizes()
    assert statistics.median(sizes) <= 10
    assert sum(size < 25 for size in sizes) >= 0.9 * len(sizes)


def test_no_path_of_a_machine_stands_in_the_tree() -> None:
    found = []
    for path in files():
        try:
            text = path.read_text("utf-8")
        except UnicodeDecodeError:
            continue
        found += [f"{path.relative_to(ROOT)}: {line}" for line in text.splitlines() if MACHINE.search(line)]
    assert not found


@pytest.mark.parametrize("lock", LOCKS, ids=lambda path: path.name)
def test_every_package_is_pinned_with_hashes_and_without_an_address(lock: Path) -> None:
    text = lock.read_text("utf-8")
    assert "://" not in text
    assert "--index-url" not in text
    assert "--find-links" not in text
    pinned = [line for line in text.splitlines() if line and not line.startswith((" ", "#"))]
    assert pinned
    for entry in re.split(r"\n(?=\S)", text.strip()):
        assert re.match(r"[A-Za-z0-9._-]+==\S+", entry), entry
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", entry), entry


def versions(lock: str) -> dict[str, str]:
    text = (ROOT / "requirements" / lock).read_text("utf-8")
    return dict(re.findall(r"^([A-Za-z0-9._-]+)==([^\s;]+)", text, re.MULTILINE))


def test_the_tests_run_with_the_versions_that_users_get() -> None:
    users, developers = versions("runtime.txt"), versions("dev.txt")
    assert users.items() <= developers.items()


def test_every_dependency_is_pinned() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    wanted = {re.split(r"[\[><=!~ ]", entry)[0] for entry in project["project"]["dependencies"]}
    assert wanted <= versions("runtime.txt").keys()
    wanted = {
        re.split(r"[\[><=!~ ]", entry)[0] for entry in project["project"]["optional-dependencies"]["terrain"]
    }
    assert wanted <= versions("terrain.txt").keys() & versions("dev.txt").keys()
    wanted = {
        re.split(r"[\[><=!~ ]", entry)[0] for entry in project["project"]["optional-dependencies"]["school"]
    }
    assert wanted <= versions("school.txt").keys() & versions("dev.txt").keys()
    wanted = {re.split(r"[\[><=!~ ]", entry)[0] for entry in project["dependency-groups"]["dev"]}
    assert wanted <= versions("dev.txt").keys()
    wanted = {re.split(r"[\[><=!~ ]", entry)[0] for entry in project["dependency-groups"]["build"]}
    assert wanted <= versions("build.txt").keys()


def test_the_script_can_be_read_by_an_old_python() -> None:
    """An old Python must get as far as the sentence that says it is too old."""
    ast.parse((ROOT / "run.py").read_text("utf-8"), feature_version=(3, 6))


def test_the_readme_gives_the_commands_that_ci_runs() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    assert "python3 run.py demo" in readme
    assert "python3 run.py check" in readme
    assert "python3 run.py check" in (ROOT / ".ci" / "run").read_text("utf-8")
