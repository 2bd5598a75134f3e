"""A small part of the run of hostile files, and that it would find what it looks for."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.proof.hostile_cases import Case, _keys, job_table, made, put
from tests.proof.hostile_run import Ended, ran, wrong_with

ROOT = Path(__file__).parents[2]
FILES, SEED = 120, 2
CASE = Case("job", "job.toml", (("check", "job.toml"),))
RUN = CASE.runs[0]


def in_child(code: str) -> subprocess.CompletedProcess[str]:
    """A few lines run in a process of their own."""
    return subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )


def test_some_hostile_files_of_every_kind_end_in_a_sentence() -> None:
    command = [sys.executable, "-m", "tests.proof.hostile", "--files", str(FILES), "--seed", str(SEED)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=240, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert f"{FILES} files, 0 findings" in done.stdout


def test_a_file_is_the_same_each_time_it_is_made(tmp_path: Path) -> None:
    for number in range(13):
        one, other = tmp_path / f"a{number}", tmp_path / f"b{number}"
        one.mkdir()
        other.mkdir()
        case = made(7, number, one)
        again = made(7, number, other)
        assert case == again
        if case.kind != "named files":  # these name the folder they lie in
            assert (one / case.file).read_bytes() == (other / case.file).read_bytes()


@pytest.mark.parametrize(
    ("ended", "says"),
    [
        (Ended(None, "", "", "ValueError: x"), "ValueError"),
        (Ended(3, "", ""), "exit code 3"),
        (Ended(2, "", ""), "without a word"),
        (Ended(2, "", "it is wrong\n"), "names no place"),
        (Ended(2, "", "other.toml: pours: wrong\n"), "names no file"),
        (Ended(1, "\x1b[2J", ""), "signs that a terminal obeys"),
        (Ended(0, "root:x:0", ""), "a file outside"),
        (Ended(0, "<class 'str'>", ""), "insides"),
    ],
)
def test_what_is_wrong_with_an_answer_is_found(ended: Ended, says: str) -> None:
    card = Case("card", "small-stone.toml", CASE.runs)
    assert says in wrong_with(ended, RUN, card)


@pytest.mark.parametrize(
    "line",
    ["job.toml: pours[2].depths[0]: missing", "job.toml: line 7: bad", 'job.toml: job."a b": unknown key'],
)
def test_a_sentence_with_file_and_place_is_nothing_wrong(line: str) -> None:
    assert not wrong_with(Ended(2, "", line + "\n"), RUN, CASE)


def test_a_file_that_takes_too_much_memory_is_found() -> None:
    done = in_child(
        "from tests.proof import hostile as h\nh._warm()\nh._limit_memory()\n"
        "try:\n    x = bytearray(h.MEMORY)\nexcept MemoryError:\n    print('found')\n"
    )
    assert done.stdout == "found\n", done.stderr


def test_a_file_that_takes_too_much_work_is_found() -> None:
    done = in_child("from tests.proof import hostile as h\nh._limit_work(0)\nwhile True: pass\n")
    assert done.returncode < 0


# any text at all, beside the spoiled ones

scalars = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.dates()
trees = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)
settled = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])


def _without_none(tree: object) -> object:
    """TOML has no such value."""
    if isinstance(tree, dict):
        return {key: _without_none(value) for key, value in tree.items() if value is not None}
    return [_without_none(value) for value in tree if value is not None] if isinstance(tree, list) else tree


def refused(folder: Path, name: str, text: str | bytes, *arguments: str) -> None:
    put(folder, name, text)
    here = Path.cwd()
    os.chdir(folder)
    try:
        ended = ran(arguments)
    finally:
        os.chdir(here)
    case = Case("job", name, (arguments,))  # of a job any file it names may be to blame
    assert not wrong_with(ended, arguments, case)


@settled
@given(st.sampled_from(sorted(job_table())), trees)
def test_any_value_in_place_of_a_part_of_a_job(tmp_path: Path, key: str, tree: object) -> None:
    import tomli_w

    put(tmp_path, "small-stone.toml", "x = 1\n")
    table = {**job_table(), key: _without_none(tree)}
    refused(
        tmp_path,
        "job.toml",
        tomli_w.dumps({k: v for k, v in table.items() if v is not None}),
        "check",
        "job.toml",
    )


@settled
@given(st.sampled_from(["live", "planning", "aftercare", "replay", "x"]), trees)
def test_any_value_in_place_of_a_part_of_a_key_file(tmp_path: Path, key: str, tree: object) -> None:
    import tomllib

    import tomli_w

    table = {**tomllib.loads(_keys()), key: _without_none(tree)}
    refused(
        tmp_path,
        "keys.toml",
        tomli_w.dumps({k: v for k, v in table.items() if v is not None}),
        "keys",
        "keys.toml",
    )


@settled
@given(st.text(max_size=200) | st.binary(max_size=200))
def test_any_text_at_all_as_a_file(tmp_path: Path, text: str | bytes) -> None:
    text = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    refused(tmp_path, "day.jsonl", text, "check", "day.jsonl")
    refused(tmp_path, "day.jsonl", text, "status", "day.jsonl")
    refused(tmp_path, "keys.toml", text, "keys", "keys.toml")
    refused(tmp_path, "answers.txt", text, "new", "new.toml", "--from", "answers.txt")
