"""The shipped files: each is read, says where it comes from, and is found in a checkout and when installed."""

from __future__ import annotations

import ast
import datetime
import itertools
import tomllib
from pathlib import Path

import pytest

from engine.errors import BadInput
from engine.job import files
from engine.job.files import configs_folder, demo_job_path, read_job, read_words, shipped_practice
from engine.job.model import Job
from engine.job.practice import read_practice
from engine.mix.reader import KEYS, read_mix
from engine.sources import SOURCES

FOLDER = configs_folder()
JOBS = sorted((FOLDER / "jobs").glob("*.toml"))
MIXES = sorted((FOLDER / "mixes").glob("*.toml"))
ENGINE = Path(files.__file__).parents[1]
TODAY = datetime.date(2026, 7, 2)


def _toml(path: Path) -> dict[str, object]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def test_the_shipped_folder_holds_jobs_mixes_words_and_practice() -> None:
    assert {path.name for path in FOLDER.iterdir()} >= {"jobs", "mixes", "words", "practice.toml"}
    assert (len(JOBS), len(MIXES)) == (2, 3)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
@pytest.mark.parametrize("today", [TODAY, datetime.date(2027, 1, 31)])
def test_each_demo_job_works_on_the_day_it_is_run(path: Path, today: datetime.date) -> None:
    job = read_job(path, today)
    assert job.date == today.isoformat()
    assert "date" not in path.read_text(encoding="utf-8")
    assert job.targets


def _within_a_lift(job: Job, pour_id: str) -> bool:
    pour = job.pour(pour_id)
    return any(
        card.depth.min_m <= min(pour.depths_m) and max(pour.depths_m) <= card.depth.max_m
        for card in job.mixes
        if pour.mix in ("", card.key)
    )


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_each_pour_of_a_demo_job_suits_a_mix_of_it(path: Path) -> None:
    job = read_job(path, TODAY)
    assert all(_within_a_lift(job, pour.id) for pour in job.pours)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_no_id_of_a_demo_job_means_two_things(path: Path) -> None:
    job = read_job(path, TODAY)
    ids = [thing.id for things in (job.people, job.stations, job.pours) for thing in things]
    assert len(ids) == len(set(ids))


def test_the_program_starts_on_a_demo_job() -> None:
    assert demo_job_path() in JOBS


@pytest.mark.parametrize("path", MIXES, ids=lambda path: path.stem)
def test_each_demo_mix_is_read_called_an_example_and_marks_every_table(path: Path) -> None:
    card, problems = read_mix(_toml(path), path.stem, path.name)
    assert problems == ()
    assert card is not None
    assert card.name.endswith("(example)")
    marked = {key for key, _ in card.sources}
    leaves = [key for key in KEYS if not any(other.startswith(f"{key}.") for other in KEYS)]
    named = [key for key in leaves if _is_given(_toml(path), key)]
    assert [key for key in named if not any(key == m or key.startswith(f"{m}.") for m in marked)] == []


def _is_given(table: object, key: str) -> bool:
    for part in key.split("."):
        if not isinstance(table, dict) or part not in table:
            return False
        table = table[part]
    return key not in ("name", "kind")


def test_the_demo_mixes_cover_every_depth_from_thin_to_four_inches() -> None:
    cards = [read_mix(_toml(path), path.stem, path.name)[0] for path in MIXES]
    spans = sorted((card.depth.min_m, card.depth.max_m) for card in cards if card)
    assert spans[0][0] <= 0.00635
    assert spans[-1][1] >= 0.1016
    assert all(after[0] <= before[1] for before, after in itertools.pairwise(spans))


def test_every_practice_value_has_a_known_source() -> None:
    values = shipped_practice()
    assert len(values) == len({value.key for value in values})
    assert all(value.source in SOURCES for value in values)


def test_every_source_is_used_and_says_how_it_was_seen() -> None:
    used = {value.source for value in shipped_practice()}
    assert set(SOURCES) == used
    for key, source in SOURCES.items():
        assert source.title, key
        assert source.edition or source.clause or source.seen in ("trade", "own", "read", "memory"), key


