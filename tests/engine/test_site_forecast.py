"""What a job may say of wind and of the season left: a station's wind instead of the work's, days expected for a coating.

Share of a weather station's wind half a metre above open country: 0.657, ASHRAE Fundamentals 2005 profile (coefficients read).
"""

from __future__ import annotations

import datetime
import shutil
from pathlib import Path

import pytest

from engine.errors import BadInput
from engine.job.files import read_job
from engine.job.model import Job
from tests.scenarios.expected import DATA

LIBRARY = DATA / "library"
TODAY = datetime.date(2026, 11, 5)
WIND = 'wind = "0 mph"'


def job_with(tmp_path: Path, change: tuple[str, str], more: str = "") -> Job:
    """The library job with its text changed."""
    text = (LIBRARY / "job.toml").read_text(encoding="utf-8")
    assert change[0] in text
    shutil.copy(LIBRARY / "small-stone.toml", tmp_path)
    path = tmp_path / "job.toml"
    path.write_text(text.replace(*change) + more, encoding="utf-8")
    return read_job(path, TODAY)


def test_a_station_s_wind_is_reduced_to_the_work(tmp_path: Path) -> None:
    job = job_with(tmp_path, (WIND, 'station_wind = "10 mph"'))
    assert job.conditions[0].wind_ms == pytest.approx(10 * 0.44704 * 0.657, rel=2e-3)


def test_among_houses_a_job_says_its_own_share(tmp_path: Path) -> None:
    share = '\n[practice]\n"evaporation.station_share" = "17 %"\n'
    job = job_with(tmp_path, (WIND, 'station_wind = "10 mph"'), share)
    assert job.conditions[0].wind_ms == pytest.approx(10 * 0.44704 * 0.17)


@pytest.mark.parametrize("wind", ["", 'wind = "3 mph"\nstation_wind = "10 mph"'])
def test_wind_is_stated_once(tmp_path: Path, wind: str) -> None:
    with pytest.raises(BadInput, match="either the wind at the work, or station_wind"):
        job_with(tmp_path, (WIND, wind))


def test_days_expected_for_a_coating_are_read_at_their_warmest(tmp_path: Path) -> None:
    day = '\n[[expected]]\nday = 2026-12-03\nsurface = "48 degF"\nhumidity = 70\nrain = false\n'
    expected = job_with(tmp_path, (WIND, WIND), day).expected
    local = datetime.datetime.fromtimestamp(expected[0].at, datetime.UTC)
    assert local.hour == 20  # 14:00 in Chicago in winter
    assert expected[0].surface_c == pytest.approx(8.889, abs=0.001)
    assert expected[0].humidity == pytest.approx(0.7)


def test_a_day_expected_without_a_surface_is_refused_by_name(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"expected\[0\].surface"):
        job_with(tmp_path, (WIND, WIND), "\n[[expected]]\nday = 2026-12-03\nhumidity = 70\nrain = false\n")
