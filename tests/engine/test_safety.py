"""Lifting, dust, heat, and which caution stands where.

SAFE-1 to -5: 29 CFR 1926.1153, table 1, in 8 CCR 1532.3, reproduction; rows x and xii from memory. SAFE-6: 1926.1153 (b)
and (d), read. SAFE-7: the same, from memory. SAFE-8: safety articles, reproduction. SAFE-9 to -12: NIOSH 94-110 (rev. 2021),
equation and tables 1 to 5, read, its turning multiplier from memory, values derived. SAFE-13: OSHA, Using the Heat Index,
risk bands, read. SAFE-14: OSHA, proposed heat rule (2024), reproduction. SAFE-15: US weather service, SR 90-23 (1990),
regression, from memory, values derived. COLD-1: ACI topic page, read. HOT-1: TM 5-822-7 (older edition), read.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from measured_jobs import GAL, LB, PRACTICE, card, job, library, rectangle, table

from engine.job import safety
from engine.job.heat import heat_band, heat_index_c, new_worker_share, rest_s
from engine.job.lifting import (
    AT_THE_WAIST,
    FROM_THE_FLOOR,
    LOAD_CONSTANT_KG,
    Lift,
    bucket_kg,
    lifting_index,
    multipliers,
    recommended_kg,
)
from engine.job.silica import ACTION_LEVEL_UG_M3, LIMIT_UG_M3, ROWS, factor, row_for
from engine.site.conditions import ForecastRow, Materials

LIFTS = table("safe_lifting.csv")
DUST = table("safe_silica.csv")
HEAT = table("safe_heat.csv")


@pytest.mark.parametrize("row", LIFTS, ids=[f"{row['id']} {row['bag_lb']} lb" for row in LIFTS])
def test_a_bag_has_the_lifting_index_of_the_published_equation(row: dict[str, str]) -> None:
    cm = [float(row[name]) / 100 for name in ("reach_cm", "height_cm", "travel_cm")]
    lift = Lift(*cm, frequency=float(row["frequency"]), coupling=float(row["coupling"]))
    for name in ("HM", "VM", "DM"):
        assert multipliers(lift)[name] == pytest.approx(float(row[name]), abs=5e-5)
    assert recommended_kg(lift) == pytest.approx(float(row["rwl_kg"]), abs=0.01)
    assert lifting_index(float(row["bag_lb"]) * LB, lift) == pytest.approx(float(row["index"]), abs=0.01)


def test_the_two_lifts_of_the_program_are_those_of_the_table() -> None:
    assert recommended_kg(FROM_THE_FLOOR) == pytest.approx(11.70, abs=0.01)
    assert recommended_kg(AT_THE_WAIST) == LOAD_CONSTANT_KG == 23.0


def test_the_load_constant_is_a_rounded_pair() -> None:
    """SAFE-9: 51 lb and 23 kg, NIOSH 94-110, READ; 51 lb is 23.13 kg."""
    assert abs(51 * LB - LOAD_CONSTANT_KG - 0.13) < 0.005


@pytest.mark.parametrize(
    ("turn_deg", "multiplier"),
    [(0, 1.00), (30, 0.90), (45, 0.86), (60, 0.81), (90, 0.71), (120, 0.62), (135, 0.57), (136, 0.0)],
)
def test_turning_costs_what_the_table_of_the_manual_says(turn_deg: float, multiplier: float) -> None:
    """NIOSH 94-110, table 4 (asymmetric multiplier), as repeated in a handbook, READ-2."""
    assert multipliers(Lift(0.25, 0.75, 0.25, turn_deg))["AM"] == pytest.approx(multiplier, abs=0.0051)


@pytest.mark.parametrize("lift", [Lift(0.64, 0.75, 0.25), Lift(0.25, 1.76, 0.25), Lift(0.25, 0.75, 1.76)])
def test_beyond_the_reach_of_the_equation_nothing_may_be_lifted(lift: Lift) -> None:
    """NIOSH 94-110, tables 1 to 3: over 63 cm out, 175 cm up or 175 cm far the multiplier is 0. READ-2."""
    assert recommended_kg(lift) == 0.0
    assert lifting_index(10.0, lift) == float("inf")


@given(st.floats(0.1, 0.6), st.floats(0, 1.7), st.floats(0.1, 1.7), st.floats(0, 130), st.floats(0.01, 0.03))
@settings(max_examples=60)
def test_farther_out_longer_or_turned_is_never_easier(
    reach: float, height: float, travel: float, turn: float, more: float
) -> None:
    limit = recommended_kg(Lift(reach, height, travel, turn))
    assert limit <= LOAD_CONSTANT_KG
    assert recommended_kg(Lift(reach + more, height, travel, turn)) <= limit
    assert recommended_kg(Lift(reach, height, travel + more, turn)) <= limit
    assert recommended_kg(Lift(reach, height, travel, turn + 100 * more)) <= limit


def test_a_mixed_bucket_weighs_about_sixty_pounds() -> None:
    """A 50 lb bag, 4 1/4 qt of water, a 2 lb bucket: about 61 lb. Water at 8.33 to 8.35 lb/gal (QTY-11)."""
    weight_lb = bucket_kg(card(), 2 * LB) / LB
    assert weight_lb == pytest.approx(50 + 4.25 / 4 * GAL / LB + 2, abs=1e-6)
    assert weight_lb == pytest.approx(61, abs=0.2)
    assert bucket_kg(card(), 0.0, bags=0.5) == pytest.approx(bucket_kg(card(), 0.0) / 2)


@pytest.mark.parametrize("row", DUST, ids=[f"{r['id']} {r['control']} {r['place']}" for r in DUST])
def test_the_dust_table_repeats_the_rule(row: dict[str, str]) -> None:
    found = row_for(row["tool"], row["control"], row["place"])  # type: ignore[arg-type]
    assert found is not None
    assert factor(found, 4 * 3600) == int(row["short"])
    assert factor(found, 4 * 3600 + 1) == int(row["long"])


def test_the_dust_table_holds_nothing_that_is_not_checked() -> None:
    assert len(ROWS) == len(DUST)


@pytest.mark.parametrize("tool", ["bag", "mixing", "broom", "opening bags"])
def test_opening_and_mixing_bags_has_no_row(tool: str) -> None:
    """SAFE-7: not in table 1, the employer assesses the exposure under paragraph (d). From memory (high)."""
    assert row_for(tool, "water", "outdoors") is None


def test_a_grinder_with_water_has_no_row_indoors() -> None:
    """Row xii names water for work outdoors only. From memory (high)."""
    assert row_for("grinder", "water", "enclosed") is None


def test_longer_at_the_tool_or_closed_in_never_asks_for_less() -> None:
    for row in ROWS:
        assert row.factor_long >= row.factor_short
        outdoors = row_for(row.tool, row.control, "outdoors")
        assert outdoors is not None
        assert row.factor_short >= outdoors.factor_short or row.place == "outdoors"


def test_the_dust_limits_are_those_of_the_rule() -> None:
    """SAFE-6: 29 CFR 1926.1153 (b), (d): 50 µg/m³ over eight hours, action level 25. READ."""
    assert (LIMIT_UG_M3, ACTION_LEVEL_UG_M3) == (50.0, 25.0)


@pytest.mark.parametrize("row", HEAT, ids=[f"{row['air_f']} °F {row['humidity']} %" for row in HEAT])
def test_the_heat_index_is_the_weather_service_s(row: dict[str, str]) -> None:
    index_c = heat_index_c((float(row["air_f"]) - 32) / 1.8, float(row["humidity"]) / 100)
    assert index_c * 1.8 + 32 == pytest.approx(float(row["index_f"]), abs=float(row["tolerance_f"]))


def test_dry_and_damp_air_are_corrected() -> None:
    """The equation's page: 95 °F at 9 % takes off 1; 82 °F at 95 % adds 1. READ."""

    def index_f(air_f: float, percent: float) -> float:
        return heat_index_c((air_f - 32) / 1.8, percent / 100) * 1.8 + 32

    dry = -42.379 + 2.04901523 * 95 + 10.14333127 * 9 - 0.22475541 * 95 * 9 - 0.00683783 * 95**2
    dry += -0.05481717 * 9**2 + 0.00122874 * 95**2 * 9 + 0.00085282 * 95 * 9**2 - 0.00000199 * 95**2 * 9**2
    assert index_f(95, 9) == pytest.approx(dry - 1, abs=1e-6)
    damp = -42.379 + 2.04901523 * 82 + 10.14333127 * 95 - 0.22475541 * 82 * 95 - 0.00683783 * 82**2
    damp += -0.05481717 * 95**2 + 0.00122874 * 82**2 * 95 + 0.00085282 * 82 * 95**2
    damp += -0.00000199 * 82**2 * 95**2
    assert index_f(82, 95) == pytest.approx(damp + 1, abs=1e-6)


