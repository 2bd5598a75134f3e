"""The plan screen's values from a day and its plan: built when somebody looks, the same for as long as both stay."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from engine.job.buying import BuyLine, buy_list
from engine.job.model import Job, Pour, Skill
from engine.job.safety import cautions as day_cautions
from engine.job.takeoff import JobTakeoff, PourTakeoff, job_takeoff
from engine.pour.assigned import told_to
from engine.pour.dayplan import DayPlan
from engine.pour.needs import bags_left, stock
from engine.pour.plan_view import Buy, BuyRow, PlanCrew, PlanRow, PlanView, TakeoffRow
from engine.pour.planned import cautions
from engine.pour.reckoning import Moment
from engine.pour.stages import pour_state
from engine.pour.state import Day

WORK: dict[Skill, str] = {"mix": "mix", "place": "place", "finish": "float"}  # a task of each kind of work


def plan_page(moment: Moment, plan: DayPlan) -> PlanView:
    """The rest of a day as planned, and the whole visit measured up."""
    job = as_queued(moment.day)
    taken = job_takeoff(job)
    return PlanView(
        rows=tuple(_row(moment, plan, pour) for pour in moment.day.pours),
        crew=tuple(_crew(moment, plan, person.id, person.does) for person in moment.day.crew()),
        start=moment.at,
        end=max((plan.end, *(task.end for task in plan.tasks))),
        takeoff=(*(_takeoff(pour) for pour in taken.pours), _total(taken)),
        buy=_buy(moment, job, taken, plan),
        misses=plan.misses,
        cautions=(*cautions(taken), *day_cautions("planning", job)),
        notes=taken.notes,
    )


def as_queued(day: Day) -> Job:
    """The job with the queue and crew as they stand; pours left for later are of a later visit."""
    left = frozenset(day.left)
    pours = tuple(replace(pour, visit=max(2, pour.visit)) if pour.id in left else pour for pour in day.pours)
    return replace(day.job, pours=pours, people=day.crew())


def _row(moment: Moment, plan: DayPlan, pour: Pour) -> PlanRow:
    takeoff, wet = moment.takeoffs[pour.id], bool(moment.day.batches_of(pour.id))
    mixes = (task for task in plan.mixes(pour.shares or pour.id) if not moment.day.has_batch(task.batches[0]))
    ahead = [task.start for task in mixes]
    ends = [task.end for task in plan.tasks if task.pour == pour.id and task.kind != "mix"]
    return PlanRow(
        id=pour.id,
        where=pour.where,
        state=pour_state(moment, pour),
        finish=pour.finish,
        finish_in=_finish_in(plan, pour),
        bags=takeoff.bags,
        bags_left=bags_left(moment, pour),
        packets=plan.packets(pour.id) if pour.packets is None else pour.packets,
        dose_stated=pour.packets is not None,
        water=min(ahead, default=None),
        done=max(ends, default=None),
        put_on=_put_on(moment.day, pour),
        begun=wet,
        shares=pour.shares,
        flags=takeoff.flags,
    )


def _finish_in(plan: DayPlan, pour: Pour) -> str:
    """In strips where some pass is planned more than once."""
    passes = [task.kind for task in plan.tasks if task.pour == pour.id and task.kind not in ("mix", "place")]
    if not passes:
        return ""
    return "strips" if len(passes) > len(set(passes)) else "whole"


def _put_on(day: Day, pour: Pour) -> tuple[tuple[Skill, str], ...]:
    found = ((skill, told_to(day, WORK[skill], pour.id)) for skill in get_args(Skill))
    return tuple((skill, who) for skill, who in found if who)


def _crew(moment: Moment, plan: DayPlan, person: str, does: tuple[str, ...]) -> PlanCrew:
    return PlanCrew(person, does, person in moment.day.away(), plan.ahead_of(person, moment.at))


def _takeoff(taken: PourTakeoff) -> TakeoffRow:
    return TakeoffRow(
        taken.id,
        taken.area_m2,
        taken.mean_depth_m,
        taken.volume_with_waste_m3,
        taken.bags,
        taken.spare_fraction,
        taken.mix,
        taken.lifts,
    )


def _total(taken: JobTakeoff) -> TakeoffRow:
    """The sum; its depth is the mean over the area."""
    depth_m = taken.volume_net_m3 / taken.area_m2 if taken.area_m2 else 0.0
    spare = (taken.bags - taken.bags_exact) / taken.bags if taken.bags else 0.0
    return TakeoffRow(
        "", taken.area_m2, depth_m, taken.volume_with_waste_m3, taken.bags, max(0.0, spare), "", 0
    )


def _buy(moment: Moment, job: Job, taken: JobTakeoff, plan: DayPlan) -> Buy:
    buy = buy_list(job, taken, plan.doses)
    return Buy(
        rows=tuple(_buy_row(moment, line) for line in buy.lines),
        packets=buy.packets,
        packets_to_buy=buy.packets_to_buy,
        water_l=buy.water.total_l,
        ice_kg=buy.ice_kg,
        cost=buy.cost,
        currency=job.currency,
    )


def _buy_row(moment: Moment, line: BuyLine) -> BuyRow:
    mine = (pour for pour in moment.day.pours if moment.takeoffs[pour.id].mix == line.mix)
    return BuyRow(
        mix=line.mix,
        for_pours=line.for_pours,
        spares=line.spares,
        need=line.need,
        had=line.in_stock,
        to_buy=line.to_buy,
        to_mix=sum(bags_left(moment, pour) for pour in mine),
        left=dict(stock(moment).by_mix).get(line.mix, 0.0),
        cost=line.cost,
    )
