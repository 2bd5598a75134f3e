"""The rows of the running work: a batch, or the batches of a pour finished together, most urgent first."""

from __future__ import annotations

import math

from engine.job.model import Pour
from engine.pour.assigned import told_to
from engine.pour.dayplan import DayPlan
from engine.pour.decide import row_batches
from engine.pour.reckoning import Moment
from engine.pour.stages import combined, next_stroke, stage
from engine.pour.state import Batch, Called
from engine.pour.views import Row, Step, Window
from engine.site.windows import WindowTimes, window_state

RANK = {"lost": 0, "late": 1, "due": 2, "open": 4, "early": 5}
TOWARDS = {"early": "may start", "open": "due", "due": "late", "late": "lost", "lost": "lost"}


def rows(moment: Moment, plan: DayPlan) -> tuple[Row, ...]:
    """Everything that still asks for a hand, the most urgent first."""
    found = [_called_row(moment, call) for call in moment.day.called]
    for pour in moment.day.pours:
        for ids in row_batches(moment, pour.id):
            batches = tuple(moment.day.batch(batch_id) for batch_id in ids)
            if batches[0].tipped_at is None or next_stroke(moment, batches[0]) is not None:
                found.append(_row(moment, plan, pour, batches))
    return tuple(sorted(found, key=lambda row: (row.urgency, row.key)))


def _called_row(moment: Moment, call: Called) -> Row:
    pour = moment.day.pour(call.pour)
    return Row(
        key=f"{call.pour} called",
        batches=(),
        pour=call.pour,
        where=pour.where,
        finish=pour.finish,
        stage="called",
        step=Step("water", (), call.who),
        window=None,
        until=call.at + moment.job.times.load_s,
        until_word="water",
        sure_s=0.0,
        packets=call.packets,
        temperature_c=moment.vessel_c(moment.card(pour.id), pour.id, moment.at),
        set_age_s=0.0,
        workable_until=None,
        assumed=call.assumed,
        seq=call.seq,
        urgency=(3, call.at),
    )


def _row(moment: Moment, plan: DayPlan, pour: Pour, batches: tuple[Batch, ...]) -> Row:
    first, last = batches[0], batches[-1]
    path = moment.trajectory(last)
    window = _next_window(moment, batches)
    until, word = _towards(moment, first, window)
    return Row(
        key=pour.id if len(batches) > 1 else first.id,
        batches=tuple(batch.id for batch in batches),
        pour=pour.id,
        where=pour.where,
        finish=pour.finish,
        stage=stage(moment, last),
        step=_step(moment, plan, batches),
        window=window,
        until=until,
        until_word=word,
        sure_s=_sure_s(moment, until, window),
        packets=first.packets,
        temperature_c=path.temperature_at(moment.at),
        set_age_s=path.age_at(moment.at),
        workable_until=moment.workable_until(last),
        assumed=_latest_assumed(last),
        seq=_latest_seq(last),
        urgency=_urgency(moment, window, until, word),
    )


def _step(moment: Moment, plan: DayPlan, batches: tuple[Batch, ...]) -> Step:
    first = batches[0]
    ids = tuple(batch.id for batch in batches)
    if first.tipped_at is None:
        kind = "tipped" if first.mixed_at is not None else "mixed"
        who = first.mixer if kind == "mixed" else plan.who("place", first.pour, first.id)
    else:
        kind = next_stroke(moment, first) or ""
        who = plan.who(kind, first.pour, first.id)
    return Step(kind, ids, who, bool(told_to(moment.day, kind, first.pour, ids)))


def _next_window(moment: Moment, batches: tuple[Batch, ...]) -> Window | None:
    """The window of the next pass; an edge has none, so the pass before or after it is not shown for it."""
    name = next_stroke(moment, batches[0])
    if name is None or name == "edge":
        return None
    times = combined(moment, batches)[name] if len(batches) > 1 else moment.windows(batches[0])[name]
    return window_view(name, times, moment.at)


def window_view(name: str, times: WindowTimes, now: float) -> Window:
    """A window as a screen shows it."""
    return Window(name, times.open, times.due, times.late, times.lost, window_state(times, now))


def _towards(moment: Moment, batch: Batch, window: Window | None) -> tuple[float, str]:
    """The next moment that matters on a row, and which it is."""
    if batch.tipped_at is None:
        at, word = _in_vessel(moment, batch)
        return (at, word) if moment.at <= at else (moment.workable_until(batch), "workable")
    if window is None:
        return max(stroke.at for stroke in batch.strokes), "edge"
    word = TOWARDS[window.state]
    at = {"may start": window.open, "due": window.due, "late": window.late, "lost": window.lost}[word]
    return at, word


def _in_vessel(moment: Moment, batch: Batch) -> tuple[float, str]:
    """When its next step in the vessel is over, and which it is."""
    if batch.mixed_at is None:
        return batch.water_at + moment.card(batch.pour).mixing_s, "mixed"
    return batch.mixed_at + moment.job.times.carry_s, "tipped"


def _sure_s(moment: Moment, until: float, window: Window | None) -> float:
    """Half the 10 to 90 % span of a moment still to come, as far as it rests on the rate factor."""
    if window is None or until <= moment.at or math.isinf(until):
        return 0.0
    factor = moment.factor
    return (until - moment.at) * factor.value * (1.0 / factor.low - 1.0 / factor.high) / 2.0


def _urgency(moment: Moment, window: Window | None, until: float, word: str) -> tuple[int, float]:
    if word == "workable":  # it stiffens in its vessel
        return RANK["late" if moment.at < until else "lost"], until
    if window is None:
        return 3, until
    if window.state == "early" and until - moment.at < moment.job.practice["call.nearly_open"]:
        return RANK["open"], until
    return RANK[window.state], until


def _latest_assumed(batch: Batch) -> bool:
    return batch.strokes[-1].assumed if batch.strokes else batch.mixer_assumed


def _latest_seq(batch: Batch) -> int:
    return max((batch.seq, *(stroke.seq for stroke in batch.strokes)))
