"""Hot and cold against the published limits.

COLD-1 to -13, HOT-1, HOT-2, EVAP-20: source, edition, clause and status in each row of cold_limits.csv. Words of EVAP-20:
ACI 305.1-14, 1.3, quoted in a submission, read. COLD-1: American Concrete Institute, topic page, definition, read.
"""

from __future__ import annotations

import pytest
from fine_column import celsius
from measured_jobs import table
from site_days import DAY, HOUR, SHIPPED, TO_SI, still

from engine.site.bands import CHANGES, Temperatures, findings, is_hot_weather, lowest_air_c, said


@pytest.mark.parametrize("row", table("cold_limits.csv"), ids=lambda row: f"{row['id']} {row['key']}")
def test_the_limits_are_the_published_ones(row: dict[str, str]) -> None:
    assert SHIPPED[row["key"]] == pytest.approx(TO_SI[row["unit"]](float(row["value"])), abs=1e-6, rel=1e-9)


@pytest.mark.parametrize("row", table("cold_bands.csv"), ids=lambda row: row["id"])
def test_what_is_out_of_its_band_on_a_limit_and_past_it(row: dict[str, str]) -> None:
    slab, air, lowest, mix = (celsius(float(row[name])) for name in ("slab_f", "air_f", "lowest_f", "mix_f"))
    found = findings(Temperatures(slab, mix, mix), still(air, 0.9), lowest, SHIPPED)
    bands = {one.of: one.band for one in found}
    assert " / ".join(bands.get(of, "-") for of in ("slab", "air", "mix")) == row["found"]
    assert len(bands) == len(found)


def test_hot_weather_is_warm_air_and_fast_drying_together() -> None:
    """EVAP-20, READ: 80 °F or more and evaporation over the limit (ACI 305.1, 1.3)."""
    dry, damp = still(celsius(80), 0.2, 6.0), still(celsius(80), 0.9, 6.0)
    cooler = still(celsius(79.9), 0.2, 6.0)
    assert is_hot_weather(32.0, dry, SHIPPED)
    assert not is_hot_weather(32.0, damp, SHIPPED)
    assert not is_hot_weather(32.0, cooler, SHIPPED)
    warm = Temperatures(30.0, 25.0, 32.0)
    assert [f.band for f in findings(warm, dry, 20.0, SHIPPED) if f.of == "air"] == ["hot"]


def test_cold_weather_looks_ahead_as_far_as_protection_lasts() -> None:
    """COLD-1: expected to fall under 40 °F during the protection period."""
    night = ((0.0, still(12.0)), (18 * HOUR, still(3.0)), (30 * HOUR, still(9.0)), (2 * DAY, still(-8.0)))
    assert lowest_air_c(night, 0.0, SHIPPED) == 3.0
    assert lowest_air_c(night, 1.0, SHIPPED) == -8.0
    assert lowest_air_c(night, 20 * HOUR, SHIPPED) == -8.0
    assert lowest_air_c(night[:1], 5.0, SHIPPED) == 12.0
    assert (
        lowest_air_c(((0.0, still(-3.0)), (HOUR, still(8.0))), 2 * HOUR, SHIPPED) == 8.0
    )  # the frost is over


def test_every_finding_says_what_would_change_it_and_whose_limit_it_is() -> None:
    rows = table("cold_bands.csv")
    hot = findings(Temperatures(40.0, 40.0, 40.0), still(40.0, 0.1, 6.0), 30.0, SHIPPED)
    seen = {(one.of, one.band): one for one in hot}
    for row in rows:
        slab, air, lowest, mix = (celsius(float(row[n])) for n in ("slab_f", "air_f", "lowest_f", "mix_f"))
        for one in findings(Temperatures(slab, mix, mix), still(air, 0.9), lowest, SHIPPED):
            seen[one.of, one.band] = one
    assert set(seen) == set(CHANGES)
    for one in seen.values():
        assert one.changes
        if one.key != "temperature.over_mixed_least":
            assert one.limit_c == SHIPPED[one.key]


def test_a_finding_is_the_same_in_either_unit_system() -> None:
    (one,) = findings(Temperatures(celsius(39), 20.0, 20.0), still(15.0), 10.0, SHIPPED)
    us, metric = dict(said(one, "us").values), dict(said(one, "metric").values)
    assert (us["value"], us["limit"]) == ("39 °F", "40 °F")
    assert (metric["value"], metric["limit"]) == ("4 °C", "4 °C")
    assert said(one, "us").key == said(one, "metric").key == "band.slab_too_cold"
