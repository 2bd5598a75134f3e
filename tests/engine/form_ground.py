"""What forms stand on in tests: the shipped demo job, practice and example cards; the least that has to be answered."""

from __future__ import annotations

import datetime

from engine.job.files import configs_folder, demo_job_path, read_toml, read_words, shipped_practice
from engine.job.writing.table import Ground, Offer
from engine.mix.reader import read_mix
from engine.words import Words

TODAY = datetime.date(2026, 11, 5)
SAID = Words(read_words("en"))
VALUES = shipped_practice()


def _offers() -> tuple[Offer, ...]:
    found = []
    for file in sorted((configs_folder() / "mixes").glob("*.toml")):
        card, problems = read_mix(read_toml(file), file.stem, file.name)
        assert card is not None
        assert not problems
        found.append(Offer(file.stem, f"mixes/{file.name}", card, shipped=True))
    return tuple(found)


GROUND = Ground(read_toml(demo_job_path()), 4, _offers(), zone="")
LEAST = {
    "name": ("School: side entry",),
    "time_zone": ("America/Chicago",),
    "weather": ("08:00 air 54",),
    "patches": ("24x18 2.0 1.75 2 1/4",),
}
