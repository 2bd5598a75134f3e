"""Changes of the plan as sentences."""

from __future__ import annotations

from engine.job.model import UnitSystem
from engine.pour import replanned as r
from engine.pour.body import Body
from engine.units import show_area, show_length
from engine.words import Say, say


def replanned_said(body: Body, units: UnitSystem) -> Say:
    """The sentence of a change of the plan. Raises `TypeError` for anything else."""
    if isinstance(body, r.WayTaken):
        return way_said(body.parts)
    if isinstance(body, r.CaughtUp):
        return say("line.caught_up", n=body.lines)
    if isinstance(body, r.DoseSet):
        packets = "" if body.packets is None else f"{body.packets:g}"
        return say("line.dose_set" if packets else "line.dose_set_free", pour=body.pour, packets=packets)
    if isinstance(body, r.PourMoved):
        return say(
            "line.pour_moved" if body.before else "line.pour_moved_last", pour=body.pour, before=body.before
        )
    if isinstance(body, r.PourAdded):
        return _added(body, units)
    if isinstance(body, r.PourDivided):
        return say("line.pour_divided", pour=body.pour, rest=body.rest, share=f"{body.share:.0%}")
    if isinstance(body, r.PourTakenUp):
        return say("line.pour_taken_up", pour=body.pour)
    if isinstance(body, r.FinishSet):
        return say("line.finish_set", pour=body.pour, finish=body.finish)
    if isinstance(body, r.HandLent):
        return say("line.hand_lent", person=body.person, skill=body.skill)
    raise TypeError(f"{type(body).__name__} does not change the plan")


def _added(body: r.PourAdded, units: UnitSystem) -> Say:
    depths = dict.fromkeys(show_length(depth, units) for depth in (min(body.depths_m), max(body.depths_m)))
    return say(
        "line.pour_added_before" if body.before else "line.pour_added",
        pour=body.pour,
        area=show_area(body.area_m2, units),
        depth=" - ".join(depths),
        finish=body.finish,
        before=body.before,
    )


def way_said(parts: r.Parts) -> Say:
    """What a way out does, in one sentence."""
    first, *more = (say(f"way.{kind}", **dict(names)) for kind, names in parts)
    for part in more:
        first = say("way.both", first=first, second=part)
    return first
