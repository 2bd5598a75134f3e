"""The windows on the sheet, held to the closed form and to the table of the isothermal scenarios.

Closed form: set age a is reached at t = a · R / γ(T), γ = exp[−(E/R)(1/T − 1/T_ref)] with E of the card and
8.314 J/(mol K), the form of ASTM C1074, worked out here by itself. Scenarios: tests/data/scenarios/isothermal.
"""

from __future__ import annotations

import csv
import datetime
import math
from functools import partial

import pytest

from engine.job.files import read_job
from engine.job.model import PassName
from engine.mix.card import MixCard
from engine.record.paper.parts import minutes
from engine.record.paper.windows import FEWEST, MOST, degrees_around, dose_at, doses_of
from tests.record.paper_read import JOBS, Cells, page_of, table_of
from tests.scenarios.expected import DATA

TODAY = datetime.date(2026, 5, 12)
LIMITS = ("open", "due", "late")


def closed_s(card: MixCard, packets: int, celsius: float, age_s: float) -> float:
    setting, stretch = card.setting, dict(zip(card.retarder.packets, card.retarder.stretch, strict=True))
    warmth = 1.0 / (celsius + 273.15) - 1.0 / (setting.reference_c + 273.15)
    return age_s * stretch[packets] / math.exp(-setting.activation_j_mol / 8.314 * warmth)


@pytest.mark.parametrize("name", JOBS)
def test_every_number_of_the_windows_is_the_closed_form(name: str) -> None:
    job, found = read_job(JOBS[name], TODAY), table_of(name)["windows"]
    assert found["mixes"]
    for mix in found["mixes"]:
        card = job.mix(mix["mix"])
        for row in mix["rows"]:
            assert [dose["packets_a_bag"] for dose in row["doses"]] == [0, 1, 2]
            for packets, dose in enumerate(row["doses"]):
                here = partial(closed_s, card, packets, row["temperature_c"])
                assert dose["workable_until_s"] == pytest.approx(here(card.workable_s), abs=0.01)
                for stroke in mix["passes"]:
                    window, ages = dose["passes"][stroke], getattr(card.passes, stroke)
                    for key in (f"{limit}_s" for limit in (*LIMITS, "lost")):
                        assert window[key] == pytest.approx(here(getattr(ages, key)), abs=0.01)


@pytest.mark.parametrize(("folder", "fahrenheit"), [("40F", 40), ("55F", 55), ("70F", 70), ("90F", 90)])
def test_the_windows_are_those_of_the_isothermal_scenarios(folder: str, fahrenheit: int) -> None:
    """Water at 07:00 without packets, at 07:10 with one, at 07:20 with two; to the second that the table gives."""
    case, checked = DATA / "isothermal" / folder, 0
    job = read_job(case / "job.toml", TODAY)
    doses: dict[str, tuple[float, int, tuple[PassName, ...]]] = {
        "N0.1": (0.0, 0, ("first_trowel", "second_trowel")),
        "N1.1": (1.0, 600, ("first_trowel", "broom")),
        "N2.1": (2.0, 1200, ("first_trowel", "second_trowel")),
    }
    with (case / "expected.csv").open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            stroke, _, limit = row["quantity"].partition(".")
            if row["which"] not in doses or (stroke != "workable_until" and limit not in (*LIMITS, "lost")):
                continue
            packets, water_s, passes = doses[row["which"]]
            dose = dose_at(job.mixes[0], packets, (fahrenheit - 32) / 1.8, passes, job)
            found = dose.workable_s if not limit else getattr(dict(dose.passes)[stroke], limit)
            hours, mins, secs = (int(part) for part in row["expected"].split(":"))
            assert found + water_s == pytest.approx((hours - 7) * 3600 + mins * 60 + secs, abs=1.0), row
            checked += 1
    assert checked >= 20


@pytest.mark.parametrize("name", JOBS)
def test_the_sheet_shows_these_very_numbers(name: str) -> None:
    told = [cell for grid in Cells(page_of(name)).under("°F") for row in grid[2:] for cell in row]
    shown = {cell.text for cell in told}
    for mix in table_of(name)["windows"]["mixes"]:
        for row in mix["rows"]:
            for dose in row["doses"]:
                assert minutes(dose["workable_until_s"]) in shown
                for window in dose["passes"].values():
                    assert {minutes(window[f"{key}_s"]) for key in LIMITS} <= shown


def test_a_row_of_the_sheet_by_hand() -> None:
    """Small-stone card at its reference temperature, 70 °F: R = 1, 2, 2.8; 4:30 workable, 4:00, 4:45 and 6:00, broom 6:00."""
    grid = Cells(page_of("hall")).under("°F")[0]
    (row,) = [row for row in grid if row[0].text == "70"]
    told = [cell.text for cell in row[1:]]
    assert told[:7] == ["4:30", "4:00", "4:45", "6:00", "6:00", "7:00", "8:30"]
    assert told[7:11] == ["9:00", "8:00", "9:30", "12:00"]
    assert told[14:18] == ["12:36", "11:12", "13:18", "16:48"]


@pytest.mark.parametrize(
    ("low", "high", "units", "rows", "marked"),
    [
        (60.0, 70.0, "us", [50, 60, 70, 80], [60, 70]),
        (79.0, 101.0, "us", [70, 80, 90, 100, 110], [80, 90, 100]),
        (64.0, 66.0, "us", [50, 60, 70, 80], [60, 70]),
        (61.0, 62.0, "us", [50, 60, 70, 80], [60]),
        (12.0, 18.0, "metric", [10, 15, 20, 25], [10, 15, 20]),
        (-1.0, 41.0, "metric", [-10, 0, 10, 20, 30, 40, 50], [0, 10, 20, 30, 40]),
    ],
)
def test_rows_lie_around_the_forecast_and_mark_what_is_nearest_to_it(
    low: float, high: float, units: str, rows: list[int], marked: list[int]
) -> None:
    def celsius(value: float) -> float:
        return (value - 32.0) / 1.8 if units == "us" else value

    found = degrees_around(celsius(low), celsius(high), units)  # type: ignore[arg-type]
    assert FEWEST <= len(found) <= MOST
    assert [at_c for at_c, _ in found] == pytest.approx([celsius(value) for value in rows])
    assert [at_c for at_c, mark in found if mark] == pytest.approx([celsius(value) for value in marked])


def test_doses_are_every_whole_packet_and_every_point_of_the_card() -> None:
    card = read_job(JOBS["hall"], TODAY).mixes[0]
    assert doses_of(card) == (0.0, 1.0, 2.0)


def test_minutes_go_on_past_the_hour() -> None:
    assert [minutes(value) for value in (0.0, 59.6, 3665.2, None)] == ["0:00", "1:00", "61:05", "–"]
