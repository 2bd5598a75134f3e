"""The queue edited before and while the day runs: what is allowed, what is said, and that no clock that runs is touched.

A patch of 24 by 18 in is 432 square inches, 0.27870912 m2 (an inch is 25.4 mm by definition); with readings of 2.0, 1.75 and
2.25 in its mean depth is 2 in and its volume 864 cubic inches, half a cubic foot. Everything else follows from the intents.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.model import PASSES_OF, Job
from engine.job.patch_line import EXAMPLE, read_patch
from engine.pour import intents as i
from engine.pour.around.answers import answers
from engine.pour.body import kind_of
from engine.pour.decide import tried
from engine.pour.events import body_from_plain, body_to_plain
from engine.pour.lazy import LazyPlan
from engine.pour.live import live_view
from engine.pour.needs import bags_left, bags_needed
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.pour.targets import Refusal
from engine.record.entries import Place
from engine.record.spoken import spoken
from tests.pour.driving import Drive, library
from tests.pour.test_shared_bag import job as shared_bag
from tests.tui.days import WORDS

INCH_M = 0.0254
PATCH = read_patch("24x18 2.0 1.75 2.25", "us")
NOW = "09:20:00"


@cache
def running() -> Drive:
    """Three batches at work: one floated, one tipped, one in its vessel; the other pours wait."""
    drive = Drive(library())
    drive.do("09:10:00", i.AddWater("P1", "MA"))
    drive.do("09:11:40", i.StampMixed("P1.1")).do("09:12:20", i.StampTipped("P1.1"))
    drive.do("09:14:00", i.StampStroke("float", "P1.1", "F"), i.AddWater("P2", "MB"))
    drive.do("09:15:40", i.StampMixed("P2.1")).do("09:16:20", i.StampTipped("P2.1"))
    drive.do("09:18:30", i.AddWater("P1", "MA"))
    return drive


def day_under_way() -> Drive:
    """A copy of it, to meddle with."""
    drive = Drive(library())
    drive.journal, drive.events = running().journal, list(running().events)
    return drive


def fresh(job: Job | None = None) -> Drive:
    return Drive(job or library())


def queue(drive: Drive) -> list[str]:
    return [pour.id for pour in drive.journal.day.pours]


def refused(drive: Drive, intent: i.Intent, clock: str = NOW) -> str:
    """The key of the refusal, once its sentence is there."""
    with pytest.raises(Refusal) as found:
        drive.do(clock, intent)
    assert WORDS(found.value.reason)
    return found.value.reason.key


# a patch in one line


def test_a_size_and_depth_readings_are_read_as_inches_or_millimetres() -> None:
    assert PATCH.area_m2 == pytest.approx(432 * INCH_M**2, rel=1e-12)
    assert PATCH.depths_m == pytest.approx((2 * INCH_M, 1.75 * INCH_M, 2.25 * INCH_M))
    assert (PATCH.length_m, PATCH.width_m) == pytest.approx((24 * INCH_M, 18 * INCH_M))
    metric = read_patch("600x450 50 45 57", "metric")
    assert metric.area_m2 == pytest.approx(0.27)
    assert metric.depths_m == pytest.approx((0.05, 0.045, 0.057))


@pytest.mark.parametrize(
    ("line", "field", "value"),
    [
        ("24 x 18 2 1 3/4 2.25", "depths_m", (2 * INCH_M, 1.75 * INCH_M, 2.25 * INCH_M)),
        ("24x18 2,5", "depths_m", (2.5 * INCH_M,)),
        ("24 1/2 x 18 2", "length_m", 24.5 * INCH_M),
        ("2 ft x 18 in 2", "length_m", 24 * INCH_M),
        ("2x3 ft 2 in", "area_m2", 6 * 144 * INCH_M**2),
        ("3 ft2 2", "area_m2", 3 * 144 * INCH_M**2),
        ("3 sq ft 2", "area_m2", 3 * 144 * INCH_M**2),
        ("0.3 m2 50 mm", "depths_m", (0.05,)),
        ("outline 0,0 24,0 24,18 0,18 2 2.5", "area_m2", 432 * INCH_M**2),
        ("outline 0,0 24,0 0,18 2", "area_m2", 216 * INCH_M**2),
    ],
)
def test_sizes_are_written_in_many_ways(line: str, field: str, value: Any) -> None:
    assert getattr(read_patch(line, "us"), field) == pytest.approx(value)


def test_words_in_any_order_say_the_rest() -> None:
    found = read_patch("P9 24x18 2 chipped small-stone packets 1.5 broom before P3 ramp at by the rail", "us")
    assert (found.id, found.edges, found.mix, found.packets) == ("P9", "chipped", "small-stone", 1.5)
    assert (found.finish, found.before, found.use, found.where) == ("broom", "P3", "ramp", "by the rail")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("", "the size is missing"),
        ("24x18", "depth readings are missing"),
        ("24x18 90", "out of reach"),
        ("0x18 2", "out of reach"),
        ("24x18 1/0", "no number"),
        ("24x18 2 bromm", "nearest: broom"),
        ("24x18 2 coarse fine", "not known beside coarse"),
        ("24x18 2 packets", "missing after packets"),
        ("24x18 2 packets 1.3", "in halves"),
        ("one two 24x18 2", "one id at most"),
        ("P1.1 24x18 2", "without spaces or dots"),
        ("outline 0,0 24,0 2", "three corners"),
        ("outline 0,0 24,18 24,0 0,18 2", "three corners"),
        ("900x900 ft 2", "out of reach"),
        ("24x18 2 at " + "x" * 90, "at most 80"),
        ("24x18 " + "2 " * 120, "at most 200"),
    ],
)
def test_what_is_wrong_with_a_line_is_said_with_an_example(line: str, says: str) -> None:
    with pytest.raises(ValueError, match=says) as wrong:
        read_patch(line, "us")
    assert EXAMPLE in str(wrong.value)


@given(st.text(alphabet="0123456789./,x -'\"inftm2abcoutlePpack", max_size=60))
@settings(max_examples=300)
def test_no_line_does_more_than_be_read_or_refused(line: str) -> None:
    try:
        patch = read_patch(line, "us")
    except ValueError:
        return
    assert patch.area_m2 > 0
    assert all(0.001 <= depth <= 1.0 for depth in patch.depths_m)


def test_the_line_typed_on_site_asks_for_the_pour() -> None:
    place = Place("us", ("P1",), library().practice)
    assert spoken("add 24x18 2.0 1.75 2.25", place) == i.AddPour(PATCH)
    assert "refusal.entry" in repr(spoken("add something", place))
    there = replace(place, mixes=("sanded",))
    assert spoken("add 24x18 2.0 1.75 2.25 sanded", there) == i.AddPour(replace(PATCH, mix="sanded"))


# a pour added


def test_an_added_pour_stands_last_takes_the_next_free_id_and_the_last_finish() -> None:
    drive = fresh().do(NOW, i.AddPour(PATCH), i.AddPour(PATCH))
    assert queue(drive)[-2:] == ["A1", "A2"]
    assert drive.journal.day.pour("A1").finish == library().pours[-1].finish
    taken = drive.moment(NOW).takeoffs["A1"]
    assert taken.volume_net_m3 == pytest.approx(0.5 * (12 * INCH_M) ** 3)
    assert bags_left(drive.moment(NOW), drive.journal.day.pour("A1")) == taken.bags


def test_an_added_pour_is_planned_called_and_finished_like_any_other() -> None:
    drive = fresh().do(NOW, i.AddPour(replace(PATCH, before=queue(fresh())[0], finish="broom")))
    plan = quick_plan(drive.moment(NOW))
    assert plan.call.pour == "A1"
    assert {task.kind for task in plan.tasks if task.pour == "A1"} >= {"mix", "place", "broom"}
    view = live_view(drive.journal, drive.moment(NOW), plan)
    assert view.queue[0].id == "A1"
    drive.do("09:21:00", i.AddWater("A1", "MA"))
    assert drive.batch("A1.1").pour == "A1"


def test_an_added_pour_needs_an_id_mix_finish_place_and_dose_that_the_day_has() -> None:
    drive = fresh()
    first = queue(drive)[0]
    assert refused(drive, i.AddPour(replace(PATCH, id=first.lower()))) == "refusal.pour_known"
    assert refused(drive, i.AddPour(replace(PATCH, mix="unheard-of"))) == "refusal.no_mix"
    assert refused(drive, i.AddPour(replace(PATCH, before="P99"))) == "refusal.no_pour"
    assert refused(drive, i.AddPour(replace(PATCH, packets=19.0))) == "refusal.packets"


def test_a_finish_the_card_has_no_window_for_is_refused() -> None:
    cards = tuple(
        replace(card, passes=replace(card.passes, broom=None, second_trowel=None)) for card in library().mixes
    )
    drive = fresh(replace(library(), mixes=cards))
    assert refused(drive, i.AddPour(replace(PATCH, finish="broom"))) == "refusal.no_window"
    assert refused(drive, i.SetFinish("P1", "trowel")) == "refusal.no_window"


# order, halves, visits


def test_no_pour_goes_before_what_it_comes_after() -> None:
    pours = library().pours
    bound = tuple(replace(pour, after=("P2",)) if pour.id == "P4" else pour for pour in pours)
    drive = fresh(replace(library(), pours=bound))
    assert refused(drive, i.MovePour("P4", "P2")) == "refusal.comes_after"
    assert refused(drive, i.MovePour("P2")) == "refusal.comes_after"
    assert queue(drive.do(NOW, i.MovePour("P4", "P3"))).index("P4") == 2


def test_pours_of_one_bag_stay_together() -> None:
    drive = fresh(shared_bag()).do(NOW, i.AddPour(PATCH))
    assert refused(drive, i.MovePour("A1", "P2")) == "refusal.shares_bag"
    assert refused(drive, i.MovePour("P2")) == "refusal.shares_bag"
    assert refused(drive, i.SplitPour("P1")) == "refusal.divide_shared"
    assert refused(drive, i.SetFinish("P2", "float")) == "refusal.shared_finish"
    assert queue(drive.do(NOW, i.MovePour("A1", "P1"))) == ["A1", "P1", "P2"]


def test_a_pour_not_begun_is_divided_and_both_parts_are_poured() -> None:
    drive = fresh()
    whole = drive.journal.day.pour("P4")
    drive.do(NOW, i.SplitPour("P4", 0.25))
    day, moment = drive.journal.day, drive.moment(NOW)
    assert queue(drive)[queue(drive).index("P4") + 1] == "P4b"
    assert day.pour("P4").area_m2 + day.pour("P4b").area_m2 == pytest.approx(whole.area_m2)
    assert day.pour("P4").area_m2 == pytest.approx(whole.area_m2 / 4)
    assert all(bags_left(moment, day.pour(name)) > 0 for name in ("P4", "P4b"))
    assert refused(fresh(), i.SplitPour("P4", 1.0)) == "refusal.share"


def test_what_comes_after_a_divided_pour_waits_for_both_parts() -> None:
    bound = tuple(replace(p, after=("P2",)) if p.id == "P4" else p for p in library().pours)
    drive = fresh(replace(library(), pours=bound)).do(NOW, i.SplitPour("P2"))
    assert drive.journal.day.pour("P4").after == ("P2", "P2b")


def test_a_pour_left_for_later_is_taken_up_again_in_its_place() -> None:
    drive = fresh()
    before = queue(drive)
    needed = bags_needed(drive.moment(NOW))
    drive.do(NOW, i.SkipNext("P4"))
    assert bags_needed(drive.moment(NOW)) < needed
    assert refused(drive, i.SkipNext("P4")) == "refusal.left_already"
    drive.do(NOW, i.TakeUpPour("P4"))
    assert bags_needed(drive.moment(NOW)) == needed
    assert queue(drive) == before
    assert refused(drive, i.TakeUpPour("P4")) == "refusal.done_today"


# people beforehand


@pytest.mark.parametrize(
    ("who", "work", "kinds"),
    [
        ("MB", "mix", {"mix"}),
        ("Lead", "place", {"place"}),
        ("F", "finish", {"float", "first_trowel", "broom"}),
    ],
)
def test_a_person_put_on_a_pour_beforehand_is_planned_for_that_work(
    who: str, work: Any, kinds: set[str]
) -> None:
    drive = fresh().do(NOW, i.SetFinish("P3", "broom"), i.Assign(who, "P3", work))
    plan = quick_plan(drive.moment(NOW))
    mine = [task for task in plan.tasks if task.pour == "P3" and task.kind in kinds]
    first = [task for task in mine if task.kind != "mix"] or mine[:1]
    assert {task.person for task in first} == {who}


def test_the_latest_word_on_who_does_it_counts_and_skills_are_looked_at() -> None:
    drive = fresh().do(NOW, i.Assign("Lead", "P3", "finish"), i.Assign("F", "P3"))
    plan = quick_plan(drive.moment(NOW))
    assert {t.person for t in plan.tasks if t.pour == "P3" and t.kind not in ("mix", "place")} == {"F"}
    assert refused(drive, i.Assign("F", "P3", "mix")) == "refusal.does_not"


# clocks


EDITS = ("move", "last", "skip", "up", "add", "split", "finish", "dose", "person", "lend", "undo")
edit = st.tuples(st.sampled_from(EDITS), st.integers(0, 9), st.integers(0, 9), st.integers(0, 4))


def intent_for(drive: Drive, kind: str, one: int, other: int, n: int) -> i.Intent:
    """An edit of a pour of the queue as it is now; finishes change only where nothing is wet."""
    day = drive.journal.day
    ids = queue(drive)
    pour, before = ids[one % len(ids)], ids[other % len(ids)]
    people = [person.id for person in day.job.people]
    dry = [name for name in ids if not any(b.pour == name for b in day.batches)] or [pour]
    finishes = ("trowel", "broom", "float")
    made: dict[str, i.Intent] = {
        "move": i.MovePour(pour, before),
        "last": i.MovePour(pour),
        "skip": i.SkipNext(dry[one % len(dry)]),
        "up": i.TakeUpPour(pour),
        "add": i.AddPour(replace(PATCH, before=before if n else "")),
        "split": i.SplitPour(pour, (None, 0.5, 0.3, 0.9, 0.01)[n]),
        "finish": i.SetFinish(dry[one % len(dry)], finishes[n % 3]),  # type: ignore[arg-type]
        "dose": i.SetDose(pour, (None, 0.0, 0.5, 1.0, 2.0)[n]),
        "person": i.Assign(people[n % len(people)], pour),
        "lend": i.LendHand(people[n % len(people)], ("mix", "place", "finish")[other % 3]),  # type: ignore[arg-type]
        "undo": i.Undo(),
    }
    return made[kind]


def attempted(drive: Drive, intent: i.Intent) -> bool:
    """Whether the day allowed it; if not, the reason has a sentence."""
    try:
        drive.do(NOW, intent)
    except Refusal as refusal:
        WORDS(refusal.reason)  # one without a sentence raises
        return False
    return True


def clocks(moment: Moment, wet: tuple[Batch, ...]) -> list[object]:
    """Everything that runs: stamps, what decides each trajectory, ages and temperatures, windows, working time."""
    found: list[object] = []
    for known in wet:
        batch = moment.day.batch(known.id)
        path = moment.trajectory(batch)
        later = [moment.at + s for s in (-120.0, 0.0, 60.0, 600.0, 3600.0, 20000.0)]
        ages = [(path.age_at(at), path.temperature_at(at)) for at in later]
        windows = {name: asdict(window) for name, window in moment.windows(batch).items()}
        found.append(
            (batch, moment.clock(batch), ages, windows, moment.workable_until(batch), moment.lift(batch))
        )
    return found


@given(st.lists(edit, min_size=1, max_size=12))
@settings(max_examples=60)
def test_no_edit_of_the_plan_touches_a_clock_that_runs(edits: list[tuple[str, int, int, int]]) -> None:
    drive, stamped = day_under_way(), len(running().events)
    wet = drive.journal.day.batches
    assert len(wet) == 3
    before = clocks(drive.moment(NOW), wet)
    for kind, one, other, n in edits:
        if kind == "undo" and drive.journal.event is running().journal.event:
            continue
        attempted(drive, intent_for(drive, kind, one, other, n))
    assert clocks(drive.moment(NOW), wet) == before
    assert drive.refolded().day == drive.journal.day
    for event in drive.events[stamped:]:
        assert body_from_plain(kind_of(event.body), 1, body_to_plain(event.body)) == event.body


@given(st.lists(edit.filter(lambda one: one[0] != "undo"), min_size=1, max_size=8))
@settings(max_examples=25)
def test_undone_one_by_one_the_edits_leave_the_day_as_it_was(edits: list[tuple[str, int, int, int]]) -> None:
    drive = day_under_way()
    before = drive.journal.day
    done = sum(attempted(drive, intent_for(drive, *one)) for one in edits)
    drive.do(NOW, *[i.Undo()] * done)
    assert drive.journal.day == before


@given(st.lists(edit, min_size=4, max_size=10))
@settings(max_examples=8)
def test_any_edits_leave_a_day_that_can_be_planned_and_shown(edits: list[tuple[str, int, int, int]]) -> None:
    drive = day_under_way()
    for one in edits:
        attempted(drive, intent_for(drive, *one))
    moment = drive.moment(NOW)
    view = live_view(drive.journal, moment, quick_plan(moment))
    assert [row.id for row in view.queue] == queue(drive)
    assert view.call.state in ("mix now", "hold", "edge at risk", "joint", "done", "no answer")


@pytest.mark.parametrize("finish", ["trowel", "broom", "float"])
def test_another_finish_on_a_running_pour_changes_what_is_ahead_and_no_stamp_and_no_age(finish: Any) -> None:
    drive = day_under_way()
    wet = drive.journal.day.batches
    held = [drive.moment(NOW).trajectory(b).age_at(drive.at(NOW)) for b in wet]
    drive.do(NOW, i.SetFinish("P1", finish))
    moment = drive.moment(NOW)
    assert moment.day.batches == wet
    ages = [moment.trajectory(b).age_at(moment.at) for b in wet]
    assert ages == pytest.approx(held, abs=1e-3)  # the way to the cover is reckoned in other steps
    assert list(moment.windows(wet[0])) == list(PASSES_OF[finish])


def test_a_joint_that_would_cut_through_a_laid_lift_is_refused() -> None:
    """Readings of 12 in are deeper than one lift; two bags of the first lift lie, and a tenth would move them up."""
    deep = replace(PATCH, depths_m=(12 * INCH_M,), id="D")
    drive = fresh().do("09:00:00", i.AddPour(deep))
    taken = drive.moment(NOW).takeoffs["D"]
    assert taken.lifts > 1
    for minute in range(2, 2 + 4 * taken.bags_per_lift, 4):
        drive.do(f"09:{minute:02}:00", i.AddWater("D", "MA"))
        batch = drive.journal.day.batches[-1].id
        drive.do(f"09:{minute + 2:02}:00", i.StampMixed(batch), i.StampTipped(batch))
        if minute > 8:
            break
    assert refused(drive, i.SplitPour("D", 0.1), "09:55:00") == "refusal.split_lifts"


def test_the_stock_is_told_with_a_pour_added() -> None:
    drive = fresh()
    moment = drive.moment(NOW)
    journal, deeds = tried(drive.journal, moment, (i.AddPour(PATCH),), LazyPlan(moment))
    said = [one.key for one in answers(Moment(journal.day, moment.at), deeds[0].body)]
    assert said[0] == "answer.bags"
    assert said[1] in ("answer.stock", "answer.stock_short")
    poor = replace(library(), stock=replace(library().stock, bags=((library().mixes[0].key, 3.0),)))
    journal, deeds = tried(
        fresh(poor).journal, Moment(fresh(poor).journal.day, moment.at), (i.AddPour(PATCH),), LazyPlan(moment)
    )
    short = answers(Moment(journal.day, moment.at), deeds[0].body)[1]
    assert short.key == "answer.stock_short"
    assert "3 on the trailer" in WORDS(short)
