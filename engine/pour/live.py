"""The live view: the call, the running rows, the crew, the queue, readings and stock at a moment."""

from __future__ import annotations

from engine.job.model import Person, Pour, UnitSystem
from engine.pour.around.aftercare import cure_of
from engine.pour.around.last_calls import LastCall, last_calls
from engine.pour.around.promises import promises
from engine.pour.around.readiness import Readiness, readiness
from engine.pour.around.surroundings import surroundings
from engine.pour.around.teaching import Lesson, factor_said, lesson_said, lessons, second_looks, spread
from engine.pour.dayplan import DayPlan
from engine.pour.journal import Journal
from engine.pour.needs import bags_left, bags_needed, stock
from engine.pour.openings import NOTHING, openings
from engine.pour.reckoning import Moment
from engine.pour.rows import rows
from engine.pour.shifting import latest_stamp
from engine.pour.stages import finish_in, pour_state
from engine.pour.told import told
from engine.pour.views import (
    CrewRow,
    CrewTask,
    FactorView,
    LastCallView,
    LastLine,
    LiveView,
    PromiseView,
    QueueRow,
    ReadingsView,
    Row,
    SignView,
    StockView,
)
from engine.site.standing import is_stale
from engine.words import Say

DONE_WITH = ("curing", "open")
PRESSING = ("due", "late", "lost")
IN_HANDS = {"mixed": "mix", "tipped": "place"}  # what somebody does who has a step of a row ahead


def live_view(journal: Journal, moment: Moment, plan: DayPlan, banners: tuple[Say, ...] = ()) -> LiveView:
    """Everything the live screen draws at a moment."""
    job, running = moment.job, rows(moment, plan)
    return LiveView(
        at=moment.at,
        title=job.name,
        zone=job.zone,
        units=job.units,
        call=plan.call,
        rows=running,
        crew=tuple(_crew(moment, plan, running, person) for person in moment.day.crew()),
        queue=tuple(_queue(moment, plan, pour) for pour in moment.day.pours),
        readings=_readings(moment),
        stock=_stock(moment),
        factor=_factor(moment),
        last=_last(journal, job.units),
        banners=(*banners, *second_looks(moment)),
        quiet_until=_quiet_until(running, plan),
        trial=_trial(moment),
        last_calls=tuple(_last_call(one) for one in last_calls(moment, plan)),
        promises=tuple(
            PromiseView(one.pours, one.open_to, one.by, one.result.expected, one.result.met)
            for one in promises(moment, plan)
        ),
    )


def _last_call(one: LastCall) -> LastCallView:
    chance = one.chance if one.planned_chance is None else one.planned_chance
    return LastCallView(
        one.pour, one.what, one.latest, chance, one.take_before, one.decide_by, one.by, one.planned
    )


def _crew(moment: Moment, plan: DayPlan, running: tuple[Row, ...], person: Person) -> CrewRow:
    """What presses in a person's name is on now, whatever the plan would have first."""
    ahead = plan.ahead_of(person.id, moment.at)
    planned = next((task for task in ahead if task.start <= moment.at), None)
    later = next((task for task in ahead if task.start > moment.at), None)
    now = _pressing(moment, running, person.id) or planned
    return CrewRow(person.id, person.does, person.id in moment.day.away(), now, later, ahead)


def _pressing(moment: Moment, running: tuple[Row, ...], person: str) -> CrewTask | None:
    """The most urgent row that waits for somebody: a pass due or over, a batch in the vessel past its time."""
    for row in running:
        over = row.window.state in PRESSING if row.window else row.until_word == "workable"
        if row.step.who == person and over and row.until is not None:
            kind = IN_HANDS.get(row.step.kind, row.step.kind)
            return CrewTask(kind, row.pour, row.key if row.batches else "", moment.at, row.until)
    return None


def _queue(moment: Moment, plan: DayPlan, pour: Pour) -> QueueRow:
    """A pour of the queue; one that nobody has touched looks the same until its time comes or the plan changes."""
    known = moment.untouched.get(pour.id)
    if known and known[0] is plan and (known[1].start is None or known[1].start >= moment.at):
        return known[1]
    row, ready = _queue_row(moment, plan, pour)
    if not moment.day.batches_of(pour.id) and ready.soaked_s is None and not ready.ticked:
        moment.untouched[pour.id] = plan, row
    return row


