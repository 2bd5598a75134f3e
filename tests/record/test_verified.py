"""`check LOG`: every kind of breakage named where it stands. Expected: what was done to a whole log, byte by byte."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.clock import Stamp
from engine.errors import BadInput, LogDamaged
from engine.record.lines import FIRST_HASH, Line, decode, encode
from engine.record.store import scan
from engine.record.verified import Verified, is_log, verify
from tests.scenarios.expected import DATA
from tui.cli import main

JOB = DATA / "library" / "job.toml"
NOTES = """time,what,which,who,value
08:30:00,reading,,,air=43 degF; slab=42 degF
08:50:00,soaked,P1,,
09:00:00,water,P1,MA,
09:02:00,mixed,P1.1,,
09:02:30,tipped,P1.1,,
09:04:00,floated,P1,F,
09:12:00,first trowel,P1,F,
09:20:00,second trowel,P1,F,
09:22:00,edged,P1,F,
"""
COUNT = 10


@pytest.fixture(scope="module")
def chunks(tmp_path_factory: pytest.TempPathFactory) -> list[bytes]:
    """The lines of a morning kept by hand."""
    folder = tmp_path_factory.mktemp("whole")
    (folder / "notes.csv").write_text(NOTES, encoding="utf-8")
    assert main(["enter", str(JOB), str(folder / "notes.csv"), "-o", str(folder / "day.jsonl")]) == 0
    found = (folder / "day.jsonl").read_bytes().splitlines(keepends=True)
    assert len(found) == COUNT
    return found


def judged(whole: bytes) -> Verified:
    return verify(io.BytesIO(whole), "day.jsonl")


def faults(whole: bytes) -> list[tuple[int, str]]:
    return [(one.line, one.fault) for one in judged(whole).breaks]


def lines_of(chunks: list[bytes]) -> list[Line]:
    found, last = [], FIRST_HASH
    for number, raw in enumerate(chunks, start=1):
        line, last = decode(raw, last, number)
        found.append(line)
    return found


def chained(lines: list[Line]) -> bytes:
    """The log of lines chained anew, as only somebody who means to can write it."""
    whole, last = b"", FIRST_HASH
    for one in lines:
        chunk, last = encode(one, last)
        whole += chunk
    return whole


def changed(line: Line, **values: Any) -> Line:
    kept = {name: getattr(line, name) for name in Line.__dataclass_fields__}
    return Line(**(kept | values))


def test_a_whole_log_has_no_break_and_every_line_stands(chunks: list[bytes]) -> None:
    found = judged(b"".join(chunks))
    assert (found.whole, found.rows, found.standing, found.tail) == (True, COUNT, COUNT, b"")
    assert found.remarks == ()
    assert ("stroke done", 1, 4) in found.kinds


@settings(deadline=None, max_examples=80)
@given(st.data())
def test_any_changed_byte_is_found_in_the_line_it_stands_in(chunks: list[bytes], data: st.DataObject) -> None:
    everything = b"".join(chunks)
    ends = [len(b"".join(chunks[:n])) for n in range(1, COUNT)]
    anywhere = st.integers(0, len(everything) - 1)
    behind_the_job = st.integers(ends[0] - 40, len(everything) - 1)
    place = data.draw(st.one_of(anywhere, behind_the_job, st.sampled_from(ends)))
    value = data.draw(st.one_of(st.integers(0, 255), st.just(10)).filter(lambda v: v != everything[place]))
    found = judged(everything[:place] + bytes([value]) + everything[place + 1 :])
    number = 1 + everything[:place].count(b"\n")
    assert found.breaks[0].line == number
    assert found.standing == number - 1
    split = value == ord("\n")
    assert {one.line for one in found.breaks} <= ({number, number + 1} if split else {number})


@pytest.mark.parametrize("place", range(1, 50))
def test_the_marks_and_the_hash_at_the_end_of_a_line_blame_no_other_line(
    chunks: list[bytes], place: int
) -> None:
    bad = bytearray(chunks[4])
    bad[-place] ^= 0x01
    assert {line for line, _ in faults(b"".join([*chunks[:4], bytes(bad), *chunks[5:]]))} == {5}


SHUFFLED: list[tuple[Callable[[list[bytes]], list[bytes]], list[tuple[int, str]]]] = [
    (lambda c: c[:3] + c[4:], [(4, "missing")]),
    (lambda c: c[:3] + c[6:], [(4, "missing")]),
    (lambda c: c[1:], [(1, "missing")]),
    (lambda c: [*c[:4], c[3], *c[4:]], [(5, "again")]),
    (lambda c: [*c[:3], c[4], c[3], *c[5:]], [(4, "moved"), (5, "moved")]),
    (lambda c: [*c[:3], c[3][:60] + b"\n", *c[4:]], [(4, "half")]),
    (lambda c: [*c, b'{"seq":11,"ki'], [(11, "torn")]),
    (lambda c: [*c, b"\0" * 40], [(11, "torn")]),
    (lambda c: [*c[:9], c[9][:-1]], [(10, "torn")]),
    (lambda c: [*c[:9], c[9].replace(b'"F"', b'"G"')], [(10, "changed")]),
    (lambda c: [*c[:2], c[2].replace(b"P1", b"P2"), *c[3:7], c[7].replace(b"P1", b"P2"), *c[8:], b"x"],
     [(3, "changed"), (8, "changed"), (11, "torn")]),
    (lambda c: [*c[:4], c[4][:-10] + b"0000000" + c[4][-3:], *c[5:]], [(5, "hash")]),
]  # fmt: skip


@pytest.mark.parametrize(("spoil", "expected"), SHUFFLED, ids=range(len(SHUFFLED)))
def test_every_breakage_is_told_apart_and_all_are_listed_in_one_run(
    chunks: list[bytes],
    spoil: Callable[[list[bytes]], list[bytes]],
    expected: list[tuple[int, str]],
) -> None:
    spoilt = b"".join(spoil(chunks))
    assert faults(spoilt) == expected
    assert judged(spoilt).standing == expected[0][0] - 1


@pytest.mark.parametrize(("spoil", "expected"), SHUFFLED, ids=range(len(SHUFFLED)))
def test_the_first_line_named_is_the_one_where_reading_stops(
    chunks: list[bytes],
    spoil: Callable[[list[bytes]], list[bytes]],
    expected: list[tuple[int, str]],
) -> None:
    try:
        stopped = len(scan(io.BytesIO(b"".join(spoil(chunks))), "day.jsonl").lines) + 1
    except LogDamaged as damage:
        stopped = damage.line
    assert stopped == expected[0][0]


FORGED: list[tuple[str, dict[str, Any], str, str]] = [
    ("kind", {"kind": "moon landed"}, "payload", "no event is called 'moon landed'"),
    ("version", {"v": 99}, "payload", "newer program"),
    ("value", {"data": {"batch": 7}}, "payload", "str was expected"),
    ("key", {"data": {"batch": "P1.1", "colour": "grey"}}, "payload", "knows no colour"),
    ("batch", {"data": {"batch": "P9.1"}}, "day", "the day has no P9.1"),
    ("undo", {"kind": "undone", "data": {"seq": 2}}, "day", "cannot be taken back"),
    ("number", {"seq": 7}, "number", ""),
]


@pytest.mark.parametrize(("values", "fault"), [(values, fault) for _, values, fault, _ in FORGED])
def test_a_chain_written_anew_is_still_held_to_payload_and_day(
    chunks: list[bytes], values: dict[str, Any], fault: str
) -> None:
    lines = lines_of(chunks)
    lines[4] = changed(lines[4], **values)
    found = faults(chained(lines))
    assert found[0] == (5, fault)


@pytest.mark.parametrize(
    ("values", "why"), [(values, why) for _, values, fault, why in FORGED if fault != "number"]
)
def test_a_payload_that_does_not_fit_is_told_with_its_reason(
    chunks: list[bytes], values: dict[str, Any], why: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = lines_of(chunks)
    lines[4] = changed(lines[4], **values)
    (tmp_path / "day.jsonl").write_bytes(chained(lines))
    assert main(["check", str(tmp_path / "day.jsonl")]) == 1
    assert why in " ".join(capsys.readouterr().out.split())


def test_a_second_job_inside_and_a_log_without_one_are_breaks(chunks: list[bytes]) -> None:
    lines = lines_of(chunks)
    twice = [*lines[:5], changed(lines[0], seq=6), *(changed(one, seq=one.seq + 1) for one in lines[5:])]
    assert faults(chained(twice)) == [(6, "place")]
    headless = [changed(one, seq=one.seq - 1) for one in lines[1:]]
    assert faults(chained(headless)) == [(1, "place")]


def moved(line: Line, wall_s: float = 0.0, boot_s: float = 0.0, mark: str = "") -> Line:
    stamp = line.stamp
    return changed(line, stamp=Stamp(stamp.wall + wall_s, stamp.boot + boot_s, mark or stamp.mark))


ODD: list[tuple[str, Callable[[Line], Line]]] = [
    ("ahead", lambda one: changed(one, at=one.stamp.wall + 60.0)),
    ("long_before", lambda one: changed(one, at=one.stamp.wall - 7200.0)),
    ("back", lambda one: moved(one, -3000.0, -3000.0)),
    ("jump", lambda one: moved(one, 30.0, 0.0)),
    ("boot", lambda one: moved(one, 0.0, 0.0, "another")),
    ("boot_back", lambda one: moved(one, -3000.0, 0.0, "another")),
    ("name", lambda one: changed(one, kind="soaked", data={"pour": "P77"})),
    ("line", lambda one: changed(one, kind="stamp shifted", data={"seq": 50, "by_s": 5.0})),
]


@pytest.mark.parametrize(("kind", "odd"), ODD, ids=[kind for kind, _ in ODD])
def test_what_is_odd_is_a_remark_on_its_line_and_no_break(
    chunks: list[bytes], kind: str, odd: Callable[[Line], Line]
) -> None:
    lines = lines_of(chunks)[:5]
    lines[4] = odd(lines[4])
    found = judged(chained(lines))
    assert found.whole
    assert [(one.line, one.kind) for one in found.remarks] == [(5, kind)]


def test_a_log_of_another_day_than_its_job_is_a_remark(chunks: list[bytes]) -> None:
    first = moved(lines_of(chunks)[0], 86400.0)
    assert [one.kind for one in judged(chained([first])).remarks] == ["date"]


def test_the_answer_is_the_exit_code_and_the_same_as_json(
    chunks: list[bytes], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = tmp_path / "day.jsonl"
    log.write_bytes(b"".join(chunks))
    assert main(["check", str(log), "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert (whole["whole"], whole["lines"], whole["breaks"], whole["means"]) == (True, COUNT, [], None)
    assert "no proof" in whole["cautions"][0]
    log.write_bytes(b"".join(chunks[:6]) + chunks[6].replace(b"F", b"G") + b"".join(chunks[7:]))
    assert main(["check", str(log), "--json"]) == 1
    damaged = json.loads(capsys.readouterr().out)
    assert [one["line"] for one in damaged["breaks"]] == [7]
    assert damaged["lines_standing"] == 6
    assert "line 7" in damaged["means"]
    log.write_bytes(b"".join(chunks[:6]))
    assert main(["check", str(log)]) == 0


@pytest.mark.parametrize(
    ("line", "means"), [(10, "go on without it"), (7, "not opened any more"), (1, "Nothing of it")]
)
def test_what_a_break_comes_to_is_what_the_other_commands_do(
    chunks: list[bytes], tmp_path: Path, capsys: pytest.CaptureFixture[str], line: int, means: str
) -> None:
    log = tmp_path / "day.jsonl"
    bad = chunks[line - 1].replace(b'"wall"', b'"wail"')
    log.write_bytes(b"".join([*chunks[: line - 1], bad, *chunks[line:]]))
    assert main(["check", str(log)]) == 1
    assert means in " ".join(capsys.readouterr().out.split())
    assert main(["status", str(log)]) == (0 if line == COUNT else 1)


def test_a_log_is_told_from_a_job_by_its_first_line_or_its_ending(
    chunks: list[bytes], tmp_path: Path
) -> None:
    own = tmp_path / "monday"
    own.write_bytes(b"".join(chunks))
    assert is_log(own)
    assert is_log(tmp_path / "missing.jsonl")
    assert not is_log(JOB)
    assert not is_log(tmp_path / "missing.toml")


@pytest.mark.parametrize("option", [["--hours"], ["--load"], ["--safety"], ["--mix-temperature", "65 degF"]])
def test_options_that_ask_for_a_plan_are_refused_with_a_log(
    chunks: list[bytes], tmp_path: Path, capsys: pytest.CaptureFixture[str], option: list[str]
) -> None:
    log = tmp_path / "day.jsonl"
    log.write_bytes(b"".join(chunks))
    assert main(["check", str(log), *option]) == 2
    assert f"{option[0]}: this file is a log" in capsys.readouterr().err


@pytest.mark.parametrize("content", [b"", b"[job]\nname = 'x'\n", b"\x89PNG\r\n\x1a\n"])
def test_what_is_no_log_is_bad_input(content: bytes) -> None:
    with pytest.raises(BadInput, match="a log was expected"):
        judged(content)
