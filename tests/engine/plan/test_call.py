"""The call: the earliest water contact that keeps every window, never before it is proven to, for one reason.

Proven moments: an exact solver's, in the case files of pours under way.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf
from statistics import median

import pytest
from plan_cases import NAMES, case_of
from plan_pours import BOTH, ROOMY, batch, begun, knit, patch, pour, separate

from engine.plan.call import Call, earliest_call
from engine.plan.margins import Margins, bearable, strain_of
from engine.plan.planner import plan
from engine.plan.problem import Order, Problem
from engine.plan.work import Work
from tests.bench.busy_pours import busy_pour, part_way
from tests.bench.cases import read_problem

UNDER_WAY = [name for name in NAMES if name.startswith("m")]
HURRIED = replace(ROOMY, working_s=200.0, joint_s=255.0)  # one batch alone takes 190 s to be down
HOPELESS = replace(ROOMY, working_s=150.0)


def test_a_call_is_never_sooner_than_proven_and_soon_after() -> None:
    late_s = []
    for name in UNDER_WAY:
        call = earliest_call(read_problem(case_of(name)))
        assert call.at_s is not None
        late_s.append(call.at_s - case_of(name)["reference"]["earliest_safe_next_call_s"])
    assert min(late_s) >= 0.0
    assert median(late_s) <= 15.0


def test_nothing_in_the_way_is_called_now() -> None:
    call = earliest_call(separate(3))
    assert (call.batch, call.at_s, call.reason.kind, call.forced) == ("B1", 0.0, "now", False)
    assert call.people == ("M",)
    assert call.station == "S"


def test_a_busy_mixer_holds_the_call_and_is_named() -> None:
    call = earliest_call(begun(separate(2), "B1", 0.0, now_s=10.0))
    assert (call.batch, call.at_s) == ("B2", 180.0)  # mixed 120, carried 20, washed 40
    assert call.reason.kind in ("mixer", "station")
    assert (call.reason.person, call.reason.station) == ("M", "S")


def test_a_finisher_at_work_holds_the_call_for_the_working_time() -> None:
    site = separate(2, (HURRIED,))
    people = (site.people[0], replace(site.people[1], free_s=300.0))
    call = earliest_call(replace(site, people=people))
    assert call.at_s == 160.0  # walks from 300, places 310 to 360: 200 s after the water
    assert (call.reason.kind, call.reason.patch, call.reason.person) == ("finisher", "P1", "F")


def test_a_batch_waits_at_the_patch_no_longer_than_allowed() -> None:
    site = separate(2)
    site = replace(site, people=(site.people[0], replace(site.people[1], free_s=300.0)))
    free = earliest_call(site)
    held = earliest_call(site, Margins(wait_s=20.0))
    assert free.at_s == 0.0
    assert held.at_s == 150.0  # at the patch at 290, placed from 310
    assert held.reason.kind == "wait"


def test_the_next_batch_of_a_live_edge_has_a_latest_water_contact() -> None:
    call = earliest_call(begun(knit(2), "B1", 0.0, now_s=10.0))
    assert call.batch == "B2"
    assert (
        500.0 - 190.0 - 4.0 <= call.latest_s <= 500.0 - 190.0
    )  # joint at 500; mixed, carried and placed in 190


def test_a_call_asked_without_its_latest_is_else_the_same() -> None:
    site = begun(knit(2), "B1", 0.0, now_s=10.0)
    with_it, without = earliest_call(site), earliest_call(site, with_latest=False)
    assert without.latest_s == inf
    assert replace(with_it, latest_s=inf) == without


def test_an_edge_that_cannot_be_held_is_called_at_once_all_the_same() -> None:
    call = earliest_call(begun(knit(2), "B1", 0.0, now_s=400.0))
    assert (call.batch, call.at_s) == ("B2", 400.0)


def test_what_no_moment_suits_is_forced_on_an_empty_site_with_what_would_help() -> None:
    call = earliest_call(separate(1, (HOPELESS,)))
    assert (call.at_s, call.forced, call.instead, call.reason.kind) == (0.0, True, "retarder", "finisher")


def test_an_order_rule_names_the_patch_that_waits() -> None:
    site = replace(begun(separate(2), "B1", 0.0, now_s=10.0), orders=(Order("P1", "P2", finished=True),))
    call = earliest_call(site)
    assert (call.at_s, call.reason.kind, call.reason.patch, call.instead) == (None, "order", "P2", "wait")


def test_with_nobody_to_mix_there_is_no_call() -> None:
    site = separate(1)
    call = earliest_call(replace(site, people=site.people[1:]))
    assert (call.at_s, call.reason.kind, call.instead) == (None, "crew", "people")


def test_when_all_is_called_the_call_is_done() -> None:
    assert earliest_call(begun(separate(1), "B1", 0.0, now_s=10.0)).reason.kind == "done"


def test_one_person_alone_goes_on_with_the_trowel_before_the_next_call() -> None:
    site = pour([batch("B1"), batch("B2")], [patch("P1", "B1"), patch("P2", "B2")], BOTH)
    call = earliest_call(begun(site, "B1", 0.0, now_s=185.0))
    assert call.batch == "B2"
    assert call.at_s is not None
    assert call.at_s >= 185.0


def test_margins_are_cut_to_what_a_patch_bears_alone_and_only_for_that_patch() -> None:
    tight = replace(ROOMY, working_s=200.0)
    site = pour([batch("B1", (tight,)), batch("B2")], [patch("P1", "B1"), patch("P2", "B2")])
    shares = bearable(site, Margins(0.2, 0.2))
    assert shares["P1"] < 0.25
    assert shares["P2"] == 1.0
    harder = Work(site, strain_of(site, Margins(0.2, 0.2), shares))
    assert harder.ready_s[1] == pytest.approx(144.0 + 20.0)  # mixed and carried
    assert harder.ready_s[0] < 130.0 + 20.0
    assert harder.options[1][0].working_s == pytest.approx(0.8 * ROOMY.working_s)
    assert harder.options[0][0].working_s > 0.95 * tight.working_s


def test_the_cut_follows_the_limits_as_they_stand() -> None:
    def share(stretch: float) -> float:
        limits = replace(ROOMY, working_s=200.0 * stretch)
        return bearable(separate(1, (limits,)), Margins(0.2, 0.2))["P1"]

    assert share(1.0) < share(1.2) < share(1.6) == 1.0


def test_what_is_begun_keeps_its_time_under_margins() -> None:
    site = begun(separate(2), "B1", 0.0, now_s=10.0)
    harder = Work(site, strain_of(site, Margins(0.2, 0.2)))
    assert harder.ready_s[0] == 120.0 + 20.0  # mixed and carried
    assert harder.ready_s[1] == pytest.approx(144.0 + 20.0)


def _standing() -> list[Problem]:
    problem = busy_pour(40, "knit")
    schedule = plan(problem, budget_evaluations=1)
    return [part_way(problem, schedule, 600.0 + 45.0 * n) for n in range(12)]


def test_asking_twice_is_the_same_and_no_call_lies_in_the_past() -> None:
    for standing in _standing():
        bold, careful = earliest_call(standing), earliest_call(standing, Margins(0.1, 0.1, 20.0))
        assert bold == earliest_call(standing)
        assert isinstance(careful, Call)
        assert careful.at_s is None or careful.at_s >= standing.now_s
