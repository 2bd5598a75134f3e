"""Who may call the bags of a rehearsed pour: whoever is free, or the plan's call with a margin for what is not known."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from engine.plan.call import earliest_call
from engine.plan.margins import Margins
from engine.rehearsal.crew import ASK_AGAIN_S, Crew
from engine.rehearsal.layout import Mix, Stage
from engine.rehearsal.sight import Sight

WAIT_S = 20.0  # the longest a bag should stand at its patch
NOW_S = 0.5
STILL_UNKNOWN = (
    0.5  # of the margin on closings once the day's factor is known: batches still differ, and hands
)


class Naive:
    """Calls the next bag of the queue whenever a mixer is free, and asks nothing."""

    def next(self, crew: Crew) -> Mix | float:
        """The first batch the rules allow."""
        place = next(crew.candidates(), None)
        return inf if place is None else place.mixes[0]


class Steered:
    """Calls when the plan's call says so, with stages longer by `margin` and windows closing earlier by `closings`.

    `closings` left out is as large as `margin`; larger, it leaves room for a fast day where stages vary less. With
    `learns` the day's setting factor is known exactly from the first surface that is really ready; closings then keep
    only the share of their margin that what is still unknown asks for. For one pour: take a new one for the next.
    """

    def __init__(
        self, margin: float, learns: bool = False, closings: float | None = None, wait_s: float = WAIT_S
    ) -> None:
        self._before = Margins(margin, margin if closings is None else closings, wait_s)
        self._after = replace(self._before, closings=self._before.closings * STILL_UNKNOWN)
        self._learns = learns
        self._sight: Sight | None = None

    def next(self, crew: Crew) -> Mix | float:
        """The batch the call names, or one that must not wait; else when to ask again."""
        sight = self._sight = self._sight or Sight(crew)
        taught = self._learns and crew.taught_s <= crew.now_s
        margins = self._after if taught else self._before
        sight.factor = crew.layout.luck.day_factor if taught else 1.0
        call = earliest_call(sight.problem(), margins, with_latest=False)
        if call.at_s is not None and call.at_s <= crew.now_s + NOW_S:
            return crew.layout.mix_of[call.batch]
        return _pressing(crew, sight, margins) or (inf if call.at_s is None else call.at_s)


def _pressing(crew: Crew, sight: Sight, margins: Margins) -> Mix | None:
    """A bag that loses more by waiting: for a live edge, for a patch finished whole, or where nothing else is left to do."""
    places = list(crew.candidates())
    for place in places:
        if place.before is not None and _must_follow(crew, sight, place, margins):
            return place.mixes[0]
    return places[0].mixes[0] if places and crew.is_idle() else None


def _must_follow(crew: Crew, sight: Sight, place: Stage, margins: Margins) -> bool:
    """Whether the next batch of a begun patch is to be called before the edge goes, or before the first ones age."""
    own, laid = place.mixes[0], place.before.mixes[0] if place.before else place.mixes[0]
    if laid.called_s == inf:
        return False
    if len(crew.layout.job_of[place.patch, own.number][0].mixes) > 1:
        arrives_s = crew.now_s + own.planned_s + place.carry_s
        return sight.laid_s(place) + place.approach_s - arrives_s <= margins.wait_s
    edge_s = laid.called_s + laid.limits.joint_s * sight.factor * (1.0 - margins.closings)
    takes_s = (own.planned_s + place.planned_s) * (1.0 + margins.stages) + place.carry_s
    return crew.now_s + takes_s + ASK_AGAIN_S >= edge_s
