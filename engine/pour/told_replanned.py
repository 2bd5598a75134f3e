"""Changes of the plan as sentences."""

from __future__ import annotations

from engine.pour import replanned as r
from engine.pour.body import Body
from engine.words import Say, say


def replanned_said(body: Body) -> Say:
    """The sentence of a change of the plan. Raises `TypeError` for anything else."""
    if isinstance(body, r.WayTaken):
        return way_said(body.parts)
    if isinstance(body, r.DoseSet):
        packets = "" if body.packets is None else f"{body.packets:g}"
        return say("line.dose_set" if packets else "line.dose_set_free", pour=body.pour, packets=packets)
    if isinstance(body, r.PourMoved):
        return say(
            "line.pour_moved" if body.before else "line.pour_moved_last", pour=body.pour, before=body.before
        )
    if isinstance(body, r.FinishSet):
        return say("line.finish_set", pour=body.pour, finish=body.finish)
    if isinstance(body, r.HandLent):
        return say("line.hand_lent", person=body.person, skill=body.skill)
    raise TypeError(f"{type(body).__name__} does not change the plan")


def way_said(parts: r.Parts) -> Say:
    """What a way out does, in one sentence."""
    first, *more = (say(f"way.{kind}", **dict(names)) for kind, names in parts)
    for part in more:
        first = say("way.both", first=first, second=part)
    return first
