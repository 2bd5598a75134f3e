"""The water that brings the mix to a wanted temperature, or that a reading outside its band asks for."""

from __future__ import annotations

from typing import Any

from engine.mix.card import MixCard
from engine.pour.reckoning import Moment
from engine.site.water import WaterPlan, said, water_for
from engine.words import Words


def water_plan(moment: Moment, card: MixCard, wanted_c: float) -> WaterPlan:
    """With bags and water as they are in force now."""
    site, at = moment.site, moment.at
    return water_for(wanted_c, card, site.bags_c("", at), site.water_c("", at), moment.job.practice)


def water_table(moment: Moment, wanted_c: float, words: Words) -> list[dict[str, Any]]:
    """Every mix of the job as plain JSON values."""
    return [_row(card, water_plan(moment, card, wanted_c), moment, words) for card in moment.job.mixes]


def _row(card: MixCard, plan: WaterPlan, moment: Moment, words: Words) -> dict[str, Any]:
    return {
        "mix": card.key,
        "word": plan.word,
        "water_c": plan.water_c,
        "ice_kg": plan.ice_kg,
        "mix_c": plan.mix_c,
        "needed_c": plan.needed_c,
        "text": words(said(plan, moment.job.units)),
    }
