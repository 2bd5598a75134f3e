"""A learned file goes the whole way: written from logs, read by a job, in its plan, and out of the way when learned anew."""

from __future__ import annotations

import datetime
import json
import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest

from engine import console
from engine.errors import BadInput, Problem
from engine.job.files import read_job
from engine.job.model import Job
from engine.plain import from_plain, to_plain
from tests.record.learning.simulated import Writer, job_at, saved, written
from tests.scenarios.expected import DATA
from tui.cli import main

TODAY = datetime.date(2026, 11, 5)
NAME = "small-stone.learned.toml"

GOOD = """
[mixes.small-stone.activation_energy]
value = "46 kJ/mol"
low = "44 kJ/mol"
high = "48 kJ/mol"
observations = 200
was = "40 kJ/mol"

[mixes.small-stone.working_time]
value = "3 min 30 s"
low = "3 min"
high = "4 min"
observations = 60
was = "3 min"

[mixes.small-stone.second_trowel_due]
value = "10 min"
low = "9 min 30 s"
high = "10 min 30 s"
observations = 60
was = "9 min"

[mixes.small-stone.mixing_time]
value = "1 min 45 s"
low = "1 min 30 s"
high = "2 min"
observations = 60
was = "1 min 30 s"

[[mixes.small-stone.stretch]]
packets = 1
value = 2.2
low = 2.1
high = 2.3
observations = 30
was = 2.0

[times.carry]
value = "42 s"
low = "30 s"
high = "1 min"
observations = 30
was = "30 s"

[times.float]
value = "8 s/ft^2"
low = "6 s/ft^2"
high = "9 s/ft^2"
observations = 12
was = "10 s/ft^2"
"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    shutil.copytree(DATA / "library", folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    named = text.replace("[job]", f'[job]\nlearned = ["{NAME}"]', 1)
    (folder / "job.toml").write_text(named, encoding="utf-8")
    return folder


def _job(site: Path, learned: str) -> Job:
    (site / NAME).write_text(learned, encoding="utf-8")
    return read_job(site / "job.toml", TODAY)


def _problems(site: Path, learned: str) -> list[Problem]:
    with pytest.raises(BadInput) as bad:
        _job(site, learned)
    assert {problem.file for problem in bad.value.problems} == {NAME}
    return list(bad.value.problems)


def test_a_job_runs_on_the_learned_values(site: Path) -> None:
    job = _job(site, GOOD)
    card = job.mix("small-stone")
    assert card.setting.activation_j_mol == 46_000.0
    assert card.retarder.stretch == (1.0, 2.2, 2.8)
    assert card.mixing_s == 105.0
    assert (job.times.carry_s, job.times.float_s_m2) == (42.0, pytest.approx(8.0 / 0.09290304))


def test_a_longer_mixing_time_leaves_the_workable_age_where_it_is(site: Path) -> None:
    """Learned: 210 s after the card's 90 s of mixing; with 105 s of mixing 195 s of it are left."""
    card = _job(site, GOOD).mix("small-stone")
    assert (card.workable_s, card.setting.working_s) == (300.0, 195.0)


def test_a_learned_due_takes_its_whole_window_along(site: Path) -> None:
    window = _job(site, GOOD).mix("small-stone").passes.second_trowel
    assert window is not None
    ages = (window.open_s, window.due_s, window.late_s, window.lost_s)
    assert ages == pytest.approx([age * 10.0 / 9.0 for age in (450.0, 540.0, 690.0, 840.0)])


def test_the_log_keeps_what_card_and_job_say_beside_what_was_learned(site: Path) -> None:
    job = _job(site, GOOD)
    assert job.written is not None
    assert job.written.mixes[0].setting.activation_j_mol == 40_000.0
    assert job.written.times.carry_s == 30.0
    assert {one.key for one in job.learned} >= {"activation_energy", "stretch_1", "carry"}
    assert from_plain(Job, json.loads(json.dumps(to_plain(job)))) == job


