"""The catalogue holds every sentence that a live screen can be told, and every word of the engine that a screen shows."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

from engine.job.limits import Word as VerdictWord
from engine.job.loadout import KINDS as LOADED
from engine.job.model import PASSES_OF, Finish
from engine.job.returns import LOOKS
from engine.pour.around.moves import Kind as Way
from engine.pour.events import KINDS, StrokeName
from engine.pour.views import CallState, WindowState
from engine.site.bands import CHANGES
from engine.site.coating import LineName
from engine.site.curing import LiftWord
from engine.site.drying import Band as Drying
from engine.site.firstnight import Word as NightWord
from engine.site.opening import Basis
from engine.site.water import Word as WaterWord
from tests.tui.days import TEXTS

ROOT = Path(__file__).parents[2]
LIVE = ("engine", "tui")  # what a live screen can be told
SOURCES = sorted(path for folder in LIVE for path in (ROOT / folder).rglob("*.py"))
STEPS = ("water", "mixed", "tipped", *get_args(StrokeName))
FAMILIES: list[tuple[str, tuple[str, ...]]] = [
    ("call", get_args(CallState)),
    ("call.short", get_args(CallState)),
    ("state", get_args(WindowState)),
    ("until", ("may start", "due", "late", "lost", "workable", "mixed", "tipped", "water", "edge")),
    ("past", ("may start", "due", "late", "lost", "workable", "mixed", "tipped", "water", "edge")),
    ("step", STEPS),
    ("done_word", STEPS),
    ("figure", ("water", "mixing", "tip", *get_args(StrokeName))),
    (
        "stage",
        (
            "called",
            "mixing",
            "mixed",
            "tipped",
            "floated",
            "first trowel",
            "second trowel",
            "broomed",
            "edged",
        ),
    ),
    ("stage", ("curing", "lost")),
    ("finish", get_args(Finish)),
    ("pour", ("queued", "placing", "finishing", "curing", "open", "later visit")),
    (
        "task",
        ("mix", "carry", "place", *{name for names in PASSES_OF.values() for name in names}, "edge", "rinse"),
    ),
    ("line", tuple(kind.replace(" ", "_") for kind in KINDS if kind != "way taken")),
    ("way", ("strips", "both", *get_args(Way))),
    ("band", tuple(f"{of}_{band}".replace(" ", "_") for of, band in CHANGES)),
    ("change", tuple(name for names in CHANGES.values() for name in names)),
    ("drying", tuple(band.replace(" ", "_") for band in get_args(Drying))),
    ("load", tuple(kind.key for kind in LOADED)),
    ("blocks", tuple(kind.key for kind in LOADED)),
    ("return", tuple(name for names in LOOKS.values() for name in names)),
    ("return.title", tuple(name.replace(" ", "_") for name in LOOKS)),
    ("coating", tuple(name.replace(" ", "_") for name in get_args(LineName))),
    ("firstnight", tuple(word.replace(" ", "_") for word in get_args(NightWord))),
    ("blanket", tuple(word.replace(" ", "_") for word in get_args(LiftWord))),
    ("opening", tuple(word.replace(" ", "_") for word in get_args(Basis))),
    ("water", tuple(word.replace(" ", "_") for word in get_args(WaterWord))),
    ("verdict", ("past_aim", *(word.replace(" ", "_") for word in get_args(VerdictWord)))),
]


def _said(path: Path) -> Iterator[str]:
    """First arguments of `say(...)` that are written out."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) == "say":
            first = node.args[0] if node.args else None
            if isinstance(first, ast.Constant) and isinstance(first.value, str):
                yield first.value


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_sentence_asked_for_is_in_the_catalogue(path: Path) -> None:
    assert not [key for key in _said(path) if key not in TEXTS]


@pytest.mark.parametrize(("family", "names"), FAMILIES)
def test_every_word_of_the_engine_has_its_word_on_the_screen(family: str, names: tuple[str, ...]) -> None:
    assert not [name for name in names if f"{family}.{name}" not in TEXTS]


@pytest.mark.parametrize("key", TEXTS)
def test_a_text_has_plain_places_and_one_line(key: str) -> None:
    fields = [field for _, field, _, _ in string.Formatter().parse(TEXTS[key]) if field is not None]
    assert all(field.isidentifier() for field in fields)
    assert TEXTS[key].isprintable()


def test_window_words_fit_their_column_at_eighty_cells() -> None:
    assert all(len(TEXTS[f"state.{name}"]) <= 9 for name in get_args(WindowState))
    assert all(
        len(TEXTS[key]) <= 8
        for key in TEXTS
        if key.startswith(("until.", "past.")) and "may start" not in key
    )
    assert all(len(TEXTS[key]) <= 13 for key in TEXTS if key.startswith("step."))
    assert all(len(TEXTS[key]) <= 6 for key in TEXTS if key.startswith("finish."))
