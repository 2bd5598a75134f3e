"""The house keeps its order: what lies at the top, which way imports run, how long a file may be."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "tui", "engine", "tests", "configs"}
FLOORS = [
    {"errors", "clock", "sources", "plain", "words"},
    {"units", "tables"},
    {"mix"},
    {"site"},
    {"job"},
    {"plan"},
    {"pour"},
    {"record"},
    {"rehearsal"},
    {"console"},
]
FLOOR = {name: level for level, names in enumerate(FLOORS) for name in names}
ENGINE = sorted((ROOT / "engine").rglob("*.py"))
SOURCES = [*ENGINE, *sorted((ROOT / "tui").rglob("*.py"))]
LONGEST_FILE, LONGEST_FUNCTION = 400, 40
TIME_CALLERS = {"clock.py"}


def _tracked() -> set[str]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    return {name.split("/")[0] for name in listed.stdout.splitlines()}


def test_the_top_level_holds_exactly_the_agreed_entries() -> None:
    tracked = _tracked()
    if not tracked:
        pytest.skip("not a checkout")
    assert {name for name in tracked if not name.startswith(".")} == TOP


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def _floor_of(path: Path) -> int:
    return FLOOR.get(path.relative_to(ROOT / "engine").parts[0].removesuffix(".py"), -1)


@pytest.mark.parametrize("path", ENGINE, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_run_downwards_only(path: Path) -> None:
    own = _floor_of(path)
    for name in _imports(path):
        parts = name.split(".")
        assert parts[0] not in ("textual", "rich", "tui"), name
        if parts[0] == "engine" and len(parts) > 1 and parts[1] in FLOOR and own >= 0:
            same_house = path.relative_to(ROOT / "engine").parts[0].removesuffix(".py") == parts[1]
            assert FLOOR[parts[1]] < own or same_house or (FLOOR[parts[1]] == own <= 1), (
                f"{path} imports {name}"
            )


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_files_and_functions_are_short(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= LONGEST_FILE
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            assert (node.end_lineno or 0) - node.lineno + 1 <= LONGEST_FUNCTION, node.name


@pytest.mark.parametrize("path", ENGINE, ids=lambda path: str(path.relative_to(ROOT)))
def test_only_the_clock_asks_the_time(path: Path) -> None:
    if path.name not in TIME_CALLERS:
        assert not {name for name in _imports(path) if name == "time" or name.startswith("time.")}


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_only_the_unit_module_knows_pint(path: Path) -> None:
    if path.name != "units.py":
        assert not {name for name in _imports(path) if name.split(".")[0] == "pint"}


def test_the_engine_loads_no_screen_framework_and_no_unit_registry() -> None:
    code = "import sys, engine.console; print(sorted({'textual', 'rich', 'pint'} & set(sys.modules)))"
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert ran.stdout.strip() == "[]", ran.stderr


def test_the_wheel_takes_every_package_along() -> None:
    listed = set(
        tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]["packages"]
    )
    tracked = subprocess.run(
        ["git", "ls-files", "engine", "tui"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    found = {
        str(Path(name).parent).replace("/", ".")
        for name in tracked.stdout.splitlines()
        if name.endswith(".py")
    }
    assert found <= listed
    for name in listed:
        folder = name.replace("engine.configs", "configs").replace(".", "/")
        assert (ROOT / folder).is_dir(), name