@given(st.floats(0, 45), st.floats(0.4, 0.99))
def test_damper_air_is_never_felt_cooler(air_c: float, humidity: float) -> None:
    """Within half a degree where the simple form hands over to the regression."""
    assert heat_index_c(air_c, humidity + 0.01) >= heat_index_c(air_c, humidity) - 0.5


@pytest.mark.parametrize(
    ("index_f", "band"),
    [
        (90.9, "caution"),
        (91, "moderate"),
        (102.9, "moderate"),
        (103, "high"),
        (115, "high"),
        (115.1, "very high"),
    ],
)
def test_heat_bands_are_those_of_the_employers_guide(index_f: float, band: str) -> None:
    """SAFE-13: OSHA, Using the Heat Index; under 91, 91 to 103, 103 to 115, over 115 °F. READ."""
    assert heat_band((index_f - 32) / 1.8, PRACTICE) == band


@pytest.mark.parametrize(
    ("index_f", "hours", "minutes"),
    [(89.9, 8, 0), (90, 1.9, 0), (90, 2, 15), (95, 3.9, 15), (95, 4, 30), (110, 8, 60)],
)
def test_rest_is_owed_for_every_two_hours_in_great_heat(index_f: float, hours: float, minutes: float) -> None:
    """SAFE-14: 15 min for each 2 h from a heat index of 90 °F. OSHA proposal (2024), READ-2; proposed, not law."""
    assert rest_s((index_f - 32) / 1.8, hours * 3600, PRACTICE) == minutes * 60