BAD = """
colour = 1
[mixes.small-stone.activation_energy]
value = "46"
low = "44 kJ/mol"
high = "48 kJ/mol"
observations = 0
was = "40 kJ/mol"
[mixes.small-stone.workingtime]
value = "3 min"
[mixes.small-stone.mixing_time]
value = "3 min"
low = "1 min"
high = "2 min"
observations = 5
was = "1 min 30 s"
[[mixes.small-stone.stretch]]
packets = 1
value = 0.5
low = 0.4
high = 2.3
observations = 30
[times.walk]
value = "3 s"
[times.carry]
value = 30
low = "30 s"
high = "31 s"
observations = 1.5
was = "30 s"
"""


def test_every_fault_is_found_in_one_run(site: Path) -> None:
    assert {problem.where for problem in _problems(site, BAD)} == {
        "colour",
        "mixes.small-stone.activation_energy.value",
        "mixes.small-stone.activation_energy.observations",
        "mixes.small-stone.workingtime",
        "mixes.small-stone.mixing_time.value",
        "mixes.small-stone.stretch[0].value",
        "mixes.small-stone.stretch[0].was",
        "times.walk",
        "times.carry.value",
        "times.carry.observations",
    }


def test_the_nearest_key_is_named(site: Path) -> None:
    near = {problem.where: problem.nearest for problem in _problems(site, BAD)}
    assert near["mixes.small-stone.workingtime"] == "working_time"


@pytest.mark.parametrize(
    ("old", "new", "where", "says"),
    [
        ('was = "40 kJ/mol"', 'was = "41 kJ/mol"', "mixes.small-stone.activation_energy", "changed since"),
        ('was = "30 s"', 'was = "31 s"', "times.carry", "changed since"),
        ("packets = 1", "packets = 1.5", "mixes.small-stone.stretch[0]", "has none such"),
        ("second_trowel_due", "float_due", "mixes.small-stone.float_due", "has none such"),
        (
            'value = 2.2\nlow = 2.1\nhigh = 2.3',
            'value = 2.9\nlow = 2.1\nhigh = 3.0',
            "mixes.small-stone",
            "retarder.stretch would have to be no value less",
        ),
        (
            'value = "3 min 30 s"\nlow = "3 min"\nhigh = "4 min"',
            'value = "12 min"\nlow = "3 min"\nhigh = "14 min"',
            "mixes.small-stone",
            "clock.initial_set would have to be not less than working_time",
        ),
    ],
)  # fmt: skip
def test_values_of_another_card_or_that_no_card_could_hold_are_refused(
    site: Path, old: str, new: str, where: str, says: str
) -> None:
    assert old in GOOD
    (problem, *more) = _problems(site, GOOD.replace(old, new))
    assert (problem.where, more) == (where, [])
    assert says in problem.accepted


def test_a_file_about_other_mixes_alone_names_the_nearest_of_the_job(site: Path) -> None:
    only = GOOD[: GOOD.index("[mixes.small-stone.working")].replace("small-stone", "small-stones")
    (problem,) = _problems(site, only)
    assert (problem.accepted, problem.nearest) == ("a mix of the job", "small-stone")


def test_a_value_is_learned_from_one_file_only(site: Path) -> None:
    text = (site / "job.toml").read_text(encoding="utf-8")
    both = text.replace(f'["{NAME}"]', f'["more.toml", "{NAME}"]')
    (site / "job.toml").write_text(both, encoding="utf-8")
    (site / "more.toml").write_text(GOOD[GOOD.index("[times.carry]") : GOOD.index("[times.float]")], "utf-8")
    (problem,) = _problems(site, GOOD)
    assert problem.where == "times.carry"
    assert "more.toml" in problem.accepted


