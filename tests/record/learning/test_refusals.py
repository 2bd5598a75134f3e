"""What logs cannot tell is not claimed, and logs that do not belong together are not put together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from engine.pour import events as e
from engine.record.learning.claims import MixFindings, mix_findings
from engine.record.learning.findings import Finding
from engine.record.learning.gathered import learned_from, unfit
from engine.record.learning.seen import LoggedDay
from tests.record.learning.simulated import Writer, job_at, signs, simulated, written


def _learned(days: Sequence[LoggedDay]) -> MixFindings:
    seen = signs(days)
    return mix_findings(seen[0].clock.card, seen, len(days), 0.2, "metric")


def _named(learned: MixFindings) -> dict[str, Finding]:
    return {one.key: one for one in learned.findings}


def _why(finding: Finding) -> str:
    return "" if finding.why is None else finding.why.key


COLD = (5.0, 6.0, 7.0) * 3


def test_days_of_one_temperature_tell_no_energy() -> None:
    energy = _named(_learned(simulated(1, COLD)))["activation_energy"]
    assert _why(energy) == "learned.alike"
    assert energy.learned is None
    assert dict(energy.why.values if energy.why else ()) == {"cold": "7 °C", "warm": "9 °C", "apart": "10 °C"}


def test_cold_days_alone_tell_the_stretch_but_no_working_time_at_the_reference() -> None:
    """A dose beside none on the same day needs no energy; the way from 5 °C to the card's 21 °C does."""
    found = _named(_learned(simulated(1, COLD)))
    assert _why(found["stretch_1"]) == ""
    assert _why(found["working_time"]) == "learned.too_wide"


def test_days_near_the_reference_tell_the_working_time_without_the_energy() -> None:
    found = _named(_learned(simulated(1, (19.0, 22.0, 24.0) * 3)))
    assert _why(found["activation_energy"]) == "learned.alike"
    assert _why(found["working_time"]) == ""


@pytest.mark.parametrize("warm_days", [0, 1])
def test_one_warm_day_is_not_enough_for_an_energy(warm_days: int) -> None:
    days = simulated(2, (5.0,) * 5 + (30.0,) * warm_days)
    assert _why(_named(_learned(days))["activation_energy"]) == "learned.alike"


def test_two_cold_and_two_warm_days_are_weighed_by_their_spread_alone() -> None:
    energy = _named(_learned(simulated(2, (5.0, 5.0, 30.0, 30.0))))["activation_energy"]
    assert energy.value is not None
    assert (energy.low or 0.0) < energy.value < (energy.high or 0.0)


def test_two_days_tell_nothing_of_a_limit() -> None:
    found = _named(_learned(simulated(3, (10.0, 25.0))))
    assert {_why(one) for key, one in found.items() if key != "activation_energy"} == {"learned.few_days"}


def test_a_dose_never_compared_with_none_tells_neither_stretch_nor_working_time() -> None:
    days = simulated(4, (15.0, 20.0, 28.0) * 3, buckets=(1.0,), batches=())
    found = _named(_learned(days))
    assert _why(found["stretch_1"]) == "learned.too_wide"
    assert _why(found["working_time"]) == "learned.too_wide"


def test_words_that_only_say_not_yet_claim_no_limit() -> None:
    days = written(5, (20.0,) * 6, buckets=(0.0,))
    for day in days:
        day.events = [line for line in day.events if getattr(line.body, "name", None) != "second_trowel"]
        day.events = [line for line in day.events if getattr(line.body, "word", "") != "ready"]
    found = _named(_learned([day.day(str(n)) for n, day in enumerate(days)]))
    assert _why(found["first_trowel_due"]) == "learned.few_days"
    assert found["first_trowel_due"].observations > 0


def test_a_sign_stamped_far_off_is_set_apart_and_named() -> None:
    days = written(6, (20.0,) * 6)
    start = days[2].job.start
    days[2].at(660.0, e.TrialStarted("late", "small-stone"))
    days[2].at(4000.0, e.SignSeen("stiff", "late"))
    learned = _learned([day.day(str(n)) for n, day in enumerate(days)])
    assert [(one.day, one.at - start) for one in learned.apart] == [(2, 4000.0)]


def test_a_value_no_card_could_hold_is_not_told() -> None:
    """A mix workable past the card's initial set of 12 min at 21 °C."""
    days = []
    for number in range(6):
        writer = Writer(job_at(21.0, number))
        writer.at(60.0, e.TrialStarted("T", "small-stone"))
        writer.at(60.0 + 880.0, e.SignSeen("stiff", "T"))
        days.append(writer.day(str(number)))
    assert _why(_named(_learned(days))["working_time"]) == "learned.misfit"


def test_a_mix_nobody_signed_tells_nothing() -> None:
    learning = learned_from([Writer(job_at(20.0, 0)).day("still.jsonl")])
    assert [mix.findings for mix in learning.mixes] == [()]
    assert learning.told() == ()


def _day(name: str, number: int = 0, made_up: bool = False) -> LoggedDay:
    return Writer(job_at(20.0, number), made_up).day(name)


def test_the_same_day_is_not_counted_twice() -> None:
    (problem,) = unfit([_day("a"), _day("copy of a"), _day("b", 1)], made_up=False)
    assert problem.file == "copy of a"
    assert "the same as in a" in problem.accepted


def test_cards_that_differ_under_one_name_are_not_mixed_and_say_in_what() -> None:
    day = _day("b", 1)
    card = day.job.mixes[0]
    slower = replace(card, setting=replace(card.setting, working_s=200.0))
    other = replace(day, job=replace(day.job, mixes=(slower,)))
    (problem,) = unfit([_day("a"), other], made_up=False)
    assert "they differ in setting.working_s: " in problem.accepted


def test_another_price_is_no_other_card() -> None:
    day = _day("b", 1)
    card = day.job.mixes[0]
    dearer = replace(card, bag=replace(card.bag, price=99.0), name="the same, dearer")
    other = replace(day, job=replace(day.job, mixes=(dearer,)))
    assert unfit([_day("a"), other], made_up=False) == ()


@pytest.mark.parametrize(("asked", "refused"), [(False, ["made up"]), (True, ["worked"])])
def test_rehearsals_and_working_days_are_never_mixed(asked: bool, refused: list[str]) -> None:
    problems = unfit([_day("worked"), _day("made up", 1, made_up=True)], asked)
    assert [problem.file for problem in problems] == refused


def test_rehearsals_alone_are_learned_from_where_asked_for() -> None:
    assert unfit([_day("made up", 1, made_up=True)], made_up=True) == ()
