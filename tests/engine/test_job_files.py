"""The config reader: whatever a path leads to, the answer is a job or `BadInput`."""

from __future__ import annotations

import datetime
import os
import shutil
from pathlib import Path

import pytest
from bad_cases import LIBRARY
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engine.errors import BadInput, Problem
from engine.job.files import LARGEST_FILE, read_job, read_text

TODAY = datetime.date(2026, 7, 2)
JOB = (LIBRARY / "job.toml").read_text(encoding="utf-8")
CARD = (LIBRARY / "small-stone.toml").read_text(encoding="utf-8")


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A folder with the library's job and card."""
    folder = tmp_path / "site"
    folder.mkdir()
    for name in ("job.toml", "small-stone.toml"):
        shutil.copyfile(LIBRARY / name, folder / name)
    return folder


def _problems(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as raised:
        read_job(path, TODAY)
    return raised.value.problems


def _rewrite(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_library_is_read(site: Path) -> None:
    job = read_job(site / "job.toml", TODAY)
    assert [card.key for card in job.mixes] == ["small-stone"]


def test_problems_of_job_and_mix_come_in_one_go(site: Path) -> None:
    _rewrite(site / "job.toml", 'units = "us"', 'units = "uk"\nlearned = ["none.toml"]')
    _rewrite(site / "job.toml", 'load = "40 s"', "load = 40")
    _rewrite(site / "small-stone.toml", 'mass = "50 lb"', "mass = 50")
    found = [(Path(p.file).name, p.where) for p in _problems(site / "job.toml")]
    assert found == [
        ("job.toml", "job.units"),
        ("job.toml", "times.load"),
        ("small-stone.toml", "bag.mass"),
        ("none.toml", "file"),
    ]


@pytest.mark.parametrize(
    ("content", "where", "says"),
    [
        (b"", "file", "a file with something in it"),
        (b" \n\t\n", "file", "a file with something in it"),
        (b"\x00\x01\x02\x03", "line 1", "cannot be read as TOML"),
        (b"\xff\xfe[\x00j\x00", "byte 0", "a text file in UTF-8"),
        (b"# caf\xe9\n", "byte 5", "a text file in UTF-8"),
        (b"[job]\nname =\n", "line 2", "cannot be read as TOML"),
        (b'[job]\nname = "a"\nname = "b"\n', "line 3", "Cannot overwrite a value"),
        (b"[job\n", "line 1", "cannot be read as TOML"),
        (b"date = 2026-13-45\n", "line 1", "cannot be read as TOML"),
        (b"a = " + b"[" * 3000, "file", "nested less deeply"),
        (b"a = [\n" * 1 + b"[\n" * 20_000, "file", "nested less deeply"),
        (b"a = " + b"9" * 3990, "a", "unknown key"),
        (b"a = 0x" + b"f" * 3900, "a", "unknown key"),
        (b"a" * 1_000_000, "line 1", "a line of at most 4000 characters"),
        (b"a." * 500_000 + b"b = 1", "line 1", "a line of at most 4000 characters"),
        (b"#" * (LARGEST_FILE + 1), "file", f"at most {LARGEST_FILE} bytes"),
    ],
    ids=range(16),
)
def test_spoiled_files_are_refused_with_place_and_reason(
    site: Path, content: bytes, where: str, says: str
) -> None:
    path = site / "job.toml"
    path.write_bytes(content)
    assert any(p.where == where and says in p.accepted for p in _problems(path)), _problems(path)


def test_a_file_far_too_large_is_refused_unread(site: Path) -> None:
    path = site / "job.toml"
    with path.open("wb") as stream:
        stream.truncate(10**9)
    assert f"at most {LARGEST_FILE} bytes" in _problems(path)[0].accepted


def test_dotted_keys_as_long_as_lines_may_be_are_harmless(site: Path) -> None:
    path = site / "job.toml"
    path.write_text("\n".join(f"a{n}" + ".a" * 1900 + " = 1" for n in range(20)), encoding="utf-8")
    assert _problems(path)


def test_what_is_no_file_is_refused(site: Path) -> None:
    assert "No such file" in _problems(site / "none.toml")[0].accepted
    assert "not a file" in _problems(site)[0].accepted
    assert "null" in _problems(Path("job\x00.toml"))[0].accepted
    assert _problems(site / ("x" * 5000))
    assert _problems(Path("/dev/null"))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_is_refused_and_never_waited_for(site: Path) -> None:
    os.mkfifo(site / "pipe.toml")
    assert "not a file" in _problems(site / "pipe.toml")[0].accepted
    _rewrite(site / "job.toml", '"small-stone.toml"', '"pipe.toml"')
    assert any("not a file" in p.accepted for p in _problems(site / "job.toml"))


def test_links_that_lead_round_are_refused(site: Path) -> None:
    (site / "round.toml").symlink_to(site / "round.toml")
    assert _problems(site / "round.toml")
    _rewrite(site / "job.toml", '"small-stone.toml"', '"round.toml"')
    assert "job.mixes[0]" in [p.where for p in _problems(site / "job.toml")]


def test_a_byte_order_mark_and_carriage_returns_do_no_harm(site: Path) -> None:
    path = site / "job.toml"
    path.write_bytes(b"\xef\xbb\xbf" + JOB.replace("\n", "\r\n").encode())
    assert read_job(path, TODAY).name.startswith("Branch library")


@pytest.mark.parametrize(
    "entry", ["small-stone.toml", "./small-stone.toml", "cards/small-stone.toml", "../mixes/small-stone.toml"]
)
def test_mixes_lie_with_the_job_below_it_or_in_mixes_beside_it(site: Path, entry: str) -> None:
    target = site / entry
    target.parent.mkdir(exist_ok=True)
    target.write_text(CARD, encoding="utf-8")
    _rewrite(site / "job.toml", '"small-stone.toml"', f'"{entry}"')
    assert read_job(site / "job.toml", TODAY).mixes[0].key == "small-stone"


@pytest.mark.parametrize("key", ["mixes", "learned"])
@pytest.mark.parametrize(
    "entry",
    ["../other/small-stone.toml", "../small-stone.toml", "../mixes-old/small-stone.toml", "/etc/hostname"],
)
def test_files_elsewhere_are_refused_unread(site: Path, key: str, entry: str) -> None:
    (site.parent / "other").mkdir()
    (site.parent / "other" / "small-stone.toml").write_text(CARD, encoding="utf-8")
    learned = f'mixes = ["small-stone.toml"]\nlearned = ["{entry}"]'
    _rewrite(
        site / "job.toml",
        'mixes = ["small-stone.toml"]',
        learned if key == "learned" else f'mixes = ["{entry}"]',
    )
    found = [(p.where, p.accepted) for p in _problems(site / "job.toml")]
    assert (
        f"job.{key}[0]",
        "a path in the job's own folder, below it, or in a folder `mixes` beside it",
    ) in found


def test_a_link_does_not_widen_the_allowed_places(site: Path) -> None:
    outside = site.parent / "outside.toml"
    outside.write_text(CARD, encoding="utf-8")
    (site / "small-stone.toml").unlink()
    (site / "small-stone.toml").symlink_to(outside)
    assert [p.where for p in _problems(site / "job.toml")] == ["job.mixes[0]"]


def test_a_mix_that_cannot_be_read_adds_no_false_faults_to_the_job(site: Path) -> None:
    (site / "small-stone.toml").write_text("[bag\n", encoding="utf-8")
    assert [(p.file, p.where) for p in _problems(site / "job.toml")] == [("small-stone.toml", "line 1")]


def test_a_learned_file_must_be_there(site: Path) -> None:
    _rewrite(site / "job.toml", 'units = "us"', 'units = "us"\nlearned = ["small-stone.learned.toml"]')
    assert [p.file for p in _problems(site / "job.toml")] == ["small-stone.learned.toml"]
    (site / "small-stone.learned.toml").write_text("# empty so far\n", encoding="utf-8")
    assert read_job(site / "job.toml", TODAY)


def test_what_a_file_says_cannot_reach_the_terminal(site: Path) -> None:
    (site / "job.toml").write_text(
        '"\\u001b[2J" = 1\n[job]\nname = "\\u009b2J"\nmixes = ["\\u001b.toml"]\n', encoding="utf-8"
    )
    assert all(p.sentence().isprintable() for p in _problems(site / "job.toml"))


def test_a_text_is_read_as_it_is(site: Path) -> None:
    assert read_text(site / "small-stone.toml") == CARD


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)
@given(st.binary(max_size=200))
def test_any_bytes_are_refused_politely(site: Path, content: bytes) -> None:
    (site / "job.toml").write_bytes(content)
    assert all(p.sentence().isprintable() for p in _problems(site / "job.toml"))


LINES = JOB.splitlines()
ODD = [
    "",
    "nan",
    "-1",
    '"2"',
    "[]",
    "{}",
    "[[]]",
    "true",
    "1e400",
    "09:00",
    '""',
    '"\\u0000"',
    '"9 m"',
    "2026-01-01",
]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=80)
@given(
    st.integers(0, len(LINES) - 1), st.sampled_from(ODD), st.sampled_from(["value", "line", "drop", "twice"])
)
def test_a_job_with_one_odd_line_is_a_job_or_refused(site: Path, n: int, odd: str, way: str) -> None:
    key = LINES[n].partition("=")[0]
    change = {"value": [f"{key}= {odd}"], "line": [odd], "drop": [], "twice": [LINES[n]] * 2}[way]
    (site / "job.toml").write_text("\n".join([*LINES[:n], *change, *LINES[n + 1 :]]), encoding="utf-8")
    try:
        read_job(site / "job.toml", TODAY)
    except BadInput as bad:
        sentences = [p.sentence() for p in bad.problems]
    else:
        sentences = []
    assert all(sentence.isprintable() for sentence in sentences)
