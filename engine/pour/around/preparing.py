"""What is settled before the first bag: load-out, weights, dust, the checks to come, and how long a mix may wait."""

from __future__ import annotations

from typing import Any

from engine.job.buying import BuyList
from engine.job.geometry import plan_size_m
from engine.job.handover import checks_for
from engine.job.heat import heat_band, new_worker_share, rest_s
from engine.job.lifting import AT_THE_WAIST, FROM_THE_FLOOR, lifting_index, recommended_kg
from engine.job.lifts import GRAIN
from engine.job.loadout import LoadItem, load_list
from engine.job.model import Job, Pour, Practice
from engine.job.safety import cautions, hottest_index_c
from engine.job.sawing import saw_cut
from engine.job.silica import ROWS, Row
from engine.job.weighing import TOLERANCE, water_kg
from engine.mix.card import MixCard
from engine.pour.around.surroundings import surroundings
from engine.pour.prospects import clock_of
from engine.pour.reckoning import Moment
from engine.site.membrane import compound_l, enough_alone
from engine.site.service import class_of
from engine.site.waiting import waiting
from engine.words import Words

LOOKS_S = (60.0, 120.0, 180.0, 240.0, 360.0)


def preparing_table(moment: Moment, buy: BuyList, words: Words) -> dict[str, Any]:
    """As plain JSON values."""
    job = moment.job
    return {
        "load": [_item(item, words) for item in load_list(job, buy)],
        "mixes": [_mix(card, job.practice) for card in _used(moment)],
        "saw_cuts": [_cut(moment, pour) for pour in moment.day.pours if plan_size_m(pour)],
        "curing_compound": _compound(moment),
        "heat": _heat(job),
        "silica_table": [_dust(row) for row in ROWS],
        "waiting": [_waiting(moment, card) for card in _used(moment)],
        "checks": {pour.id: list(checks_for(pour)) for pour in job.pours},
        "start_of_day": [words(one) for one in cautions("start of day", job)],
    }


def _item(item: LoadItem, words: Words) -> dict[str, Any]:
    return {
        "what": words(item.what),
        "count": item.count,
        "unit": item.unit,
        "missing": item.missing,
        "without_it": words(item.blocks),
    }


def _mix(card: MixCard, practice: Practice) -> dict[str, Any]:
    """A bag by weight, for backs and for a scale; and how soon its strength takes traffic."""
    return {
        "mix": card.key,
        "service_class": class_of(card, practice),
        "water_kg": list(water_kg(card)),
        "bag_tolerance": practice[TOLERANCE],
        "bag_kg": card.bag.mass_kg,
        "limit_from_floor_kg": recommended_kg(FROM_THE_FLOOR),
        "index_from_floor": lifting_index(card.bag.mass_kg, FROM_THE_FLOOR),
        "index_at_waist": lifting_index(card.bag.mass_kg, AT_THE_WAIST),
    }


def _cut(moment: Moment, pour: Pour) -> dict[str, Any]:
    """The outline as sawn round the pour as it is measured, and how deep."""
    length_m, width_m = plan_size_m(pour) or (0.0, 0.0)
    beyond_m = 2 * moment.job.practice["geometry.saw_beyond"]
    stone_m = moment.card(pour.id).depth.largest_stone_m or 0.0
    bad_m = (max(length_m - beyond_m, GRAIN), max(width_m - beyond_m, GRAIN))
    cut = saw_cut(bad_m, min(pour.depths_m), moment.job.practice, stone_m)
    return {
        "pour": pour.id,
        "depth_m": cut.depth_m,
        "run_m": 2 * (length_m + width_m),
        "ends_at": cut.ends_at,
    }


def _compound(moment: Moment) -> dict[str, Any]:
    """In place of wet cure, where the label allows it; not enough by itself where a surface dries very fast."""
    area_m2 = sum(pour.area_m2 for pour in moment.day.pours)
    return {
        "litres": compound_l(area_m2, moment.job.practice),
        "enough_alone": enough_alone(surroundings(moment).drying),
    }


def _heat(job: Job) -> dict[str, Any]:
    """The highest heat index of the forecast, and the rests that a proposed rule would owe in a shift."""
    index_c = hottest_index_c(job)
    return {
        "index_c": index_c,
        "band": heat_band(index_c, job.practice),
        "rest_min_a_shift": rest_s(index_c, job.practice["loadout.shift"], job.practice) / 60.0,
        "new_worker_first_day": new_worker_share(1, job.practice),
    }


def _dust(row: Row) -> dict[str, Any]:
    return {
        "tool": row.tool,
        "control": row.control,
        "place": row.place,
        "protection_factor_to_4_h": row.factor_short,
        "protection_factor_over_4_h": row.factor_long,
        "clause": row.clause,
    }


def _used(moment: Moment) -> list[MixCard]:
    keys = dict.fromkeys(taken.mix for taken in moment.takeoffs.values())
    return [moment.job.mix(key) for key in keys]


def _waiting(moment: Moment, card: MixCard) -> dict[str, Any]:
    """A batch without packets that stays in its vessel from now on."""
    pour = next(p for p in moment.day.pours if moment.takeoffs[p.id].mix == card.key)
    kept = waiting(clock_of(moment, pour, card, 0.0, moment.at), LOOKS_S)
    return {
        "mix": card.key,
        "stiff_after_s": kept.workable_until - moment.at,
        "looks": [
            {"after_s": look.after_s, "share_used": look.share, "temperature_c": look.temperature_c}
            for look in kept.looks
        ],
    }
