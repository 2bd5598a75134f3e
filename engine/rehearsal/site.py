"""A simulated crew on a whole job: it reads the call, presses the keys a crew would press, and knows no duration beforehand.

It goes through the door the screens go through. Strokes go to whom the plan names where that person is free; a tool
touches only when the surface is really ready. What people at the keys do meanwhile is taken as it comes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from heapq import heappop, heappush
from math import inf
from typing import Protocol

from engine.plan.problem import Miss
from engine.pour import intents as i
from engine.pour.asked import Done, Refused
from engine.pour.journal import Journal
from engine.pour.needs import bags_left, bags_needed
from engine.pour.reckoning import Moment
from engine.pour.stages import next_stroke
from engine.pour.state import Batch, Day
from engine.pour.views import CallView, LiveView
from engine.rehearsal.fate import Fate
from engine.rehearsal.hands import Hands
from engine.rehearsal.incidents import NONE, Absence, Incidents, mishaps
from engine.rehearsal.strokes import Stroke, strokes_ahead
from engine.rehearsal.surfaces import Surfaces

ASK_AGAIN_S = 60.0  # a hold is looked at again after this long at the latest
NO_ANSWER_S = 15.0  # and a call without an answer after this long
MISHAPS_WITHIN_S = 1200.0  # of the start, so that short days have them too
NOW_S = 0.5


class Door(Protocol):
    """What the crew needs of a day being written; times are log time."""

    @property
    def journal(self) -> Journal: ...
    def view(self, at: float) -> LiveView: ...
    def submit(self, intent: i.Intent, at: float) -> Done | Refused: ...


@dataclass(frozen=True)
class Counts:
    """What a rehearsed day took; `asked` counts looks at the call."""

    batches: int = 0
    strokes: int = 0
    words: int = 0
    lost: int = 0
    refused: int = 0
    asked: int = 0


class SiteCrew:
    """The crew from a log time on; `advance` lets it work up to a moment."""

    def __init__(self, door: Door, fate: Fate, at: float, incidents: Incidents = NONE) -> None:
        self.now = self.end = at
        self.over = False
        self.counts = Counts()
        self._door, self._fate = door, fate
        day = door.journal.day
        self._times = day.job.times
        self._hands = Hands(day.job, at)
        self._acts: list[tuple[float, int, Callable[[], None]]] = []
        self._act_count = 0
        self._met: set[str] = set()  # batches whose mixing is in somebody's hands
        self._arrived: list[str] = []
        self._kept_for: dict[str, str] = {}  # who waits at the patch for a batch
        self._surfaces = Surfaces(fate)
        self._begun: set[tuple[str, str]] = set()
        self._view: LiveView | None = None
        self._looked_at: Journal | None = None
        self._asked_of: Journal | None = None
        self._ask_at = at
        self._mishaps = mishaps(
            incidents, fate, round(bags_needed(Moment(day, at))), len(day.job.people), MISHAPS_WITHIN_S
        )
        for absence in self._mishaps.absences:
            self._at(at + absence.after_s, partial(self._leave, absence))
        self._wake(at)

    @property
    def next_at(self) -> float:
        """When the crew next does or looks at something; infinite when it is through."""
        return self._acts[0][0] if self._acts and not self.over else inf

    @property
    def misses(self) -> tuple[Miss, ...]:
        """Every window really missed so far."""
        return tuple(self._surfaces.misses)

    def advance(self, until: float) -> None:
        """Everything the crew does up to a moment, each thing stamped at its own time."""
        while self.next_at <= until:
            self.now = self._acts[0][0]
            while self._acts and self._acts[0][0] <= self.now:
                heappop(self._acts)[2]()
            self._look()
        if self._door.journal is not self._looked_at:
            self.now = max(self.now, until)
            self._look()

    def _at(self, when: float, act: Callable[[], None]) -> None:
        self._act_count += 1
        heappush(self._acts, (max(when, self.now), self._act_count, act))

    def _wake(self, when: float) -> None:
        self._at(when, _look_again)

    @property
    def _day(self) -> Day:
        return self._door.journal.day

    def _submit(self, intent: i.Intent, counting: str = "") -> bool:
        done = isinstance(self._door.submit(intent, self.now), Done)
        for field in (counting if done else "refused",):
            if field:
                self.counts = replace(self.counts, **{field: getattr(self.counts, field) + 1})
        return done

    def _look(self) -> None:
        """Everybody looks up: batches to lay, strokes to make, bags to mix."""
        self._meet_batches()
        self._lay()
        self._finish()
        self._mix()
        self._looked_at = self._door.journal
        moment = Moment(self._day, self.now)
        live = [batch for batch in self._day.batches if batch.live]
        self.over = bags_needed(moment) <= 0 and all(
            batch.id in self._surfaces.laid and next_stroke(moment, batch) is None for batch in live
        )

    # mixing

    def _mix(self) -> None:
        """Mixes what the call says, as long as a mixer and a vessel stand free."""
        while self._may_ask():
            self._view = view = self._door.view(self.now)
            self.counts = replace(self.counts, asked=self.counts.asked + 1)
            if not self._answer(view.call):
                return

    def _may_ask(self) -> bool:
        news = self._door.journal is not self._asked_of or self.now >= self._ask_at
        return news and bags_needed(Moment(self._day, self.now)) > 0 and bool(self._mixer("", ""))

    def _mixer(self, who: str, station: str) -> tuple[str, str] | None:
        """Who can mix and where, those named by the call first."""
        away = self._day.away()
        person = self._hands.pick("mix", self.now, away, who)
        lost = [name for name, _ in self._day.vessels_lost if name]
        vessel = self._hands.station(self.now, station, lost)
        enough = vessel and len(self._hands.free("mix", self.now, away)) >= self._hands.needed(vessel)
        return (person, vessel) if person and enough else None

    def _answer(self, call: CallView) -> bool:
        """Does as the call says; False where it is to be asked again later."""
        found = self._mixer(call.who, call.station)
        if found and self._is_now(call):
            packets = call.packets / call.bags if call.bags else None
            pour = call.pour or self._first_pour()
            if self._submit(i.AddWater(pour, found[0], packets, station=found[1]), "batches"):
                self._meet_batches()
                return True
        wait_s = NO_ANSWER_S if call.at is None else min(max(1.0, call.at - self.now), ASK_AGAIN_S)
        self._asked_of, self._ask_at = self._door.journal, self.now + wait_s
        self._wake(self._ask_at)
        return False

    def _is_now(self, call: CallView) -> bool:
        if call.state in ("mix now", "edge at risk", "joint"):
            return True
        if call.state == "hold":
            return call.at is not None and call.at <= self.now + NOW_S
        return call.state == "no answer" and self._is_idle()

    def _is_idle(self) -> bool:
        """Nothing is under way: with no answer somebody mixes all the same."""
        moment = Moment(self._day, self.now)
        return all(
            batch.id in self._surfaces.laid and next_stroke(moment, batch) is None
            for batch in self._day.batches
            if batch.live
        )

    def _first_pour(self) -> str:
        moment = Moment(self._day, self.now)
        return next((pour.id for pour in self._day.pours if bags_left(moment, pour) > 0), "")

    def _meet_batches(self) -> None:
        """Batches that have met their water, by the crew's own hand or another's, are mixed and carried."""
        for batch in self._day.batches:
            if batch.live and not batch.source and batch.id not in self._met:
                self._met.add(batch.id)
                self._begin_mixing(batch)

    def _begin_mixing(self, batch: Batch) -> None:
        planned_s = Moment(self._day, self.now).card(batch.pour).mixing_s
        mixed = batch.water_at + planned_s * self._fate.stretch("mix", batch.id)
        free = max(mixed, self.now) + self._times.carry_s + self._times.rinse_s + self._times.load_s
        others = [p.id for p in self._hands.free("mix", self.now, self._day.away()) if p.id != batch.mixer]
        station = batch.station or next(iter(self._hands.station_at))
        for person in (batch.mixer, *others[: self._hands.needed(station) - 1]):
            self._hands.free_at[person] = free
        self._hands.station_at[station] = free
        self._at(mixed, partial(self._mixed, batch.id, len(self._met) - 1))
        self._wake(free)

    def _mixed(self, batch_id: str, number: int) -> None:
        batch = self._standing(batch_id)
        if batch is None:
            return
        if number in self._mishaps.lost and batch.tipped_at is None:
            self._submit(i.LoseBatch(batch_id, "rehearsed"), "lost")
            return
        if batch.mixed_at is None and batch.tipped_at is None:
            self._submit(i.StampMixed(batch_id, batch.mixer))
        placer = self._placer(batch)
        if placer:
            self._kept_for[batch_id] = placer
            self._hands.free_at[placer] = inf
        self._at(self.now + self._times.carry_s, partial(self._arrived.append, batch_id))

    def _standing(self, batch_id: str) -> Batch | None:
        """A batch that is neither lost nor taken back."""
        found = self._day.batch(batch_id) if self._day.has_batch(batch_id) else None
        return found if found is not None and found.live else None

    # laying

    def _placer(self, batch: Batch) -> str:
        return self._hands.pick("place", self.now, self._day.away(), self._planned("place", batch.pour))

    def _planned(self, kind: str, pour: str) -> str:
        """Who the plan last seen has for a task."""
        rows = self._view.crew if self._view else ()
        return next((row.id for row in rows if any((t.kind, t.pour) == (kind, pour) for t in row.ahead)), "")

    def _lay(self) -> None:
        for batch_id in list(self._arrived):
            batch = self._standing(batch_id)
            if batch is None or batch.tipped_at is not None:
                self._arrived.remove(batch_id)
                self._let_go(batch_id)
                if batch is not None and batch.tipped_at is not None:
                    self._note_laid(batch, batch.tipped_at + self._times.strike_off_s)
            elif self._is_its_turn(batch):
                self._lay_one(batch)

    def _let_go(self, batch_id: str) -> None:
        if batch_id in self._kept_for:
            self._hands.free_at[self._kept_for.pop(batch_id)] = self.now

    def _is_its_turn(self, batch: Batch) -> bool:
        """A batch is laid when those of its pour that met water before it are."""
        return all(
            other.id in self._surfaces.laid and self._surfaces.laid[other.id].until <= self.now
            for other in self._day.batches_of(batch.pour)
            if (other.water_at, other.seq) < (batch.water_at, batch.seq)
        )

    def _lay_one(self, batch: Batch) -> None:
        who = self._kept_for.pop(batch.id, "") or self._placer(batch) or self._carrier(batch)
        if not who:
            return
        self._arrived.remove(batch.id)
        times, stretch = self._times, self._fate.stretch("place", batch.id)
        tip = self.now + times.tip_s * stretch
        struck = tip + times.strike_off_s * stretch
        self._hands.free_at[who] = struck
        if who == batch.mixer:
            self._hands.free_at[who] = self._hands.station_at[batch.station] = (
                struck + times.rinse_s + times.load_s
            )
        self._at(tip, partial(self._tipped, batch.id, who, struck))
        self._wake(struck)
        self._wake(self._hands.free_at[who])

    def _carrier(self, batch: Batch) -> str:
        """With nobody else at hand whoever carried it lays it, and rinses after."""
        does = next((p.does for p in self._day.job.people if p.id == batch.mixer), ())
        return batch.mixer if "place" in does and batch.mixer not in self._day.away() else ""

    def _tipped(self, batch_id: str, who: str, struck: float) -> None:
        batch = self._standing(batch_id)
        if batch is None:
            return
        if batch.tipped_at is None:
            self._submit(i.StampTipped(batch_id, who))
            batch = self._day.batch(batch_id)
        self._note_laid(batch, struck)

    def _note_laid(self, batch: Batch, struck: float) -> None:
        """What the batch will really do from here on; the first one of the day is watched."""
        first = not self._surfaces.laid
        laid = self._surfaces.lay(self._day, self.now, batch, struck)
        watch = self._surfaces.watch(self._day, self.now, batch) if first else None
        if watch is not None:
            self._at(watch.ready, partial(self._say, i.SeeReady(batch.id), batch.id))
            if watch.not_yet is not None:
                self._at(watch.not_yet, partial(self._say, i.SeeNotYet(batch.id), batch.id))
        for open_at in laid.opens.values():
            self._wake(open_at - self._times.walk_s)

    def _say(self, word: i.Intent, batch_id: str) -> None:
        batch = self._standing(batch_id)
        if batch is not None and not batch.settled("first_trowel"):
            self._submit(word, "words")

    # finishing

    def _finish(self) -> None:
        moment, walk_s = Moment(self._day, self.now), self._times.walk_s
        if not self._hands.free("finish", self.now, self._day.away()):
            return
        for stroke in strokes_ahead(moment, self._surfaces.laid, self._begun):
            if stroke.opens > self.now + walk_s:
                continue
            who = self._hands.pick(
                "finish", self.now, self._day.away(), self._planned(stroke.name, stroke.pour)
            )
            if not who:
                return
            self._begin(stroke, who)

    def _begin(self, stroke: Stroke, who: str) -> None:
        walk_s = 0.0 if stroke.name in ("float", "edge") else self._times.walk_s
        start = max(self.now, stroke.opens, self._hands.free_at[who] + walk_s)
        late_s = self._mishaps.late_s.get(self.counts.strokes + len(self._begun), 0.0)
        end = start + late_s + stroke.seconds * self._fate.stretch(stroke.name, stroke.batches[0])
        self._hands.free_at[who] = end
        self._begun |= {(stroke.name, batch) for batch in stroke.batches}
        self._at(end, partial(self._stroked, stroke, who))

    def _stroked(self, stroke: Stroke, who: str) -> None:
        self._begun -= {(stroke.name, batch) for batch in stroke.batches}
        if not self._submit(i.StampStroke(stroke.name, stroke.which, who), "strokes"):
            return
        self.end = self.now
        self._surfaces.stroked(self._day, stroke, self.now)

    # who is there

    def _leave(self, absence: Absence) -> None:
        """Somebody goes as soon as the hands are free."""
        person = self._day.job.people[absence.person].id
        free = self._hands.free_at[person]
        if free > self.now:
            self._at(free if free < inf else self.now + NO_ANSWER_S, partial(self._leave, absence))
        elif person not in self._day.away() and self._submit(i.MarkAway(person)):
            self._at(self.now + absence.for_s, partial(self._return, person))

    def _return(self, person: str) -> None:
        if person in self._day.away():
            self._submit(i.MarkBack(person))


def _look_again() -> None:
    """Nothing of its own: the crew looks up."""
