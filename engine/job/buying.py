"""What to buy before the day, and where the bags went after it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from engine.job.lifts import whole_up
from engine.job.model import Job, Practice
from engine.job.takeoff import JobTakeoff
from engine.mix.card import MixCard

TRIAL_BAGS = 0.5  # a trial is half a bag by definition


@dataclass(frozen=True)
class BuyLine:
    """Bags of one mix: what the pours, the trial and the spares come to, and what is missing from stock."""

    mix: str
    for_pours: int
    spares: int
    need: int
    in_stock: float
    to_buy: int
    cost: float | None  # of all bags needed, in the job's currency; None: no price on the card

    @property
    def for_trial(self) -> float:
        return TRIAL_BAGS


@dataclass(frozen=True)
class WaterNeed:
    """Litres of clean water to have on site, bags and surface alike; nothing here for people."""

    mixing_l: float
    rinsing_l: float
    soaking_l: float

    @property
    def total_l(self) -> float:
        return self.mixing_l + self.rinsing_l + self.soaking_l


@dataclass(frozen=True)
class BuyList:
    """Everything to buy for a visit. `cost` is None as soon as one mix has no price."""

    lines: tuple[BuyLine, ...]
    packets: int
    packets_in_stock: float
    packets_to_buy: int
    water: WaterNeed
    ice_kg: float
    cost: float | None

    @property
    def bags(self) -> int:
        return sum(line.need for line in self.lines)


def buy_list(job: Job, taken: JobTakeoff, packets_per_bag: Mapping[str, float]) -> BuyList:
    """The buy list of a visit; `packets_per_bag` as planned, by pour id; else the pour's own dose or none."""
    lines = tuple(_line(job, key, bags) for key, bags in taken.bags_by_mix)
    costs = [line.cost for line in lines if line.cost is not None]
    packets = _packets(job, taken, packets_per_bag)
    return BuyList(
        lines=lines,
        packets=packets,
        packets_in_stock=job.stock.packets,
        packets_to_buy=whole_up(packets - job.stock.packets),
        water=_water(job, lines, taken.area_m2),
        ice_kg=job.materials.ice_kg * sum(line.need for line in lines),
        cost=sum(costs) if len(costs) == len(lines) else None,
    )


def _line(job: Job, key: str, for_pours: int) -> BuyLine:
    card, in_stock = job.mix(key), dict(job.stock.bags).get(key, 0.0)
    spares = spare_bags(for_pours, job.practice)
    need = whole_up(for_pours + TRIAL_BAGS + spares)
    cost = None if card.bag.price is None else need * card.bag.price
    return BuyLine(key, for_pours, spares, need, in_stock, whole_up(need - in_stock), cost)


def spare_bags(for_pours: int, practice: Practice) -> int:
    """One for so many bags, and never under the least."""
    return max(int(practice["buying.least_spares"]), whole_up(for_pours / practice["buying.bags_per_spare"]))


def _packets(job: Job, taken: JobTakeoff, per_bag: Mapping[str, float]) -> int:
    """Whole packets for the pours as dosed, with the reserve."""
    doses = {pour.id: per_bag.get(pour.id, pour.packets or 0.0) for pour in job.pours}
    planned = sum(pour.bags * doses[pour.id] for pour in taken.pours)
    return whole_up(planned * (1 + job.practice["buying.packet_reserve"]))


def _water(job: Job, lines: Sequence[BuyLine], area_m2: float) -> WaterNeed:
    """Every bag on the list is reckoned as mixed at the label's target; ice is part of that water."""
    return WaterNeed(
        mixing_l=sum(line.need * _liquid_l(job, job.mix(line.mix)) for line in lines),
        rinsing_l=sum(line.need for line in lines) * job.practice["buying.rinse_per_bag"],
        soaking_l=area_m2 * job.practice["buying.soak"],
    )


def _liquid_l(job: Job, card: MixCard) -> float:
    return max(0.0, card.water.target_l - job.materials.ice_kg)  # a litre of water is a kilogram


@dataclass(frozen=True)
class BagUse:
    """Bags of a day by what became of them. `planned` are the take-off's; halves count 0.5."""

    planned: float
    tipped: float
    half: float = 0.0
    trial: float = 0.0
    lost: float = 0.0
    rejected: float = 0.0

    @property
    def used(self) -> float:
        return self.tipped + self.half + self.trial + self.lost + self.rejected

    @property
    def over_in_pours(self) -> float:
        """Bags in the holes beyond the take-off; negative where fewer were needed."""
        return self.tipped + self.half - self.planned

    @property
    def by_cause(self) -> tuple[tuple[str, float], ...]:
        """Where bags beyond the take-off went; adds up to `used - planned`."""
        return (
            ("pours", self.over_in_pours),
            ("trial", self.trial),
            ("lost", self.lost),
            ("rejected", self.rejected),
        )
