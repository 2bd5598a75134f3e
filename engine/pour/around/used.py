"""Where the bags went: take-off against used by cause, lots, and the water that was measured against the label."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from engine.job.buying import BagUse
from engine.job.model import Pour
from engine.job.takeoff import job_takeoff
from engine.job.weighing import bag_verdict
from engine.pour.measured import BagWeighed, LotNoted, WaterMeasured
from engine.pour.needs import bags_left, this_visit
from engine.pour.reckoning import Moment
from engine.pour.state import Batch

WaterWord = Literal["under the label", "within the label", "over the label"]
GRAIN = 1e-6


def bag_use(moment: Moment, mix: str) -> BagUse:
    """The bags of one mix by what became of them; of a pour still being filled as much counts as planned as is in it."""
    day = moment.day
    batches = [b for b in day.batches if not b.source and moment.takeoffs[b.pour].mix == mix]
    filled = [batch.bags for batch in batches if batch.live]
    return BagUse(
        planned=sum(_planned(moment, pour) for pour in _pours_of(moment, mix)),
        tipped=sum(bags for bags in filled if bags >= 1.0),
        half=sum(bags for bags in filled if bags < 1.0),
        trial=sum(trial.bags for trial in day.trials if trial.mix == mix),
        lost=sum(batch.bags for batch in batches if not batch.live),
        rejected=float(sum(1 for rejected, _, _ in day.rejected if rejected == mix)),
    )


def _pours_of(moment: Moment, mix: str) -> list[Pour]:
    return [p for p in moment.day.pours if this_visit(moment, p) and moment.takeoffs[p.id].mix == mix]


def _planned(moment: Moment, pour: Pour) -> float:
    taken, batches = moment.takeoffs[pour.id].bags, moment.day.batches_of(pour.id)
    own = sum(batch.bags for batch in batches)
    full = bool(batches) and bags_left(moment, pour) <= 0 and pour.id not in moment.day.filled
    return float(taken) if full else min(own, float(taken))


def rescoped(moment: Moment, mix: str) -> int:
    """Bags of the take-off more than in the job file: depths read later, change orders, joints; negative for fewer."""
    first = dict(job_takeoff(moment.job).bags_by_mix).get(mix, 0)
    return sum(moment.takeoffs[pour.id].bags for pour in _pours_of(moment, mix)) - first


@dataclass(frozen=True)
class WaterUse:
    """Water of a batch as measured, against the label's range for its bags, in litres."""

    litres: float
    low_l: float
    high_l: float

    @property
    def word(self) -> WaterWord:
        if self.litres < self.low_l * (1 - GRAIN):
            return "under the label"
        return "over the label" if self.litres > self.high_l * (1 + GRAIN) else "within the label"


def water_use(moment: Moment, batch: Batch) -> WaterUse | None:
    """What was measured last for a batch; None: nothing."""
    measured = [body for body, _ in moment.day.recorded(WaterMeasured) if body.batch == batch.id]
    if not measured:
        return None
    label = moment.card(batch.pour).water
    return WaterUse(measured[-1].water_l, label.low_l * batch.bags, label.high_l * batch.bags)


def lot_of(moment: Moment, batch: Batch) -> str:
    """The lot noted for a batch, else the one in force for its mix at its water contact; empty: none noted."""
    noted = moment.day.recorded(LotNoted)
    own = [body.lot for body, _ in noted if body.batch == batch.id]
    if own:
        return own[-1]
    mix = moment.takeoffs[batch.pour].mix
    standing = [
        body.lot for body, at in noted if not body.batch and body.mix in ("", mix) and at <= batch.water_at
    ]
    return standing[-1] if standing else ""


def standing_lots(moment: Moment) -> list[str]:
    """The lots in force for the next bags, by mix where they differ."""
    noted = [body for body, _ in moment.day.recorded(LotNoted) if not body.batch]
    latest = {body.mix: body.lot for body in noted}
    return list(dict.fromkeys(latest.values()))


def weighed_table(moment: Moment) -> list[dict[str, Any]]:
    """Bags on a scale against what is printed, as plain JSON values."""
    found = []
    for body, _ in moment.day.recorded(BagWeighed):
        verdict = bag_verdict(body.mass_kg, moment.job.mix(body.mix), moment.job.practice)
        found.append({"mix": body.mix, "mass_kg": body.mass_kg, "off": verdict.value, "word": verdict.word})
    return found


def use_table(moment: Moment) -> list[dict[str, Any]]:
    """Every mix of the visit as plain JSON values; `beyond` says by cause where bags beyond the plan so far went."""
    mixes = dict.fromkeys(taken.mix for taken in moment.takeoffs.values())
    return [_use_of(moment, mix) for mix in mixes]


def _use_of(moment: Moment, mix: str) -> dict[str, Any]:
    use = bag_use(moment, mix)
    return {
        "mix": mix,
        "planned_so_far": use.planned,
        "rescoped": rescoped(moment, mix),
        "used": use.used,
        "beyond": dict(use.by_cause),
    }


def batch_table(moment: Moment, batch: Batch) -> dict[str, Any]:
    """Lot and water of a batch as plain JSON values."""
    water = water_use(moment, batch)
    return {
        "lot": lot_of(moment, batch) or None,
        "water_used_l": water.litres if water else None,
        "water_used": water.word if water else None,
    }
