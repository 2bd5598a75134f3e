"""Where the day went another way than it should: passes outside their windows, joints, losses, limits, openings."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Literal

from engine.job.model import Pour
from engine.pour.around.handing_over import hand_over
from engine.pour.around.used import water_use
from engine.pour.openings import openings
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.pour.times import iso
from engine.record.report.strokes import stroke_tables
from engine.units import show_duration
from engine.words import Words, say

Kind = Literal[
    "check",
    "early",
    "joint",
    "late",
    "lost batch",
    "lost vessel",
    "not stamped",
    "opened early",
    "rejected bag",
    "skipped",
    "tipped stiff",
    "water",
]
INSIDE: frozenset[Kind] = frozenset({"lost batch", "rejected bag", "lost vessel"})  # the crew's own affair
Found = tuple[Kind, str, str, float | None, float | None, dict[str, object]]


def apart(moment: Moment, words: Words) -> list[dict[str, Any]]:
    """One row a deviation as plain JSON values, in the order of the day; those without a time last."""
    found = [_row(one, words) for one in _found(moment)]
    return sorted(found, key=lambda row: row["at"] or "~")


def _row(found: Found, words: Words) -> dict[str, Any]:
    kind, pour, batch, at, by_s, values = found
    text = words(say(f"report.apart.{kind.replace(' ', '_')}", pour=pour, batch=batch, **values))
    return {
        "kind": kind,
        "pour": pour or None,
        "batch": batch or None,
        "at": iso(at),
        "by_s": by_s,
        "text": text,
    }


def _found(moment: Moment) -> Iterator[Found]:
    day = moment.day
    for batch in day.batches:
        yield from _of_passes(moment, batch)
        yield from _of_batch(moment, batch)
    for pour in day.pours:
        yield from _joints(moment, pour)
        yield from _outside(moment, pour)
        yield from _opened_early(moment, pour)
    for mix, why, at in day.rejected:
        yield "rejected bag", "", "", at, None, {"mix": mix, "why": why or "-"}
    for station, at in day.vessels_lost:
        yield "lost vessel", "", "", at, None, {"station": station or "-"}


def _of_passes(moment: Moment, batch: Batch) -> Iterator[Found]:
    for row in stroke_tables(moment, batch):
        name, by_s = row["pass"].replace("_", " "), row["outside_s"]
        if row["skipped"]:
            yield "skipped", batch.pour, batch.id, None, None, {"stroke": name}
        elif row["done"] is None and row["state"] in ("late", "lost"):
            yield "not stamped", batch.pour, batch.id, None, None, {"stroke": name}
        elif by_s:
            stroke = batch.stroke(row["pass"])
            kind: Kind = "early" if by_s < 0.0 else "late"
            values: dict[str, object] = {"stroke": name, "by": show_duration(abs(by_s))}
            yield kind, batch.pour, batch.id, stroke.at if stroke else None, by_s, values


def _of_batch(moment: Moment, batch: Batch) -> Iterator[Found]:
    if batch.lost_at is not None:
        yield "lost batch", batch.pour, batch.id, batch.lost_at, None, {"why": batch.why_lost or "-"}
        return
    late_s = (batch.tipped_at or 0.0) - moment.workable_until(batch)
    if late_s > 0.0:
        yield "tipped stiff", batch.pour, batch.id, batch.tipped_at, late_s, {"by": show_duration(late_s)}
    water = water_use(moment, batch)
    if water is not None and water.word != "within the label":
        yield "water", batch.pour, batch.id, batch.water_at, None, {"word": water.word}


def _joints(moment: Moment, pour: Pour) -> Iterator[Found]:
    """Bags of one lift that came when the one before had ceased to be workable."""
    tipped = sorted(
        ((batch.tipped_at, batch) for batch in moment.day.batches_of(pour.id) if batch.tipped_at is not None),
        key=lambda one: one[0],
    )
    for (_, before), (at, batch) in pairwise(tipped):
        late_s = at - moment.workable_until(before)
        if late_s > 0.0 and moment.lift(before) == moment.lift(batch):
            values: dict[str, object] = {"before": before.id, "by": show_duration(late_s)}
            yield "joint", pour.id, batch.id, at, late_s, values


def _outside(moment: Moment, pour: Pour) -> Iterator[Found]:
    for line in hand_over(moment, pour).outside:
        check = f"{line.name}, {line.spot}" if line.spot else line.name
        yield "check", pour.id, "", None, None, {"check": check, "word": line.word}


def _opened_early(moment: Moment, pour: Pour) -> Iterator[Found]:
    opens = openings(moment, pour)
    for opening in moment.day.opened:
        due = opens.feet if opening.to == "feet" else opens.wheels
        if opening.pour == pour.id and due is not None and opening.at < due:
            values: dict[str, object] = {"to": opening.to, "by": show_duration(due - opening.at)}
            yield "opened early", pour.id, "", opening.at, opening.at - due, values
