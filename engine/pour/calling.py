"""The scheduler's call in the trade's terms: mix now, hold, edge at risk, joint; one reason."""

from __future__ import annotations

import math

from engine.job.model import PASSES_OF
from engine.plan import problem as p
from engine.plan.call import Call
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.pour.views import CallState, CallView
from engine.pour.worksheet import lifts_at_work
from engine.words import Say, say

NOW_S = 0.5


def call_view(moment: Moment, problem: p.Problem, schedule: p.Schedule, call: Call) -> CallView:
    """What the mixers are told."""
    if not any(batch.started_s is None for batch in problem.batches):
        return CallView("done", say("reason.done"))
    if lacking := missing(problem):
        return CallView("no answer", lacking)
    batch_id = call.batch or _next_of(problem, schedule)
    pour_id = batch_id.rpartition(".")[0]
    mix = next((mix for mix in schedule.mixes if mix.batch == batch_id), None)
    state, reason, latest = _state(moment, pour_id, call)
    at = None if call.at_s is None else moment.at + call.at_s
    packets, bags = _load(moment, problem, batch_id, mix)
    return CallView(
        state=state,
        reason=reason,
        pour=pour_id,
        where=moment.day.pour(pour_id).where,
        batch=batch_id,
        who=mix.person if mix else "",
        station=mix.station if mix else "",
        bags=bags,
        water_l=moment.card(pour_id).water.target_l * bags,
        packets=packets,
        at=moment.at if state in ("edge at risk", "joint") else at,
        latest=latest,
    )


def missing(problem: p.Problem) -> Say | None:
    """What the crew lacks to start any bag."""
    if not problem.stations:
        return say("reason.no_vessel")
    for skill, able in (("mix", "mixes"), ("place", "places"), ("finish", "finishes")):
        if not any(getattr(person, able) for person in problem.people):
            return say("reason.nobody", skill=skill)
    return None


def _next_of(problem: p.Problem, schedule: p.Schedule) -> str:
    """The batch the schedule starts next, else the first of the queue."""
    waiting = {batch.id for batch in problem.batches if batch.started_s is None}
    planned = sorted((mix.start_s, mix.batch) for mix in schedule.mixes if mix.batch in waiting)
    return planned[0][1] if planned else next(b.id for b in problem.batches if b.id in waiting)


def _load(moment: Moment, problem: p.Problem, batch_id: str, mix: p.MixStart | None) -> tuple[float, float]:
    """Packets and bags of a batch to come."""
    pour = moment.day.pour(batch_id.rpartition(".")[0])
    bags = next(b for lift in lifts_at_work(moment, pour) for name, b in lift.coming if name == batch_id)
    batch = next(batch for batch in problem.batches if batch.id == batch_id)
    return batch.options[mix.option if mix else 0].packets * bags, bags


def _state(moment: Moment, pour_id: str, call: Call) -> tuple[CallState, Say, float | None]:
    """State, reason and latest water contact; a live edge overrules what the scheduler would rather wait for."""
    latest = None if math.isinf(call.latest_s) else moment.at + call.latest_s
    edge = last_water_for_edge(moment, pour_id)
    if edge is not None:
        if moment.at > edge:
            return "joint", say("reason.joint", pour=pour_id), None
        latest = edge if latest is None else min(latest, edge)
        if moment.at > edge - moment.job.practice["call.edge_risk"]:
            return "edge at risk", say("reason.edge", pour=pour_id), latest
    if call.at_s is None:
        return "no answer", _instead(call) or reason_of(moment, call), latest
    if call.forced:
        reason = _instead(call) or reason_of(moment, call)
        return "mix now" if call.at_s <= NOW_S else "hold", reason, latest
    if call.at_s <= NOW_S:
        return "mix now", say("reason.edge", pour=pour_id) if edge is not None else say("reason.now"), latest
    return "hold", reason_of(moment, call), latest


def last_water_for_edge(moment: Moment, pour_id: str) -> float | None:
    """The last water contact that still meets the live edge of a pour; None where no edge waits."""
    batches = moment.day.batches_of(pour_id)
    if not batches or any(batch.tipped_at is None for batch in batches):
        return None
    latest = max(batches, key=_tip)
    if moment.lift(latest) != moment.next_lift(pour_id):
        return None
    return moment.workable_until(latest) - moment.card(pour_id).mixing_s - moment.job.times.carry_s


def _tip(batch: Batch) -> float:
    return batch.tipped_at if batch.tipped_at is not None else -math.inf


def reason_of(moment: Moment, call: Call) -> Say:
    """The one thing that decides a hold."""
    why = call.reason
    pour_id = pour_of_patch(why.patch or call.patch)
    stroke = ""
    if why.pass_index >= 0 and moment.day.has_pour(pour_id):
        stroke = PASSES_OF[moment.day.pour(pour_id).finish][why.pass_index].replace("_", " ")
    own = why.kind == "window" and (why.patch or call.patch) == call.patch
    kind = "after_edge" if why.kind == "joint" else why.kind
    return say(
        "reason.own_window" if own else f"reason.{kind}",
        pour=pour_id,
        who=why.person,
        station=why.station,
        stroke=stroke,
    )


def _instead(call: Call) -> Say | None:
    """What would help a pour that no moment suits."""
    pour_id = pour_of_patch(call.reason.patch or call.patch)
    return say(f"reason.instead_{call.instead}", pour=pour_id) if call.instead and pour_id else None


def pour_of_patch(patch: str) -> str:
    """The pour of a patch; lifts of one pour are patches of their own."""
    return patch.split(" lift ")[0]
