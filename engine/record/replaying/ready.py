"""What makes any moment of a long day quick to show: the clocks of its batches reckoned beforehand, line by line."""

from __future__ import annotations

from engine.job.model import Pour
from engine.pour.around.aftercare import cure_of
from engine.pour.openings import openings
from engine.pour.reckoning import Moment
from engine.pour.stages import combined
from engine.pour.state import Day
from engine.record.replaying.past import Past


def make_ready(past: Past, line: int) -> None:
    """Reckon what the view after a line needs and the view before it did not; the trajectories keep it."""
    before, day = past.journal(line - 1).day, past.journal(line).day
    if before is day:
        return
    moment = Moment(day, past.written(line))
    for pour in day.pours:
        if not _same_weather(before, day) or before.batches_of(pour.id) != day.batches_of(pour.id):
            _reckon(moment, pour)


def _same_weather(before: Day, day: Day) -> bool:
    """Whether nothing moved every clock of the day."""
    return (before.readings, before.signs, before.freezes, before.covers) == (
        day.readings,
        day.signs,
        day.freezes,
        day.covers,
    )


def _reckon(moment: Moment, pour: Pour) -> None:
    batches = moment.day.batches_of(pour.id)
    if batches:
        openings(moment, pour)
        combined(moment, batches)
        cure_of(moment, pour)
