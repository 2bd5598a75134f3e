"""One plain table of a whole day: what `status` says at its end, and around it what a report tells besides.

Every form of the report is written from this table and from nothing else.
"""

from __future__ import annotations

from typing import Any

from engine import PROGRAM
from engine.job.model import Job, Pour
from engine.pour.events import DayOpened, Event
from engine.pour.journal import fold
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment
from engine.pour.state import Batch, Trial
from engine.pour.status import status
from engine.pour.times import iso
from engine.record.causes import causes_of, missed_table
from engine.record.listing import listing
from engine.record.replaying.predicted import predicted_table
from engine.record.report.apart import apart
from engine.record.report.care import care
from engine.record.report.course import factor_table, reading_table, weather_table
from engine.record.report.strokes import stroke_tables
from engine.words import Words

INTERNAL = "internal:"  # how a note begins that the client's version leaves out


def figures(job: Job, events: tuple[Event, ...], at: float, words: Words) -> dict[str, Any]:
    """The full table of a log at a moment, as plain JSON values: keys of `status` and more. Times ISO, amounts SI."""
    known = tuple(event for event in events if event.at <= at)
    moment = Moment(fold(job, known).day, at)
    day, began = moment.day, min(events[0].at, at)
    found = status(moment, quick_plan(moment), words)
    for row in found["batches"]:
        row.update(_batch(moment, row))
    for row in found["pours"]:
        row.update(_pour(moment, day.pour(row["id"])))
    return found | {
        "program": PROGRAM,
        "version": "full",
        "left_out": [],
        "rehearsal": _made_up(events),
        "date": job.date,
        "currency": job.currency,
        "crew": [{"id": person.id, "does": list(person.does)} for person in day.crew()],
        "mixes": [
            _mix(moment, key) for key in dict.fromkeys(taken.mix for taken in moment.takeoffs.values())
        ],
        "trials": [_trial(moment, trial) for trial in day.trials],
        "rate_factor_through": factor_table(moment, began),
        "weather": weather_table(moment, began),
        "readings": reading_table(moment),
        "wetted": [{"pour": pour, "at": iso(when)} for pour, when in day.soaked],
        "covers": [
            {"pour": step.pour, "cover": step.cover or "bare", "at": iso(step.at)} for step in day.covers
        ],
        "deviations": apart(moment, words),
        "causes": missed_table(causes_of(job, known, at), words),
        "foretold": predicted_table(job, known),
        "notes": [_note(note.where, note.text, note.at) for note in day.notes],
        "care": care(moment, words),
        "lines": listing(job, known, words),
    }


def _made_up(events: tuple[Event, ...]) -> bool:
    opened = events[0].body
    return isinstance(opened, DayOpened) and opened.made_up


def _batch(moment: Moment, row: dict[str, Any]) -> dict[str, Any]:
    """What a report says of a batch beside its status; of a bag only called, nothing."""
    if not moment.day.has_batch(row["id"]):
        return {"passes": []}
    batch = moment.day.batch(row["id"])
    card, site, at = moment.card(batch.pour), moment.site, batch.water_at
    return {
        "mix": card.key,
        "station": batch.station or None,
        "source": batch.source or None,
        "water_label_l": [card.water.low_l * batch.bags, card.water.high_l * batch.bags],
        "air_c": site.air_c(batch.pour, at),
        "slab_c": site.slab_c(batch.pour, at if batch.tipped_at is None else batch.tipped_at),
        "bags_c": site.bags_c(batch.pour, at),
        "water_c": site.water_c(batch.pour, at),
        "mix_c": moment.vessel_c(card, batch.pour, at),
        "lost_at": iso(batch.lost_at),
        "why_lost": batch.why_lost or None,
        "finished": _finished(batch),
        "passes": stroke_tables(moment, batch),
    }


def _finished(batch: Batch) -> str | None:
    return iso(max((stroke.at for stroke in batch.strokes), default=None))


def _pour(moment: Moment, pour: Pour) -> dict[str, Any]:
    taken = moment.takeoffs[pour.id]
    return {
        "where": pour.where,
        "use": pour.use,
        "finish": pour.finish,
        "mix": taken.mix,
        "area_m2": taken.area_m2,
        "depths_m": list(pour.depths_m),
        "volume_m3": taken.volume_net_m3,
        "bags_taken_off": taken.bags,
        "lifts": taken.lifts,
    }


def _mix(moment: Moment, key: str) -> dict[str, Any]:
    card = moment.job.mix(key)
    return {
        "key": key,
        "name": card.name,
        "reference_c": card.setting.reference_c,
        "feet_label_s": card.opening.feet_s,
        "wheels_label_s": card.opening.wheels_s,
    }


def _trial(moment: Moment, trial: Trial) -> dict[str, Any]:
    stiff = [sign.at for sign in moment.day.signs if sign.subject == trial.id and sign.word == "stiff"]
    return {
        "id": trial.id,
        "mix": trial.mix,
        "bags": trial.bags,
        "packets": trial.packets,
        "water_contact": iso(trial.water_at),
        "stiff": iso(min(stiff, default=None)),
    }


def _note(where: str, text: str, at: float) -> dict[str, Any]:
    return {
        "at": iso(at),
        "where": where or None,
        "text": text,
        "internal": text.lower().startswith(INTERNAL),
    }
