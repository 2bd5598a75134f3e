"""Ways out of trouble: what may be changed, scheduled anew, and offered only where nothing still to come is missed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from engine.plan import problem as p
from engine.plan.forward import Stuck
from engine.pour import intents as i
from engine.pour.around.chances import missed_chance
from engine.pour.around.moves import Move, finish_only, moves
from engine.pour.around.troubles import Trouble, trouble_of
from engine.pour.calling import pour_of_patch
from engine.pour.decide import tried
from engine.pour.journal import Journal
from engine.pour.lazy import LazyPlan
from engine.pour.needs import bags_needed
from engine.pour.planning import laid_out
from engine.pour.reckoning import Moment
from engine.pour.replanned import Parts
from engine.pour.targets import Refusal
from engine.words import Say, say

OFFERED = 3
TRIED, LEAST_TRIED, BAGS_TRIED = (
    14,
    4,
    120,
)  # schedules, and bags in all of them: a recovery has to answer at once
WORTH_S = 30.0  # an end this much earlier is worth a change
RISK_STEP = 0.1  # chances closer than this count as one when ways are put in order


@dataclass(frozen=True)
class Way:
    """A way out that the schedule keeps: when the last stroke ends, how much later that is than before the trouble.

    `risk` is the chance, 0 to 1, that today's rate closes some window before its pass ends; `left_bags` stay undone.
    """

    parts: Parts
    steps: tuple[i.Intent, ...]
    end: float
    later_s: float
    slack_s: float
    risk: float
    left_bags: float

    @property
    def intent(self) -> i.TakeWay:
        return i.TakeWay(self.parts, self.steps)


@dataclass(frozen=True)
class WaysOut:
    """What went wrong (None: nothing), and up to three ways out of it, the best first."""

    trouble: Say | None
    ways: tuple[Way, ...] = ()


def ways_out(journal: Journal, moment: Moment) -> WaysOut:
    """What may be done about the trouble the day is in at a moment."""
    trouble = trouble_of(journal, moment)
    going_on = _schedule(moment)
    if trouble is None:
        if going_on is None or not _misses(going_on):
            return WaysOut(None)
        trouble = Trouble(say("trouble.misses"))
    search = _Search(journal, moment, going_on, _end_before(trouble, moment, going_on))
    return WaysOut(trouble.said, _best(search.ways()))


Laid = tuple[p.Problem, p.Schedule]


def _schedule(moment: Moment) -> Laid | None:
    """The day from a moment on, in strips where that keeps a pass; None where nobody can do what is left."""
    try:
        found = laid_out(moment, rounds=1, evaluations=2)
        return laid_out(moment, rounds=2, evaluations=2) if _misses(found) else found
    except Stuck:
        return None


def _misses(laid: Laid) -> bool:
    """Whether it misses anything that is not a fact already."""
    return any(not miss.stamped for miss in laid[1].misses)


def _end_s(laid: Laid | None) -> float:
    """Seconds to the last stroke; 0 where nothing is left."""
    return laid[1].end_s if laid and math.isfinite(laid[1].end_s) else 0.0


def _end_before(trouble: Trouble, moment: Moment, going_on: Laid | None) -> float:
    """Seconds to the end of the day had the trouble not come."""
    return _end_s(_schedule(Moment(trouble.before, moment.at)) if trouble.before else going_on)


@dataclass(frozen=True)
class _Search:
    """The day in trouble, its schedule if nothing is changed, and seconds to its end without the trouble."""

    journal: Journal
    moment: Moment
    going_on: Laid | None
    before_s: float

    def ways(self) -> Iterator[Way]:
        """Those that hold, the least drastic first; no more are looked for once three leave nothing undone."""
        whole = 0
        for move in self._moves():
            way = self._way(move)
            if way is not None:
                yield way
                whole += way.left_bags <= 0
            if whole == OFFERED:
                return

    def _moves(self) -> tuple[Move, ...]:
        tries = int(BAGS_TRIED / max(1.0, bags_needed(self.moment)))
        return (*moves(self.moment)[: min(TRIED, max(LEAST_TRIED, tries))], *finish_only(self.moment))

    def _way(self, move: Move) -> Way | None:
        """The way of a move; None where the day refuses it or its schedule misses something."""
        try:
            after, _ = tried(self.journal, self.moment, move.steps, LazyPlan(self.moment))
        except Refusal:
            return None
        changed = Moment(after.day, self.moment.at)
        laid = _schedule(changed) if move.steps else self.going_on
        if laid is None or _misses(laid):
            return None
        return Way(
            parts=move.parts if move.steps else _going_on(changed, laid[0]),
            steps=move.steps,
            end=self.moment.at + _end_s(laid),
            later_s=_end_s(laid) - self.before_s,
            slack_s=laid[1].slack_s,
            risk=missed_chance(*laid, changed.factor),
            left_bags=bags_needed(self.moment) - bags_needed(changed),
        )


def _going_on(moment: Moment, problem: p.Problem) -> Parts:
    """What going on means: in strips where a begun pour is laid out so, else by the plan."""
    for patch in problem.patches:
        pour_id = pour_of_patch(patch.id)
        if len(patch.finishing) > 1 and moment.day.batches_of(pour_id):
            return (("strips", (("pour", pour_id),)),)
    return (("go_on", ()),)


def _best(ways: Iterable[Way]) -> tuple[Way, ...]:
    """The three best, no two of the same kinds: least left undone, least risk, earliest end.

    The less drastic come first in `ways`; a later one that is better in nothing that counts is not offered.
    """
    found: list[Way] = []
    for way in ways:
        kinds = [kind for kind, _ in way.parts]
        if not any(_as_good(one, way) or [kind for kind, _ in one.parts] == kinds for one in found):
            found.append(way)
    return tuple(sorted(found, key=_order))[:OFFERED]


def _as_good(one: Way, other: Way) -> bool:
    """Whether the less drastic one leaves no more undone, risks no more and ends no later; less work ends sooner."""
    ends_no_later = one.end <= other.end + WORTH_S or one.left_bags < other.left_bags
    return one.left_bags <= other.left_bags and one.risk <= other.risk + RISK_STEP / 2 and ends_no_later


def _order(way: Way) -> tuple[bool, int, float, float]:
    return way.left_bags > 0, round(way.risk / RISK_STEP), way.left_bags, way.end
