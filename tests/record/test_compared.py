"""Two pours or days side by side.

At one temperature throughout and without heat of its own a batch's limits have closed forms: set age runs at
exp[-(E/R)(1/T - 1/Tref)] of the watch (Arrhenius form of ASTM C1074) and a packet divides it by the card's stretch;
here with E 40 kJ/mol, R 8.314 J/(mol K), Tref 70 degF, working time 3 min from the end of 1 min 30 s of mixing, stretch 2
at one packet.
"""

from __future__ import annotations

import datetime
import json
import math
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from engine import PROGRAM, console
from engine.errors import BadInput
from engine.job.files import read_job
from engine.record.compared import Side, compared_table, side_of
from engine.record.entered import enter_file
from tests.pour.driving import library
from tests.record.report.given import library_events
from tests.scenarios.expected import DATA
from tui.cli import main
from tui.printed_compared import compared_text

WORDS = console.words()
WORKABLE_S = 270.0


@cache
def still(at: str) -> tuple[Any, Any]:
    folder = DATA / "isothermal" / at
    job = read_job(folder / "job.toml", datetime.date(2026, 5, 12))
    return job, enter_file(job, folder / "notes.csv", WORDS, PROGRAM)


def pour(at: str, pour_id: str) -> Side:
    job, events = still(at)
    return side_of(f"{at}.jsonl", job, events, pour_id)


def between(first: Side, second: Side, what: str) -> dict[str, Any]:
    table = compared_table(first, second, WORDS)
    return next(
        one
        for pair in table["pairs"]
        for one in pair["differences"]
        if (one["what"], one["kind"]) == (what, "limit")
    )


def shares(one: dict[str, Any]) -> dict[str, float]:
    return {share["cause"]: share["share_s"] for share in one["shares"] if abs(share["share_s"]) > 1e-3}


def rate(degf: float) -> float:
    kelvin, reference_k = ((f - 32.0) / 1.8 + 273.15 for f in (degf, 70.0))
    return math.exp(-40000.0 / 8.314 * (1.0 / kelvin - 1.0 / reference_k))


def test_a_packet_alone_has_the_whole_difference() -> None:
    one = between(pour("70F", "N0"), pour("70F", "N1"), "workable")
    assert one["difference_s"] == pytest.approx(WORKABLE_S, abs=0.1)
    assert shares(one) == {"packet": pytest.approx(WORKABLE_S, abs=0.1)}
    assert one["text"] == "end of the working time 4:30 later: 4:30 from packets"


@pytest.mark.parametrize(("at", "degf"), [("40F", 40.0), ("55F", 55.0), ("90F", 90.0)])
def test_cold_and_warm_are_apart_by_the_closed_form_and_temperatures_have_all_of_it(
    at: str, degf: float
) -> None:
    one = between(pour("70F", "N0"), pour(at, "N0"), "workable")
    apart_s = WORKABLE_S / rate(degf) - WORKABLE_S
    assert one["difference_s"] == pytest.approx(apart_s, abs=0.5)
    assert set(shares(one)) <= {"temperature", "materials", "rest"}
    assert sum(shares(one).values()) == pytest.approx(one["difference_s"], abs=0.01)
    assert abs(shares(one).get("rest", 0.0)) < 0.01  # two things apart leave nothing over


def test_turned_round_every_share_is_turned_round() -> None:
    there = between(pour("40F", "N0"), pour("90F", "N1"), "first_trowel")
    back = between(pour("90F", "N1"), pour("40F", "N0"), "first_trowel")
    assert there["difference_s"] == pytest.approx(-back["difference_s"], abs=1e-2)
    turned = {cause: pytest.approx(-seconds, abs=1e-2) for cause, seconds in shares(back).items()}
    assert shares(there) == turned


def test_a_pour_beside_itself_differs_in_nothing() -> None:
    table = compared_table(pour("70F", "N0"), pour("70F", "N0"), WORDS)
    found = [one for pair in table["pairs"] for one in pair["differences"]]
    assert found
    assert all(one["difference_s"] == 0.0 and not shares(one) for one in found)


def test_a_day_beside_a_day_pairs_its_pours_by_name_and_adds_up() -> None:
    hand = side_of("hand.jsonl", library(), library_events())
    events = [one for one in library_events() if one.at <= library_events()[60].at]
    half = side_of("half.jsonl", library(), tuple(events))
    table = compared_table(hand, half, WORDS)
    assert all(pair["first"] == pair["second"] for pair in table["pairs"])
    assert any("only in hand.jsonl" in note for note in table["notes"])
    limits = [one for pair in table["pairs"] for one in pair["differences"] if one["kind"] == "limit"]
    for one in limits:
        assert sum(share["share_s"] for share in one["shares"]) == pytest.approx(
            one["difference_s"], abs=0.01
        )
    json.dumps(table, allow_nan=False)


def test_a_side_tells_its_conditions_its_bags_and_its_misses() -> None:
    (first, _) = compared_table(
        side_of("a", library(), library_events(), "P2"),
        side_of("a", library(), library_events(), "P4"),
        WORDS,
    )["sides"]
    assert (first["bags"], first["bags_lost"], first["packets_per_bag"]) == (2.0, 0, 0.0)
    assert first["conditions"]["bags_c"] == pytest.approx((58.0 - 32.0) / 1.8)
    assert {one["pour"] for one in first["missed"]} == {"P2"}
    assert first["batches"][0]["tipped_after_water_s"] == 120.0  # 9:14:00 and 9:16:00 in the notes


def test_a_pour_beside_a_whole_day_is_refused() -> None:
    job, events = still("70F")
    with pytest.raises(BadInput):
        compared_table(pour("70F", "N0"), side_of("70F.jsonl", job, events), WORDS)
    with pytest.raises(BadInput):
        pour("70F", "N9")


def _log(at: str, folder: Path) -> str:
    out = folder / f"{at}:day.jsonl"  # a colon in a name is no pour
    notes = DATA / "isothermal" / at
    assert main(["enter", str(notes / "job.toml"), str(notes / "notes.csv"), "-o", str(out)]) == 0
    return str(out)


def test_the_command_prints_both_forms(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cold, warm = _log("40F", tmp_path), _log("70F", tmp_path)
    capsys.readouterr()
    assert main(["compare", f"{cold}:N0", f"{warm}:N0", "--json"]) == 0
    table = json.loads(capsys.readouterr().out)
    assert [side["pour"] for side in table["sides"]] == ["N0", "N0"]
    assert main(["compare", f"{cold}:N0", f"{warm}:N0"]) == 0
    text = capsys.readouterr().out
    assert text == compared_text(table) + "\n"
    assert all(len(line) <= 100 for line in text.splitlines())
    assert "first trowel due" in text
    assert main(["compare", cold, warm]) == 0
    assert "after its water" in capsys.readouterr().out


@pytest.mark.parametrize("ends", [":N7", ":", "x"])
def test_what_is_not_there_is_said_with_what_is(
    ends: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    warm = _log("70F", tmp_path)
    capsys.readouterr()
    assert main(["compare", warm + ends, f"{warm}:N0"]) == 2
    assert warm.rpartition("/")[2] in capsys.readouterr().err
