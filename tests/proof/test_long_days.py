"""Days at the edge of what may be said: many bags, long chains, numbers without end. Sizes are of our own choice."""

from __future__ import annotations

import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import tomli_w

from engine.console.ground import at_start
from engine.job.files import read_job
from engine.plan.moves import Moves
from engine.plan.problem import Problem, Schedule
from engine.pour import planning
from engine.pour.around import explained
from engine.record.entered import MOST_WET
from engine.record.notes import MOST_ROWS, parse_notes
from tests.proof.hostile_cases import ANSWERS, LIBRARY, job_table
from tui.cli import main

CARD = (LIBRARY / "small-stone.toml").read_text(encoding="utf-8")


def site(folder: Path, table: dict[str, Any]) -> Path:
    (folder / "small-stone.toml").write_text(CARD, encoding="utf-8")
    (folder / "job.toml").write_text(tomli_w.dumps(table), encoding="utf-8")
    return folder / "job.toml"


def many_bags(area_m2: float) -> dict[str, Any]:
    table = job_table()
    whole = {key: value for key, value in table["pours"][0].items() if key not in ("length", "width")}
    return {**table, "pours": [{**whole, "area": f"{area_m2} m^2"}]}


def test_a_long_day_tries_fewer_plans(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[int | None] = []

    def counted(problem: Problem, budget_evaluations: int | None = None) -> Schedule:
        tried.append(budget_evaluations)
        return real(problem, budget_evaluations=2)

    real = planning.plan
    monkeypatch.setattr(planning, "plan", counted)
    job = read_job(site(tmp_path, many_bags(60.0)), datetime.date(2026, 11, 5))
    bags = sum(taken.bags for taken in at_start(job).takeoffs.values())
    planning.day_plan(at_start(job), rounds=2, search=300)
    assert bags > planning.LARGE
    assert tried
    assert all(one is not None and one * bags <= planning.LARGE_RUNS for one in tried)
    assert tried == [int(planning.LARGE_RUNS / bags)] * 3


def test_a_short_day_tries_all_it_was_allowed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[int | None] = []

    def counted(problem: Problem, budget_evaluations: int | None = None) -> Schedule:
        tried.append(budget_evaluations)
        return real(problem, budget_evaluations=2)

    real = planning.plan
    monkeypatch.setattr(planning, "plan", counted)
    job = read_job(site(tmp_path, job_table()), datetime.date(2026, 11, 5))
    planning.day_plan(at_start(job), rounds=2, search=300)
    assert tried[:3] == [None, None, 300]


def test_a_chain_of_five_thousand_tasks_is_sorted_as_any_other() -> None:
    count = 5000
    before = [[task + 1] if task + 1 < count else [] for task in range(count)]
    found = Moves.in_order(SimpleNamespace(before=before), list(range(count)), [0.0] * count)  # type: ignore[arg-type]
    assert found == list(range(count))[::-1]


@pytest.mark.parametrize("question", ["packets", "vessels", "bags"])
def test_a_number_without_end_is_no_answer(
    question: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = [line for line in ANSWERS.splitlines() if not line.startswith(f"{question}:")]
    (tmp_path / "answers.txt").write_text("\n".join([*told, f"{question}: {'9' * 400}"]), encoding="utf-8")
    assert main(["new", str(tmp_path / "new.toml"), "--from", str(tmp_path / "answers.txt")]) == 2
    assert f"{question}, line 1: " in capsys.readouterr().err


def test_notes_of_more_rows_than_a_day_has_are_refused_at_the_first_too_many(tmp_path: Path) -> None:
    job = read_job(site(tmp_path, job_table()), datetime.date(2026, 11, 5))
    rows = ["time,what,which,who,value", *["09:00:00,note,,,again"] * (MOST_ROWS + 5)]
    found, problems = parse_notes("\n".join(rows), job, "notes.csv")
    assert len(found) == MOST_ROWS
    assert [one.where for one in problems] == [f"line {MOST_ROWS + 2}"]


def test_notes_of_bags_that_nobody_tips_are_refused_before_they_are_planned_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = site(tmp_path, job_table())
    rows = ["time,what,which,who,value", *["09:00:00,water,P1,MA,"] * (MOST_WET + 2)]
    (tmp_path / "notes.csv").write_text("\n".join(rows), encoding="utf-8")
    assert main(["enter", str(job), str(tmp_path / "notes.csv"), "-o", str(tmp_path / "day.jsonl")]) == 2
    told = capsys.readouterr().err.splitlines()
    assert [line.split(": ")[1] for line in told] == [f"line {MOST_WET + 2}", f"line {MOST_WET + 3}"]


def test_signs_that_a_terminal_obeys_are_shown_in_a_refusal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = ANSWERS.replace("weather: 08:00", "weather: 08:00 \x1b[2J\x07")
    (tmp_path / "answers.txt").write_text(answers, encoding="utf-8")
    assert main(["new", str(tmp_path / "new.toml"), "--from", str(tmp_path / "answers.txt")]) == 2
    err = capsys.readouterr().err
    assert "\\u001b[2J" in err
    assert err.replace("\n", "").isprintable()


def test_twenty_people_of_every_skill_are_not_tried_crew_by_crew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There are many thousands of such crews."""
    skills = (["mix"], ["place"], ["finish"], ["mix", "place"], ["mix", "finish"], ["place", "finish"])
    people = [{"id": f"p{number}", "does": skills[number % len(skills)]} for number in range(20)]
    job = read_job(site(tmp_path, {**job_table(), "people": people}), datetime.date(2026, 11, 5))
    tried: list[int] = []
    monkeypatch.setattr(explained, "_tried", lambda _job, crew: tried.append(len(crew)))
    found = explained.explained(at_start(job), planning.day_plan(at_start(job), rounds=1, evaluations=2))
    assert found.crew is None
    assert not found.sought
    assert 0 < len(tried) <= explained.CREW_BAGS
    assert "explained.crew_unsought" in [one.key for one in explained.explained_said(found, job)]