@pytest.mark.parametrize(("day", "share"), [(1, 0.2), (2, 0.4), (4, 0.8), (5, 1.0), (9, 1.0)])
def test_somebody_new_to_the_heat_works_a_fifth_more_each_day(day: int, share: float) -> None:
    """SAFE-14: 20 % on day 1 and 20 % more a day. OSHA proposal (2024), READ-2; proposed, not law."""
    assert new_worker_share(day, PRACTICE) == pytest.approx(share)


def test_there_is_no_day_before_the_first_in_the_heat() -> None:
    with pytest.raises(ValueError, match="from 1"):
        new_worker_share(0, PRACTICE)


@pytest.mark.parametrize("reach_in", [8, 10, 15, 24])
@pytest.mark.parametrize("height_in", [0, 10, 30, 60])
@pytest.mark.parametrize("travel_in", [5, 10, 30, 60])
def test_both_printed_forms_of_the_lifting_equation_agree(
    reach_in: float, height_in: float, travel_in: float
) -> None:
    """SAFE-10: NIOSH 94-110 (2021), US form 10/H, 1 − 0.0075 |V − 30|, 0.82 + 1.8/D, READ; H and D count from 10 in, which is 25.4 cm."""
    found = multipliers(Lift(reach_in * 0.0254, height_in * 0.0254, travel_in * 0.0254))
    assert found["HM"] == pytest.approx(10 / max(reach_in, 10), rel=0.016)
    assert found["VM"] == pytest.approx(1 - 0.0075 * abs(height_in - 30), abs=0.01)
    assert found["DM"] == pytest.approx(0.82 + 1.8 / max(travel_in, 10), abs=0.01)
    assert max(found["HM"], found["DM"]) <= 1.0


