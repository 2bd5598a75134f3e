"""The list for loading: counts from the job, and what stands still without each thing.

GEO-14, -19: UFC 3-270-03 (2001), 3.4 and 16.6, read. Drinking water: OSHA, proposed heat rule (2024), reproduction. Blankets: UFC 3-270-03,
table of temperatures, read. Other counts: common practice, no source.
"""

from __future__ import annotations

import dataclasses

import pytest
from measured_jobs import IN, QT, job, library, rectangle

from engine.job.buying import buy_list
from engine.job.loadout import LoadItem, load_list
from engine.job.model import Job, Person, Pour, Station, Stock
from engine.job.takeoff import job_takeoff
from engine.site.conditions import ForecastRow


def loaded(day: Job, shift_s: float = 8 * 3600.0, **packets: float) -> dict[str, LoadItem]:
    items = load_list(day, buy_list(day, job_takeoff(day), packets), shift_s)
    return {item.what.key.removeprefix("load."): item for item in items}


def small(**fields: object) -> Job:
    return job([rectangle("P1", 24, 24, [2], finish="float")], **fields)


def test_bags_come_first_with_what_the_stock_has() -> None:
    day = dataclasses.replace(library(), stock=Stock((("small-stone", 12.0),), 0.0, 4))
    bags = loaded(day)["bags"]
    assert (bags.count, bags.have, bags.missing) == (14.0, 12.0, 2.0)
    assert next(iter(loaded(day))) == "bags"


def test_every_item_says_what_it_blocks() -> None:
    for key, item in loaded(library(), P4=1.0).items():
        assert item.blocks.key == f"blocks.{key}"
        assert item.count > 0


def test_four_vessels_and_one_more_for_each_station() -> None:
    """Common practice, no source. The library has two stations in its job file; one here."""
    one, two = small(), small(stations=(Station("S1", "bucket"), Station("S2", "bucket")))
    assert (loaded(one)["vessels"].count, loaded(two)["vessels"].count) == (5.0, 6.0)
    assert loaded(two)["vessels"].missing == 2.0


def test_packets_are_listed_only_where_some_are_planned() -> None:
    assert "packets" not in loaded(library())
    assert loaded(library(), P4=1.0)["packets"].count == 4.0


def test_the_sheet_reaches_a_foot_beyond_every_edge_and_burlap_is_double() -> None:
    """GEO-19: two layers of burlap and sheet, 12 in beyond the edge. UFC 3-270-03 16.6, READ."""
    items = loaded(small())
    assert items["sheet"].count == pytest.approx((48 * IN) ** 2)
    assert items["burlap"].count == pytest.approx(2 * (48 * IN) ** 2)


def test_a_pour_known_by_its_area_is_covered_as_a_square() -> None:
    day = job([Pour("P1", (24 * IN) ** 2, (2 * IN,), "trowel")])
    assert loaded(day)["sheet"].count == pytest.approx((48 * IN) ** 2)


@pytest.mark.parametrize(("slab_f", "needed"), [(54.9, True), (55.1, False)])
def test_blankets_are_for_days_under_fifty_five(slab_f: float, needed: bool) -> None:
    """UFC 3-270-03: under 55 °F only with insulation; practice value."""
    row = ForecastRow(0.0, 20.0, 0.5, 1.0, False, (slab_f - 32) / 1.8)
    assert ("blankets" in loaded(small(conditions=(row,)))) is needed


def test_tools_follow_the_finishes() -> None:
    assert not {"broom", "trowels", "forms", "edgers"} & set(loaded(small()))
    assert {"broom", "trowels", "forms"} <= set(loaded(library()))
    assert loaded(library())["forms"].count == 2  # P6 and P7


def test_people_decide_gloves_water_and_masks() -> None:
    """One quart of water a person and hour: OSHA 2024 proposal, READ-2, proposed and not law."""
    crew = tuple(Person(name, ("finish",)) for name in "ABC")
    items = loaded(small(people=crew), shift_s=6 * 3600.0)
    assert items["gloves"].count == 6
    assert items["respirators"].count == items["hearing_protection"].count == 3
    assert items["drinking_water"].count == pytest.approx(18 * QT)
    assert items["floats"].count == 3


def test_the_hammer_is_a_light_one() -> None:
    """GEO-14: under 30 lb (14 kg). UFC 3-270-03 (2001), 3.4, READ."""
    assert dict(loaded(small())["chipping_hammer"].what.values) == {"most": "30 lb (13.61 kg)"}


def test_a_sunny_forecast_asks_for_shade() -> None:
    sun = ForecastRow(0.0, 20.0, 0.5, 1.0, True)
    assert "shade" in loaded(small(conditions=(sun,)))
    assert "shade" not in loaded(small())


def test_things_nobody_keeps_count_of_are_never_called_missing() -> None:
    assert loaded(small())["paddles"].have is None
    assert loaded(small())["paddles"].missing == 0.0
