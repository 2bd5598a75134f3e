"""Kills in a terminal, logs cut and changed byte by byte: small runs of `tests.proof.crash` and `tests.proof.bytes_changed`."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

from engine.record import store as store_module
from engine.record.lines import line_in, unsealed
from tests.proof.bytes_changed import LAST, changes, cuts, day_log
from tests.proof.crash import Tally, judge, run
from tests.proof.kept import Claim, Seen, missing


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
def test_what_a_killed_program_showed_as_kept_is_in_its_log(tmp_path: Path) -> None:
    tally = run(5, 101, tmp_path)
    assert tally.faults == []
    assert tally.kills == 5
    assert tally.lines > 1


def row(key: str, stage: str, mark: str, place: int = 4) -> tuple[int, str]:
    return place, f"{'>':<11}{mark} {'':<39}{key:<6}{'':<12}{stage:<12}".ljust(120)


def display(count: int, message: str, *rows: tuple[int, str]) -> list[str]:
    shown = [" " * 120 for _ in range(36)]
    shown[3], shown[-2] = f" {count} on".ljust(120), message.ljust(120)
    for place, text in rows:
        shown[place] = text
    return shown


def test_a_stage_counts_as_kept_with_its_solid_mark_and_so_do_notes_told_before_it() -> None:
    seen = Seen()
    seen.begin(display(1, "", row("P1.1", "mixing", "●")))
    for text in (" note: one", " note: one    counted once", " note: th_", " note: one"):
        seen.look(display(1, text, row("P1.1", "mixing", "●")))
    seen.look(display(1, " P1.1 mixed", row("P1.1", "mixed", "○")))
    seen.look(display(1, " note: two", row("P1.1", "mixed", "○")))
    assert seen.claims == []
    seen.look(display(1, " note: two", row("P1.1", "mixed", "●")))
    assert seen.claims == [Claim("note written", "one"), Claim("mixed", "P1.1")]


def test_what_an_undo_brings_back_needs_no_line_of_its_own() -> None:
    seen = Seen()
    seen.begin(display(1, "", row("P1.1", "mixing", "●")))
    seen.look(display(1, " taken back: P1.1: water in", row("P1", "called", "●")))
    assert seen.claims == []


def test_two_stamps_need_two_lines_and_half_a_line_is_none() -> None:
    line = b'{"seq":2,"kind":"mixed","data":{"batch":"P1.1"}}\n'
    claim = Claim("mixed", "P1.1")
    assert missing([claim], line) == []
    assert missing([claim, claim], line) == [claim]
    assert missing([claim], line[:-1]) == [claim]


def test_a_log_without_what_was_shown_or_without_what_it_held_is_a_fault(tmp_path: Path) -> None:
    log, whole, tally = tmp_path / "day.jsonl", day_log(), Tally()
    cut = whole[: whole.rfind(b"\n", 0, -1) + 1]
    log.write_bytes(cut)
    judge(log, whole, Seen(), 1, tally)
    assert [fault.partition(": ")[2] for fault in tally.faults] == [
        "lines kept before are no longer in the file"
    ]
    judge(log, cut, Seen(claims=[Claim("note written", "shown")]), 2, tally)
    assert any("was shown as kept and is not in the log" in fault for fault in tally.faults)


def test_a_log_cut_anywhere_in_its_last_kilobytes_keeps_every_whole_line() -> None:
    log = day_log()
    assert cuts(log, range(len(log) - LAST, len(log), 5)) == []


def test_any_changed_byte_of_a_days_log_is_named_by_its_line() -> None:
    log, rng = day_log(), random.Random(3)
    assert changes(log, rng.sample(range(len(log)), 120), rng) == []


def test_a_program_that_looks_at_no_hash_would_be_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    log = day_log()
    place = log.index(b"wrong")
    assert changes(log, [place], random.Random(1)) == []
    monkeypatch.setattr(store_module, "decode", lambda raw, _hash, _seq: (line_in(unsealed(raw)[0]), ""))
    assert any("taken without a word" in fault for fault in changes(log, [place], random.Random(1)))