def keys(place: str, **fields: object) -> set[str]:
    pours = [rectangle("P1", 24, 24, [2], packets=0.0)]
    return {said.key for said in safety.cautions(place, job(pours, **fields))}  # type: ignore[arg-type]


def weather(air_f: float, humidity: float = 0.5) -> tuple[ForecastRow, ...]:
    return (ForecastRow(0.0, (air_f - 32) / 1.8, humidity, 1.0, False),)


def test_help_holds_every_caution() -> None:
    assert keys("help") == {caution.key for caution in safety.CAUTIONS}


@pytest.mark.parametrize("place", ["planning", "start of day", "report"])
def test_every_place_says_that_times_are_estimates(place: str) -> None:
    assert "caution.estimates" in keys(place)


def test_skin_dust_cords_and_backs_are_spoken_of_every_morning() -> None:
    """SAFE-6 to SAFE-9: silica rule, pH of wet mix, NIOSH."""
    morning = {"caution.skin", "caution.dust", "caution.bags_dust", "caution.lifting", "caution.cords"}
    assert morning <= keys("start of day")


@pytest.mark.parametrize(("air_f", "cold"), [(39.9, True), (40.1, False)])
def test_a_night_under_forty_is_a_cold_day(air_f: float, cold: bool) -> None:
    """COLD-1: air expected under 40 °F (5 °C) during protection, ACI topic page, READ."""
    assert ("caution.cold" in keys("planning", conditions=(*weather(60), *weather(air_f)))) is cold


def test_packets_on_a_cold_day_are_a_caution_of_their_own() -> None:
    dosed = job([rectangle("P1", 24, 24, [2], packets=1.0)], conditions=weather(35))
    assert "caution.retarded_cold" in {said.key for said in safety.cautions("planning", dosed)}
    assert "caution.retarded_cold" not in keys("planning", conditions=weather(35))


@pytest.mark.parametrize(("air_f", "humidity", "hot"), [(78, 0.4, False), (84, 0.6, True), (95, 0.5, True)])
def test_heat_on_people_is_spoken_of_from_the_proposed_trigger_on(
    air_f: float, humidity: float, hot: bool
) -> None:
    """SAFE-14: OSHA 2024 proposal, heat index 80 °F, READ-2; proposed, not law."""
    assert ("caution.hot" in keys("start of day", conditions=weather(air_f, humidity))) is hot


def test_the_hot_caution_names_the_band() -> None:
    hot = job([rectangle("P1", 24, 24, [2])], conditions=weather(95, 0.5))
    values = {said.key: dict(said.values) for said in safety.cautions("start of day", hot)}
    assert values["caution.hot"] == {"band": "high"}


def test_hot_bags_are_judged_by_their_own_temperature_before_the_air_s() -> None:
    """HOT-1: 90 °F, TM 5-822-7, READ."""
    assert "caution.hot_bags" in keys("planning", conditions=weather(91))
    cool = Materials(bags_c=20.0)
    assert "caution.hot_bags" not in keys("planning", conditions=weather(91), materials=cool)


def test_ramps_and_steps_have_theirs_only_where_the_job_has_them() -> None:
    here = {said.key for said in safety.cautions("planning", library())}
    assert {"caution.ramp", "caution.steps"} <= here
    assert not {"caution.ramp", "caution.steps"} & keys("planning")


def test_the_lifting_caution_speaks_of_the_heaviest_bag() -> None:
    both = job([rectangle("P1", 24, 24, [2])], [card("a", bag_lb=50), card("b", bag_lb=80)])
    values = {said.key: dict(said.values) for said in safety.cautions("start of day", both)}
    assert values["caution.lifting"] == {"index": "3.1"}


def test_no_caution_stands_twice_or_nowhere() -> None:
    every = [caution.key for caution in safety.CAUTIONS]
    assert len(every) == len(set(every))
    assert all(caution.places for caution in safety.CAUTIONS)
