"""A job filled in by hand and its file: written whole, opened again, never over anything unasked, nothing lost in silence."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import pytest
from form_ground import GROUND, LEAST, SAID, TODAY, VALUES

from engine.clock import HandClock
from engine.console.written import JobSheet, machine_zone, new_job
from engine.errors import BadInput
from engine.job.files import configs_folder, demo_job_path, read_job
from engine.job.writing.drafted import draft_job


def _sheet(path: Path) -> JobSheet:
    return new_job(path, SAID, HandClock(datetime.datetime(2026, 11, 5, 12, tzinfo=datetime.UTC).timestamp()))


def test_a_job_is_written_with_the_example_cards_it_names_and_reads(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    written = _sheet(path).write({**LEAST, "mixes": ("sanded small-stone",)})
    assert written == (
        str(path),
        str(tmp_path / "mixes/sanded.toml"),
        str(tmp_path / "mixes/small-stone.toml"),
    )
    assert [card.key for card in read_job(path, TODAY).mixes] == ["sanded", "small-stone"]
    assert sorted(tmp_path.iterdir()) == [path, tmp_path / "mixes"]  # nothing half written is left beside it


def test_own_cards_go_before_the_examples(tmp_path: Path) -> None:
    own = (configs_folder() / "mixes/sanded.toml").read_text(encoding="utf-8").replace("Sanded", "Own")
    (tmp_path / "own.toml").write_text(own, encoding="utf-8")
    path = tmp_path / "job.toml"
    assert _sheet(path).write(LEAST) == (str(path),)
    assert [card.name for card in read_job(path, TODAY).mixes] == ["Own rapid mix (example)"]


def test_a_card_that_cannot_be_read_says_why_when_it_is_named(tmp_path: Path) -> None:
    bad = (configs_folder() / "mixes/sanded.toml").read_text(encoding="utf-8").replace('"50 lb"', "50")
    (tmp_path / "own.toml").write_text(bad, encoding="utf-8")
    (fault,) = _sheet(tmp_path / "job.toml").draft({**LEAST, "mixes": ("own",)}).faults
    assert "own.toml: bag.mass" in fault.says


def test_nothing_is_written_over_unasked(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    sheet = _sheet(path)
    sheet.write(LEAST)
    before = path.read_bytes()
    with pytest.raises(BadInput, match="not written over unasked"):
        sheet.write({**LEAST, "name": ("Other",)})
    assert path.read_bytes() == before


def test_a_job_is_opened_again_and_mended(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    _sheet(path).write(LEAST)
    sheet = _sheet(path)
    assert sheet.over
    assert sheet.answers["weather"] == ("08:00 air 54 degF",)
    assert "people" not in sheet.answers
    sheet.write({**sheet.answers, "people": ("All",)}, over=True)
    assert [person.id for person in read_job(path, TODAY).people] == ["All"]


def test_a_file_changed_meanwhile_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    _sheet(path).write(LEAST)
    sheet = _sheet(path)
    path.write_text(path.read_text(encoding="utf-8") + "# by hand\n", encoding="utf-8")
    with pytest.raises(BadInput, match="changed this file meanwhile"):
        sheet.write(sheet.answers, over=True)


@pytest.mark.parametrize(
    ("old", "new", "lost_key"),
    [
        ('use = "walk"\n', 'use = "walk"\nslab = "6 in"\n', "pours[0].slab_m"),
        ('use = "walk"\n', 'use = "walk"\nvisit = 1\nsteel_bare = "30 %"\n', "pours[0].steel_bare"),
        ("[times]", '[practice.takeoff]\nwaste_sawn = "9 %"\n\n[times]', "practice.values"),
        ("[times]", '[[deadlines]]\nwhat = "rain"\nat = "16:00"\n\n[times]', "deadlines"),
        ("[times]", "# the radio is with F\n[times]", "remarks (#)"),
        ("# Written by bagcall", "# Ana's own\n# Written by bagcall", "remarks (#)"),
    ],
)
def test_a_file_of_which_the_form_would_lose_something_is_not_opened(
    tmp_path: Path, old: str, new: str, lost_key: str
) -> None:
    path = tmp_path / "job.toml"
    _sheet(path).write(LEAST)
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BadInput) as raised:
        _sheet(path)
    assert any(problem.where.startswith(lost_key) for problem in raised.value.problems)


def test_the_shipped_demo_job_is_not_rewritten() -> None:
    with pytest.raises(BadInput) as raised:
        _sheet(demo_job_path())
    assert {problem.where for problem in raised.value.problems} == {"pours[6].after", "remarks (#)"}


@pytest.mark.parametrize("name", ["job.txt", "nowhere/job.toml"])
def test_a_place_where_nothing_can_be_written_is_refused_before_anything_is_asked(
    tmp_path: Path, name: str
) -> None:
    with pytest.raises(BadInput):
        _sheet(tmp_path / name)


def test_a_disk_that_fails_leaves_the_old_file_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.toml"
    _sheet(path).write(LEAST)
    before, sheet = path.read_bytes(), _sheet(path)

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("engine.console.written.os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        sheet.write({**sheet.answers, "people": ("All",)}, over=True)
    assert path.read_bytes() == before
    assert not list(tmp_path.glob("*.part"))


def test_the_zone_of_the_machine_stands_in_for_one_nobody_gave(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "America/Denver")
    assert machine_zone() == "America/Denver"
    told = {key: lines for key, lines in LEAST.items() if key != "time_zone"}
    draft, job = draft_job(told, replace(GROUND, zone="America/Denver"), VALUES, TODAY)
    assert job is not None
    assert job.zone == "America/Denver"
    assert "job.time_zone" in {one.where for one in draft.assumed}
