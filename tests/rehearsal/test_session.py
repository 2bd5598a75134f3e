"""A rehearsal behind the screens' door. Expected seconds: arithmetic on a clock moved by hand."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from engine import PROGRAM
from engine.clock import HandClock, ScaledClock, Stamp, Timeline
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour.asked import Done, Refused
from engine.pour.events import DayOpened
from engine.pour.journal import Journal, fold, open_journal
from engine.pour.reckoning import Moment
from engine.pour.stages import next_stroke
from engine.pour.views import LiveView
from engine.record.day import DayLog, Opened
from engine.record.lines import Line
from engine.record.spoken import reading
from engine.record.written import events_of
from engine.rehearsal.days import rehearse_day
from engine.rehearsal.luck import AS_PLANNED
from engine.rehearsal.session import Rehearsal
from engine.words import say
from tests.pour.driving import mild
from tests.rehearsal.jobs import WORDS

SPEED = 10.0


class Memory:
    """What the console's session is to a rehearsal, kept in memory."""

    read_only, log_path, trouble, pace = False, "memory", None, 1.0

    def __init__(self, clock: ScaledClock) -> None:
        self.lines: list[Line] = []
        self.job: Job = mild()
        self.log = DayLog(Opened(open_journal(self.job), Timeline(), 0), clock, self.lines.append, WORDS)
        self.log.write_first(DayOpened(self.job, PROGRAM))

    @property
    def kept_seq(self) -> int:
        return len(self.lines)

    @property
    def journal(self) -> Journal:
        return self.log.journal

    def now(self) -> float:
        return self.log.now()

    def view(self, at: float | None = None) -> LiveView:
        return self.log.view(at)

    def submit(self, intent: i.Intent, pressed: Stamp | None = None) -> Done | Refused:
        return self.log.submit(intent, pressed)

    def pressed(self, event_time: float) -> Stamp:
        return self.log.pressed(event_time)

    def reading(self, line: str, pour: str = "") -> i.Intent | Refused:
        return reading(line, pour, self.job.units)

    def on_kept(self, callback: Callable[[int], None]) -> None:
        callback(self.kept_seq)

    def answer_banners(self) -> None:
        self.log.answer_banners()

    def close(self) -> tuple[int, ...]:
        return ()


class Played:
    """A rehearsal at ten times the pace of a clock moved by hand."""

    def __init__(self, crewed: bool = True) -> None:
        self.hand = HandClock(1_794_000_000.0)
        self.session = Memory(ScaledClock(self.hand, SPEED, mild().start))
        self.rehearsal = Rehearsal(self.session, SPEED, seed=1, crewed=crewed, spread=AS_PLANNED)

    def after(self, seconds: float) -> LiveView:
        """The view after so many seconds of the user's own time."""
        self.hand.advance(seconds)
        return self.rehearsal.view()


def test_the_clock_of_a_rehearsal_starts_with_the_job_and_runs_at_its_own_pace() -> None:
    played = Played()
    assert played.rehearsal.now() == mild().start
    played.hand.advance(6.0)
    assert played.rehearsal.now() == pytest.approx(mild().start + 60.0)


def test_the_crew_has_done_its_part_at_every_look() -> None:
    played = Played()
    first = played.after(0.0)
    assert [row.stage for row in first.rows] == ["mixing"]
    later = played.after(30.0)  # five minutes on the job
    assert later.rows[0].stage in ("tipped", "floated", "first trowel")


def test_the_crew_stamps_at_its_own_moments_not_at_the_users_looks() -> None:
    played = Played()
    played.after(12.0 * 60.0)
    alone = rehearse_day(mild(), 1, WORDS, AS_PLANNED)
    _, events, _ = events_of(played.session.lines, "memory")
    assert [(event.body, event.who) for event in events] == [
        (event.body, event.who) for event in alone.events
    ]
    assert [event.at for event in events] == pytest.approx([event.at for event in alone.events], abs=1e-3)


def test_many_small_looks_come_to_the_same_day_as_one_long_one() -> None:
    often, once = Played(), Played()
    for _ in range(120):
        often.after(6.0)
    once.after(720.0)
    day_often, day_once = often.rehearsal.journal.day, once.rehearsal.journal.day
    assert [b.id for b in day_often.batches] == [b.id for b in day_once.batches]
    moment = Moment(day_often, often.rehearsal.now())
    assert all(next_stroke(moment, batch) is None for batch in day_often.batches)


def test_the_lines_of_a_rehearsal_fold_to_its_day() -> None:
    played = Played()
    played.after(400.0)
    job, events, _ = events_of(played.session.lines, "memory")
    assert fold(job, events).day == played.rehearsal.journal.day


def test_every_view_says_that_it_is_a_rehearsal_and_keeps_saying_so() -> None:
    played = Played()
    mark = say("screen.rehearsal", speed="10", seed=1)
    assert played.after(0.0).mark == mark
    played.rehearsal.answer_banners()
    assert played.after(1.0).mark == mark


def test_without_a_crew_nothing_is_stamped_but_what_the_user_presses() -> None:
    played = Played(crewed=False)
    view = played.after(30.0)
    assert view.rows == ()
    assert view.mark is not None
    assert view.mark.key == "screen.rehearsal"
    assert isinstance(played.rehearsal.submit(i.AddWater("N0", "A")), Done)
    assert len(played.rehearsal.journal.day.batches) == 1
    assert played.after(60.0).rows[0].stage == "mixing"


def test_the_users_own_key_comes_after_what_the_crew_did_before_it() -> None:
    played = Played()
    played.hand.advance(12.0)  # two minutes on the job: the first batch is mixed and on its way
    done = played.rehearsal.submit(i.WriteNote("dusty", "N0"))
    assert isinstance(done, Done)
    _, events, _ = events_of(played.session.lines, "memory")
    assert [event.at for event in events] == sorted(event.at for event in events)
    assert events[-1].at == pytest.approx(mild().start + 120.0)


def test_a_bag_the_user_mixes_is_laid_by_the_crew_as_one_of_theirs() -> None:
    played = Played()
    played.after(0.0)
    view = played.after(3.0)
    free = next(
        row.id for row in view.crew if row.id not in {b.mixer for b in played.rehearsal.journal.day.batches}
    )
    assert isinstance(played.rehearsal.submit(i.AddWater("N1", free)), Done)
    played.after(60.0)
    own = played.rehearsal.journal.day.batch("N1.1")
    assert own.mixed_at is not None
    assert own.tipped_at is not None


def test_a_stamp_of_the_users_is_not_made_twice() -> None:
    played = Played()
    played.after(0.0)
    played.hand.advance(2.0)
    assert isinstance(played.rehearsal.submit(i.StampMixed("N0.1")), Done)
    played.after(60.0)
    lines = [line.kind for line in played.session.lines]
    assert lines.count("mixed") == len({b.id for b in played.rehearsal.journal.day.batches if b.mixed_at})


def test_the_other_answers_are_those_of_the_session_itself() -> None:
    played = Played()
    kept: list[int] = []
    played.rehearsal.on_kept(kept.append)
    assert kept == [1]
    assert played.rehearsal.log_path == "memory"
    assert not played.rehearsal.read_only
    assert isinstance(played.rehearsal.reading("air 60"), i.TakeReading)
    assert played.rehearsal.trouble is None
    assert played.rehearsal.close() == ()
    assert (played.rehearsal.job_name, played.rehearsal.units) == (mild().name, mild().units)
