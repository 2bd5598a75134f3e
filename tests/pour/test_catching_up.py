"""The screen was behind the work: what is long over is taken as done when it was due."""

from __future__ import annotations

import pytest

from engine.pour import intents as i
from engine.pour.events import Mixed, StrokeDone, Tipped
from engine.pour.live import live_view
from engine.pour.planning import quick_plan
from engine.pour.replanned import CaughtUp
from engine.pour.rows import rows
from engine.pour.targets import Refusal
from tests.pour.driving import Drive, library


def behind() -> Drive:
    """A batch wet at 9:00, and nothing stamped since."""
    return Drive(library()).do("09:00:00", i.AddWater("P1"))


def test_every_step_long_over_is_stamped_at_its_time_and_marked_as_assumed() -> None:
    day = behind()
    card = day.moment("09:00:00").card("P1")
    day.do("09:12:00", i.CatchUp())
    *steps, last = day.events[1:]
    assert [type(step.body) for step in steps][:3] == [Mixed, Tipped, StrokeDone]
    assert all(step.assumed for step in steps)
    assert isinstance(last.body, CaughtUp)
    assert last.body.lines == len(steps)
    batch = day.journal.day.batch("P1.1")
    assert batch.mixed_at == day.at("09:00:00") + card.mixing_s
    assert batch.tipped_at == batch.mixed_at + library().times.carry_s


def test_a_pass_is_taken_as_done_when_it_was_due() -> None:
    day = behind().do("09:12:00", i.CatchUp())
    moment = day.moment("09:12:00")
    batch = moment.day.batch("P1.1")
    windows = moment.windows(batch)
    for stroke in batch.strokes:
        assert stroke.at == pytest.approx(windows[stroke.name].due, abs=1.0)
    ahead = [name for name in windows if not batch.settled(name)]
    assert all(windows[name].late >= moment.at for name in ahead)


def test_one_undo_takes_all_of_it_back() -> None:
    day = behind()
    before = day.journal.day
    day.do("09:12:00", i.CatchUp()).do("09:12:05", i.Undo())
    assert day.journal.day == before


def test_a_day_on_time_has_nothing_to_catch_up() -> None:
    with pytest.raises(Refusal):
        behind().do("09:01:00", i.CatchUp())


def test_a_batch_past_its_step_in_the_vessel_runs_to_the_end_of_its_working_time() -> None:
    day = behind()
    ends = day.moment("09:00:00").workable_until(day.journal.day.batch("P1.1"))
    waiting = rows(day.moment("09:01:00"), quick_plan(day.moment("09:01:00")))[0]
    assert waiting.until_word == "mixed"
    over = rows(day.moment("09:03:00"), quick_plan(day.moment("09:03:00")))[0]
    assert (over.until_word, over.until) == ("workable", pytest.approx(ends))


def test_who_has_a_row_that_presses_is_on_it() -> None:
    day = behind()
    moment = day.moment("09:03:00")
    view = live_view(day.journal, moment, quick_plan(moment))
    person = next(one for one in view.crew if one.id == view.rows[0].step.who)
    assert person.now is not None
    assert (person.now.kind, person.now.batch) == ("mix", "P1.1")