def test_the_plan_says_which_values_are_learned(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (site / NAME).write_text(GOOD, encoding="utf-8")
    main(["check", str(site / "job.toml")])
    printed = capsys.readouterr().out
    assert "small-stone: activation energy 46.0 kJ/mol, was 40.0 kJ/mol" in printed
    assert "carry, up to the tip 0:42, was 0:30" in printed


# From logs to a file and back


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    folder = tmp_path_factory.mktemp("logs")
    days = written(1, (5.0, 20.0, 35.0) * 3)
    return [str(saved(day, folder / f"day-{n}.jsonl")) for n, day in enumerate(days)]


def _learn(capsys: pytest.CaptureFixture[str], *asked: str) -> tuple[int, str, str]:
    code = main(["learn", *asked])
    printed = capsys.readouterr()
    return code, printed.out, printed.err


def test_what_is_written_is_read_again_as_it_was_told(
    site: Path, logs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = _learn(capsys, *logs, "-o", str(site / NAME), "--json")
    found: dict[str, Any] = json.loads(out)
    assert (code, found["written"]) == (0, str(site / NAME))
    card = read_job(site / "job.toml", TODAY).mix("small-stone")
    told = {one["value"]: one for one in found["mixes"][0]["values"] if one["told"]}
    assert card.setting.activation_j_mol == pytest.approx(
        told["activation_energy"]["learned_j_mol"], rel=1e-4
    )
    assert card.passes.first_trowel.due_s == pytest.approx(told["first_trowel_due"]["learned_s"], rel=1e-4)
    assert card.retarder.stretch[1] == pytest.approx(told["stretch_1"]["learned"], rel=1e-3)


def test_the_file_names_no_more_than_it_rests_on(
    tmp_path: Path, logs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "learned.toml"
    _learn(capsys, *logs, "-o", str(out))
    table = tomllib.loads(out.read_text(encoding="utf-8"))
    assert table["about"] == {"logs": 9, "first": "2026-11-05", "last": "2026-11-13"}
    assert table["mixes"]["small-stone"]["activation_energy"]["was"] == "40 kJ/mol"


def test_nothing_that_stands_is_written_over(
    logs: list[str], site: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    card = site / "small-stone.toml"
    before = card.read_bytes()
    code, _, err = _learn(capsys, *logs, "-o", str(card))
    assert (code, card.read_bytes()) == (2, before)
    assert "there is something here already" in err


def test_one_day_writes_no_file_and_says_no(
    tmp_path: Path, logs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = _learn(capsys, logs[0], "-o", str(tmp_path / "learned.toml"))
    assert code == 1
    assert "not told, activation energy" in out
    assert not (tmp_path / "learned.toml").exists()


def test_the_print_sets_the_card_beside_what_was_learned(
    logs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = _learn(capsys, *logs)
    assert code == 0
    line = next(line for line in out.splitlines() if "activation energy" in line)
    assert "40.0 kJ/mol" in line
    assert "on 9 days" in line


def test_damaged_logs_and_other_files_are_all_named_in_one_run(
    tmp_path: Path, logs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    lines = Path(logs[0]).read_bytes().splitlines(keepends=True)
    (tmp_path / "hurt.jsonl").write_bytes(b"".join([lines[0], *lines[2:]]))
    (tmp_path / "notes.txt").write_text("no log\n", encoding="utf-8")
    names = ("hurt.jsonl", "notes.txt", "none.jsonl")
    code, _, err = _learn(capsys, logs[1], *(str(tmp_path / name) for name in names))
    assert code == 2
    assert all(name in err for name in names)


def test_a_log_that_ends_in_half_a_line_counts_without_it(
    tmp_path: Path, logs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    whole = Path(logs[0]).read_bytes()
    (tmp_path / "torn.jsonl").write_bytes(whole[:-20])
    code, out, _ = _learn(capsys, str(tmp_path / "torn.jsonl"))
    assert code == 0
    assert "torn.jsonl ends in half a line" in " ".join(out.split())


def test_days_on_learned_values_are_learned_from_like_days_on_the_card(site: Path, tmp_path: Path) -> None:
    """The log keeps the card itself: what was learned before is not learned a second time."""
    (site / NAME).write_text(GOOD, encoding="utf-8")
    said, found = console.words(), []
    for name, job in (("learned", site / "job.toml"), ("plain", DATA / "library" / "job.toml")):
        log = tmp_path / f"{name}.jsonl"
        console.enter(job, DATA / "library" / "notes.csv", log, said)
        found.append(console.learn([log], said))
    assert [one["mixes"] for one in found[:1]] == [one["mixes"] for one in found[1:]]
    assert found[0]["crew"] == found[1]["crew"]


def test_rehearsals_are_learned_from_only_where_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    days = [Writer(job_at(20.0, n), made_up=True) for n in range(2)]
    names = [str(saved(day, tmp_path / f"made-up-{n}.jsonl")) for n, day in enumerate(days)]
    code, _, err = _learn(capsys, *names)
    assert (code, err.count("a rehearsal given")) == (2, 2)
    code, out, _ = _learn(capsys, *names, "--made-up")
    assert code == 0
    assert out.startswith("REHEARSALS, made-up days: 2 logs")