def _queue_row(moment: Moment, plan: DayPlan, pour: Pour) -> tuple[QueueRow, Readiness]:
    takeoff, state = moment.takeoffs[pour.id], pour_state(moment, pour)
    opens = (
        openings(moment, pour) if state in DONE_WITH else NOTHING
    )  # hours ahead: nobody asks while it is worked on
    tipped = [batch for batch in moment.day.batches_of(pour.id) if batch.tipped_at is not None]
    left, ready = bags_left(moment, pour), readiness(moment, pour)
    starts = (task.start for task in plan.mixes(pour.id) if task.start >= moment.at)
    row = QueueRow(
        id=pour.id,
        where=pour.where,
        state=state,
        finish=pour.finish,
        bags=takeoff.bags,
        bags_left=left,
        packets=plan.packets(pour.id),
        start=min(starts, default=None),
        finish_in=finish_in(moment, pour),
        edge_until=moment.workable_until(tipped[-1]) if tipped and left > 0 else None,
        feet=opens.feet,
        wheels=opens.wheels,
        opened=next((o.to for o in reversed(moment.day.opened) if o.pour == pour.id), ""),
        soaked_at=next((at for soaked, at in reversed(moment.day.soaked) if soaked == pour.id), None),
        flags=(*takeoff.flags, *_unready(ready)),
        soak="" if tipped else ready.soak,
        wet_next=cure.next_at if (cure := cure_of(moment, pour)) else None,
    )
    return row, ready


def _unready(ready: Readiness) -> tuple[str, ...]:
    """What a crew that ticks at all has not ticked; nothing once the hole is begun."""
    again = ("clean again",) if ready.clean_again else ()
    return (*again, f"not ticked: {', '.join(ready.missing)}") if ready.ticked and ready.missing else again


def _readings(moment: Moment) -> ReadingsView:
    site, at = moment.site, moment.at
    weather = site.weather("", at)
    mix = moment.vessel_c(moment.job.mixes[0], "", at)
    read_at = moment.day.readings[-1].at if moment.day.readings else None
    return ReadingsView(
        air_c=weather.air_c,
        slab_c=site.slab_c("", at),
        humidity=weather.humidity,
        wind_ms=weather.wind_ms,
        sun=weather.sun,
        bags_c=site.bags_c("", at),
        water_c=site.water_c("", at),
        mix_c=mix,
        evaporation=surroundings(moment).drying.rate,
        read_at=read_at,
        stale=read_at is not None and is_stale(read_at, at, moment.job.practice),
    )


def _stock(moment: Moment) -> StockView:
    left = stock(moment)
    return StockView(left.bags, bags_needed(moment), left.packets, left.vessels, left.by_mix)


def _factor(moment: Moment) -> FactorView:
    factor = moment.factor
    practice = moment.job.practice
    return FactorView(
        value=factor.value,
        low=factor.low,
        high=factor.high,
        observations=factor.observations,
        frozen=moment.frozen,
        said=factor_said(moment),
        spread=spread(moment),
        span=(practice["learning.factor_low"], practice["learning.factor_high"]),
        signs=tuple(_sign(lesson) for lesson in lessons(moment)),
    )


def _sign(lesson: Lesson) -> SignView:
    counts = not (lesson.forgotten or lesson.waits)
    said = lesson_said(lesson)
    return SignView(lesson.sign.at, said, lesson.factor, lesson.reached, lesson.spreads, counts)


def _last(journal: Journal, units: UnitSystem) -> LastLine | None:
    if journal.event is None:
        return None
    stamp = latest_stamp(journal)
    return LastLine(
        journal.event.seq, journal.event.at, told(journal.event, units), stamp.seq if stamp else None
    )


def _quiet_until(running: tuple[Row, ...], plan: DayPlan) -> float | None:
    """The next moment anybody has to do anything: a window opening, a batch to carry, a bag to mix."""
    moments = [row.until for row in running if row.until is not None]
    if plan.call.at is not None and plan.call.state != "done":
        moments.append(plan.call.at)
    return min(moments, default=None)


def _trial(moment: Moment) -> float | None:
    judged = {sign.subject for sign in moment.day.signs}
    return next((t.water_at for t in reversed(moment.day.trials) if t.id not in judged), None)
