"""What logs are called and where they live."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.record import folder

JOB = "Library walk (north).toml"


def test_logs_are_named_by_day_job_and_where_the_job_file_is(tmp_path: Path) -> None:
    here, there = (folder.log_path(tmp_path, tmp_path / part / JOB, "2026-11-05") for part in ("a", "b"))
    assert here.name.startswith("2026-11-05-library-walk-north-")
    assert here.suffix == ".jsonl"
    assert here != there
    assert len(here.stem) == len("2026-11-05-library-walk-north-") + 4


def test_a_job_is_the_same_job_by_whatever_way_it_is_reached(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "jobs").mkdir()
    job = tmp_path / "jobs" / JOB
    job.touch()
    (tmp_path / "link").symlink_to(tmp_path / "jobs")
    monkeypatch.chdir(tmp_path / "jobs")
    ways = [job, Path(JOB), tmp_path / "jobs" / ".." / "jobs" / JOB, tmp_path / "link" / JOB]
    assert len({folder.log_path(tmp_path, way, "2026-11-05") for way in ways}) == 1


@pytest.mark.parametrize(
    ("name", "slug"),
    [("Café № 2", "cafe-no-2"), ("../../etc", "etc"), ("步道", "job"), ("x" * 99, "x" * 40), ("", "job")],
)
def test_a_job_known_by_name_gives_a_plain_file_name(tmp_path: Path, name: str, slug: str) -> None:
    path = folder.log_path(tmp_path, name, "2026-11-05")
    assert path.parent == tmp_path
    assert path.name[len("2026-11-05-") : -len("-0000.jsonl")] == slug


def test_fresh_starts_are_numbered_on_and_the_newest_is_found(tmp_path: Path) -> None:
    first = folder.log_path(tmp_path, "walk", "2026-11-05")
    stem = first.stem
    assert folder.latest(tmp_path, "walk", "2026-11-05") is None
    assert folder.latest(tmp_path / "missing", "walk", "2026-11-05") is None
    assert folder.next_free(first) == first
    for name in (f"{stem}.jsonl", f"{stem}-2.jsonl", f"{stem}-10.jsonl"):
        (tmp_path / name).touch()
        assert folder.latest(tmp_path, "walk", "2026-11-05") == tmp_path / name
    for other in (f"{stem}-99.jsonl.torn-1", f"{stem}-x.jsonl", f"{stem}-077.jsonl"):
        (tmp_path / other).touch()
    assert folder.next_free(first) == tmp_path / f"{stem}-11.jsonl"
    assert folder.latest(tmp_path, "walk", "2026-11-06") is None


@pytest.mark.parametrize("name", ["own.log", "own", "own.jsonl"])
def test_a_log_of_ones_own_name_is_numbered_on_too(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.touch()
    assert folder.next_free(path) == path.with_name(f"own-2{path.suffix}")


def test_the_default_folder_is_in_the_users_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert folder.default_folder() == tmp_path / "bagcall"
