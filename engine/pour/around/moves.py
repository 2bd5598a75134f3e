"""What a foreman might change to get out of trouble, each as intents; none of it is judged here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Literal

from engine.job.model import Pour, Skill
from engine.pour import intents as i
from engine.pour.around.troubles import late_passes
from engine.pour.needs import bags_left, stock, this_visit
from engine.pour.reckoning import Moment
from engine.pour.replanned import Parts
from engine.pour.site_rules import rest_of
from engine.pour.stages import next_pass
from engine.pour.state import Batch
from engine.pour.targets import Refusal

Kind = Literal[
    "go_on",
    "back",
    "skip_pass",
    "joint_next",
    "joint_later",
    "packet",
    "lend_finish",
    "lend_place",
    "lend_mix",
    "broom",
    "leave",
    "order",
    "finish_only",
]
LENDS: dict[Skill, Kind] = {"finish": "lend_finish", "place": "lend_place", "mix": "lend_mix"}
HELPS = ("back", "packet", *LENDS.values())
LESSENS = ("joint_later", "leave", "broom")


@dataclass(frozen=True)
class Move:
    """One change or several: their kinds with the names in their sentences, and what they ask for."""

    parts: Parts
    steps: tuple[i.Intent, ...] = ()

    @property
    def kind(self) -> str:
        """Of its first part."""
        return self.parts[0][0]


def _move(kind: Kind, steps: tuple[i.Intent, ...], **names: str) -> Move:
    return Move(((kind, tuple(names.items())),), steps)


GO_ON = _move("go_on", ())


def moves(moment: Moment) -> tuple[Move, ...]:
    """Single changes first, the least drastic before the others; then pairs of a help and a lessening."""
    single = tuple(_single(moment))
    pairs = tuple(
        Move((*one.parts, *two.parts), (*one.steps, *two.steps))
        for one, two in product(single, single)
        if one.kind in HELPS and two.kind in LESSENS
    )
    return (GO_ON, *single, *pairs)


def _single(moment: Moment) -> Iterator[Move]:
    placing = [p for p in moment.day.pours if bags_left(moment, p) > 0 and moment.day.batches_of(p.id)]
    waiting = [p for p in moment.day.pours if this_visit(moment, p) and not moment.day.batches_of(p.id)]
    yield from (_move("back", (i.MarkBack(who),), who=who) for who in sorted(moment.day.away()))
    yield from _late(moment)
    yield from _joints(moment, placing)
    yield from _packets(moment, [*placing, *waiting])
    yield from _lent(moment)
    yield from _finishes(moment)
    yield from (_leave(pour) for pour in _least_wanted(moment, waiting))
    yield from (_first(pour, waiting[0]) for pour in waiting[1:] if _wanted(moment, pour))


def _packets(moment: Moment, pours: list[Pour]) -> Iterator[Move]:
    """One step up in every pour whose dose the job fixed; where it did not, the plan chooses by itself."""
    steps: list[i.Intent] = []
    extra = 0.0
    for pour in pours:
        more = [
            n for n in moment.card(pour.id).retarder.packets if pour.packets is not None and n > pour.packets
        ]
        if more and pour.packets is not None:
            steps.append(i.SetDose(pour.id, min(more)))
            extra += min(more) * bags_left(moment, pour)
    if steps and extra <= stock(moment).packets:
        first = steps[0]
        assert isinstance(first, i.SetDose)
        yield _move("packet", tuple(steps), packets=f"{first.packets:g}")


def _late(moment: Moment) -> Iterator[Move]:
    """Leave as they are the surfaces whose next pass is late or can no longer end in time."""
    late = late_passes(moment, lambda batch, name: _stroke_s(moment, batch, name))
    for stroke in dict.fromkeys(name for _, name in late):
        ids = [batch.id for batch, name in late if name == stroke]
        steps = tuple(i.SkipNext(batch_id) for batch_id in ids)
        yield _move("skip_pass", steps, batch=", ".join(ids), stroke=stroke.replace("_", " "))


def _stroke_s(moment: Moment, batch: Batch, name: str) -> float:
    """Seconds of a pass over one batch's share of its pour, walked to."""
    pour = moment.day.pour(batch.pour)
    share = 1.0 / max(1, len(moment.day.batches_of(pour.id)))
    return moment.job.times.walk_s + moment.job.times.stroke_s_m2(name) * pour.area_m2 * share


def _joints(moment: Moment, placing: list[Pour]) -> Iterator[Move]:
    for pour in placing:
        if pour.id in moment.day.filled or not any(b.tipped_at for b in moment.day.batches_of(pour.id)):
            continue
        try:
            rest = rest_of(moment, pour.id)
        except Refusal:
            continue
        split = i.SplitPour(pour.id)
        yield _move("joint_next", (split,), pour=pour.id, rest=rest)
        yield _move("joint_later", (split, i.SkipNext(rest)), pour=pour.id, rest=rest)


def _lent(moment: Moment) -> Iterator[Move]:
    """The first one here who does not do it yet, for each skill."""
    here = [person for person in moment.day.crew() if person.id not in moment.day.away()]
    for skill, kind in LENDS.items():
        who = next((person.id for person in here if skill not in person.does), "")
        if who:
            yield _move(kind, (i.LendHand(who, skill),), who=who)


def _finishes(moment: Moment) -> Iterator[Move]:
    """A broom for a trowelled pour that has its last pass ahead."""
    for pour in moment.day.pours:
        ahead = any(next_pass(moment, batch) for batch in moment.day.batches_of(pour.id))
        if pour.finish == "trowel" and ahead and moment.card(pour.id).passes.broom is not None:
            yield _move("broom", (i.SetFinish(pour.id, "broom"),), pour=pour.id)


def _wanted(moment: Moment, pour: Pour) -> bool:
    return any(pour.id in target.pours for target in moment.job.targets)


def _least_wanted(moment: Moment, waiting: list[Pour]) -> list[Pour]:
    """The last of the queue that no promise names, and the last of all."""
    free = [pour for pour in waiting if not _wanted(moment, pour)]
    return list(dict.fromkeys([*free[-1:], *waiting[-1:]]))


def _leave(pour: Pour) -> Move:
    return _move("leave", (i.SkipNext(pour.id),), pour=pour.id)


def _first(pour: Pour, front: Pour) -> Move:
    return _move("order", (i.MovePour(pour.id, front.id),), pour=pour.id, before=front.id)


def finish_only(moment: Moment) -> Iterator[Move]:
    """Nothing new: what is begun is finished, all else is left for a later visit."""
    steps: list[i.Intent] = []
    for pour in moment.day.pours:
        if bags_left(moment, pour) <= 0:
            continue
        batches = moment.day.batches_of(pour.id)
        if not batches:
            steps.append(i.SkipNext(pour.id))
        elif any(batch.tipped_at for batch in batches):
            steps += [i.SplitPour(pour.id), i.SkipNext(rest_of(moment, pour.id))]
    if steps:
        yield _move("finish_only", tuple(steps))
