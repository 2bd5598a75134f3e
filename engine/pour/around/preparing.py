"""What is settled before the first bag: load-out, weights, dust, the checks to come, and how long a mix may wait."""

from __future__ import annotations

from typing import Any

from engine.job.buying import BuyList
from engine.job.handover import checks_for
from engine.job.lifting import AT_THE_WAIST, FROM_THE_FLOOR, lifting_index, recommended_kg
from engine.job.loadout import LoadItem, load_list
from engine.job.safety import cautions
from engine.job.silica import ROWS
from engine.mix.card import MixCard
from engine.pour.prospects import clock_of
from engine.pour.reckoning import Moment
from engine.site.waiting import waiting
from engine.words import Words

LOOKS_S = (60.0, 120.0, 180.0, 240.0, 360.0)


def preparing_table(moment: Moment, buy: BuyList, words: Words) -> dict[str, Any]:
    """As plain JSON values."""
    job = moment.job
    return {
        "load": [_item(item, words) for item in load_list(job, buy)],
        "lifting": [_lifting(card) for card in job.mixes],
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


def _lifting(card: MixCard) -> dict[str, Any]:
    """The bag against the recommended weight limit, from the floor and at the waist."""
    return {
        "mix": card.key,
        "bag_kg": card.bag.mass_kg,
        "limit_from_floor_kg": recommended_kg(FROM_THE_FLOOR),
        "index_from_floor": lifting_index(card.bag.mass_kg, FROM_THE_FLOOR),
        "index_at_waist": lifting_index(card.bag.mass_kg, AT_THE_WAIST),
    }


def _dust(row: Any) -> dict[str, Any]:
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