# The clock of the design: constants of patch and base, waste, spread and noise of what is learned.
AGREED = {
    "heat.conductivity": 1.8,
    "heat.density": 2300,
    "heat.specific_heat": 1000,
    "heat.base_depth": 0.6,
    "heat.film_still": 10.79,
    "heat.film_wind": 4.192,
    "heat.sun": 520,
    "heat.latent": 2.45e6,
    "takeoff.waste_sawn": 0.08,
    "takeoff.waste_chipped": 0.15,
    "takeoff.tight_spare": 0.05,
    "learning.prior_sd": 0.20,
    "learning.stiff_noise": 0.10,
    "learning.word_noise": 0.15,
    "learning.factor_low": 0.6,
    "learning.factor_high": 1.6,
}
# Agency and code limits converted by hand: 12 in = 304.8 mm, 40 °F = 4.444 °C, 500 psi = 3.447 MPa, 1.5 gal = 5.678 L
PUBLISHED = {
    "geometry.merge_gap": 0.3048,
    "geometry.least_width": 0.1016,
    "evaporation.caution": 0.5,
    "evaporation.limit": 1.0,
    "temperature.hold_under": 40 / 9,
    "temperature.insulate_under": 115 / 9,
    "temperature.hot_over": 290 / 9,
    "frost.least_strength": 3.447e6,
    "frost.blanket_difference": 100 / 9,
    "buying.rinse_per_bag": 5.678,
    "buying.soak": 20.37,
    "surface.neighbour_difference": 0.0047625,
    "surface.aim_running": 0.075,
    "coating.least_age": 28 * 86400,
}


@pytest.mark.parametrize(("key", "number"), [*AGREED.items(), *PUBLISHED.items()])
def test_practice_values_are_those_agreed_or_published(key: str, number: float) -> None:
    numbers = {value.key: value.number for value in shipped_practice()}
    assert numbers[key] == pytest.approx(number, rel=5e-4)


def _keys_asked_for() -> set[str]:
    """Dotted texts in the engine that look like a practice value's key."""
    groups = {value.key.split(".")[0] for value in shipped_practice()}
    found = set()
    for path in ENGINE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Constant):
                text = node.slice.value
                if isinstance(text, str) and text.count(".") == 1 and text.split(".")[0] in groups:
                    found.add(text)
    return found


def test_every_practice_value_that_the_engine_asks_for_is_shipped() -> None:
    asked = _keys_asked_for()
    assert asked
    assert asked <= {value.key for value in shipped_practice()}


@pytest.mark.parametrize(
    ("entry", "where"),
    [
        ({"value": "8 %", "kind": "share"}, "takeoff.waste.source"),
        ({"value": "8 %", "kind": "share", "source": "hearsay"}, "takeoff.waste.source"),
        ({"value": "8 in", "kind": "share", "source": "practice"}, "takeoff.waste.value"),
        ({"value": "800 %", "kind": "share", "source": "practice"}, "takeoff.waste.value"),
        ({"value": "8 %", "kind": "part", "source": "practice"}, "takeoff.waste.kind"),
        ({"value": 2, "kind": "number", "within": [3, 4], "source": "practice"}, "takeoff.waste.value"),
        ({"value": 2, "kind": "number", "within": [3], "source": "practice"}, "takeoff.waste.within"),
        ({"value": 2.5, "kind": "count", "source": "practice"}, "takeoff.waste.value"),
        (8, "takeoff.waste"),
    ],
)
def test_a_faulty_practice_value_is_named_with_its_place(entry: object, where: str) -> None:
    problems = read_practice({"takeoff": {"waste": entry}}, "practice.toml")[1]
    assert where in [p.where for p in problems]


def test_words_are_read_flat_and_an_unknown_language_is_refused() -> None:
    words = read_words("en")
    assert words
    assert all("." in key for key in words)
    with pytest.raises(BadInput, match="one of en"):
        read_words("../practice")


def test_the_folder_inside_the_package_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    module = tmp_path / "engine" / "job" / "files.py"
    module.parent.mkdir(parents=True)
    monkeypatch.setattr(files, "__file__", str(module))
    assert files.configs_folder() == (tmp_path / "configs").resolve()
    (tmp_path / "engine" / "configs").mkdir()
    assert files.configs_folder() == (tmp_path / "engine" / "configs").resolve()
