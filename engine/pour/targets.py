"""What `P2` or `P2.1` means for an intent: the batches it speaks of, or a refusal in words."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.model import PASSES_OF, Finish, Pour
from engine.mix.card import MixCard
from engine.mix.retarder import stretch
from engine.pour.events import StrokeName
from engine.pour.reckoning import Moment
from engine.pour.stages import next_pass, next_stroke, strokes_in_order
from engine.pour.state import Batch
from engine.words import Say, say


@dataclass(frozen=True)
class Refusal(Exception):
    """An intent the day does not allow, and why."""

    reason: Say


def pour_named(moment: Moment, pour_id: str) -> Pour:
    """The pour of an id. Raises `Refusal` where there is none."""
    if not moment.day.has_pour(pour_id):
        raise Refusal(say("refusal.no_pour", pour=pour_id, known=", ".join(p.id for p in moment.day.pours)))
    return moment.day.pour(pour_id)


def packets_allowed(card: MixCard, packets: float) -> float:
    """Packets per bag, where the card allows them. Raises `Refusal` above its last point."""
    try:
        stretch(card.retarder, packets)
    except ValueError as error:
        raise Refusal(say("refusal.packets", why=str(error))) from None
    return packets


def finish_served(card: MixCard, finish: Finish) -> Finish:
    """A finish for whose passes the card has windows; a float follows tip or first trowel. Raises `Refusal` else."""
    for name in PASSES_OF[finish]:
        if name != "float" and getattr(card.passes, name) is None:
            raise Refusal(say("refusal.no_window", mix=card.key, stroke=name.replace("_", " ")))
    return finish


def placed_pour(moment: Moment, pour_id: str) -> Pour:
    """A pour with something tipped into it. Raises `Refusal` else."""
    pour = pour_named(moment, pour_id)
    if not any(batch.tipped_at is not None for batch in moment.day.batches_of(pour.id)):
        raise Refusal(say("refusal.not_tipped", which=pour.id))
    return pour


def batch_named(moment: Moment, batch_id: str) -> Batch:
    """The live batch of an id. Raises `Refusal` where there is none or it was lost."""
    if not moment.day.has_batch(batch_id):
        raise Refusal(say("refusal.no_batch", batch=batch_id))
    batch = moment.day.batch(batch_id)
    if not batch.live:
        raise Refusal(say("refusal.lost_already", batch=batch_id))
    return batch


def batches_named(moment: Moment, which: str) -> tuple[Batch, ...]:
    """The live batches of a pour or the one batch named."""
    if moment.day.has_batch(which):
        return (batch_named(moment, which),)
    pour_named(moment, which)
    return moment.day.batches_of(which)


def for_stroke(moment: Moment, which: str, name: StrokeName) -> tuple[Batch, ...]:
    """The batches a stroke was made on: those that wait for it, else those that have not had it yet."""
    tipped = tuple(batch for batch in batches_named(moment, which) if batch.tipped_at is not None)
    if not tipped:
        raise Refusal(say("refusal.not_tipped", which=which))
    fitting = tuple(batch for batch in tipped if name in strokes_in_order(moment, batch))
    if not fitting:
        order = ", ".join(stroke.replace("_", " ") for stroke in strokes_in_order(moment, tipped[-1]))
        raise Refusal(say("refusal.other_finish", which=which, stroke=name.replace("_", " "), order=order))
    open_ = tuple(batch for batch in fitting if not batch.settled(name))
    if not open_:
        raise Refusal(say("refusal.done_already", which=which, stroke=name.replace("_", " ")))
    if name == "edge":
        return open_
    return tuple(batch for batch in open_ if next_stroke(moment, batch) == name) or open_


def for_surface_sign(moment: Moment, which: str) -> tuple[Batch, str]:
    """The batch whose surface is judged, and the pass that is next: the youngest tipped one with a pass ahead."""
    for batch in reversed(batches_named(moment, which)):
        name = next_judged(moment, batch)
        if name is not None:
            return batch, name
    raise Refusal(say("refusal.nothing_ahead", which=which))


def next_judged(moment: Moment, batch: Batch) -> str | None:
    """The next pass the surface can be judged for; a float that follows the tip is not one."""
    name = next_pass(moment, batch)
    if name == "float" and moment.card(batch.pour).passes.float is None:
        later = [p for p in moment.passes(batch) if p != "float"]
        return later[0] if later else None
    return name


def for_workable_sign(moment: Moment, which: str) -> Batch:
    """The batch whose workability is judged: the one named, or the youngest of the pour."""
    batches = batches_named(moment, which)
    if not batches:
        raise Refusal(say("refusal.nothing_mixed", which=which))
    return batches[-1]


def for_skip(moment: Moment, which: str) -> tuple[StrokeName, tuple[Batch, ...]]:
    """The pass that is next on a pour or batch, and the batches it is next on; the edge last."""
    tipped = [batch for batch in batches_named(moment, which) if batch.tipped_at is not None]
    for ahead in (next_pass, next_stroke):
        for batch in tipped:
            name = ahead(moment, batch)
            if name is not None:
                on = tuple(b for b in tipped if ahead(moment, b) == name)
                return name, on  # type: ignore[return-value]
    raise Refusal(say("refusal.nothing_ahead", which=which))
