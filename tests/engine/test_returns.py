"""What to come back for."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import card, job, rectangle
from site_days import SHIPPED, changed

from engine.job.returns import LOOKS, Return, first_spring, returns, still_due

DAY = datetime.date(2026, 11, 5)
POURS = [
    rectangle("P1", 24, 18, [2]),
    rectangle("P2", 24, 18, [2]),
    rectangle("P3", 24, 18, [2], visit=2),
    rectangle("P4", 24, 18, [2], visit=3),
]
JOB = job(POURS, [card()], SHIPPED)


def test_finished_work_is_looked_at_after_a_day_a_week_a_month_and_the_winter() -> None:
    found = returns(JOB, {"P1": DAY, "P2": DAY})
    assert [(visit.kind, visit.day, visit.pours) for visit in found] == [
        ("next day", datetime.date(2026, 11, 6), ("P1", "P2")),
        ("7 day", datetime.date(2026, 11, 12), ("P1", "P2")),
        ("28 day", datetime.date(2026, 12, 3), ("P1", "P2")),
        ("spring", datetime.date(2027, 4, 15), ("P1", "P2")),
        ("later pours", None, ("P3",)),
        ("later pours", None, ("P4",)),
    ]


def test_a_later_visit_has_the_day_agreed_and_its_pours_are_then_looked_at_too() -> None:
    agreed = {2: datetime.date(2026, 11, 9)}
    before = returns(JOB, {"P1": DAY}, agreed)
    assert Return("later pours", agreed[2], ("P3",), 2) in before
    after = returns(JOB, {"P1": DAY, "P3": agreed[2]}, agreed)
    assert [visit.pours for visit in after if visit.kind == "later pours"] == [("P4",)]
    assert Return("next day", datetime.date(2026, 11, 10), ("P3",)) in after
    assert [visit.day for visit in after if visit.kind == "spring"] == [datetime.date(2027, 4, 15)] * 2


def test_pours_of_a_split_are_looked_at_like_the_others() -> None:
    found = returns(JOB, {"P1": DAY, "P1b": DAY})
    assert found[0].pours == ("P1", "P1b")


@pytest.mark.parametrize(
    ("poured", "spring"),
    [
        ("2026-11-05", "2027-04-15"),
        ("2026-03-17", "2026-04-15"),
        ("2026-03-18", "2027-04-15"),  # 28 days end on the day itself
        ("2026-12-20", "2027-04-15"),
    ],
)
def test_the_first_spring_lies_behind_the_month(poured: str, spring: str) -> None:
    expected = datetime.date.fromisoformat(spring)
    assert first_spring(datetime.date.fromisoformat(poured), SHIPPED) == expected


@given(st.dates(datetime.date(2000, 1, 1), datetime.date(2090, 1, 1)))
def test_visits_come_in_order_and_spring_within_a_year_and_a_month(poured: datetime.date) -> None:
    days = [visit.day for visit in returns(JOB, {"P1": poured}) if visit.day]
    assert days == sorted(days)
    assert 28 < (days[-1] - poured).days <= 366 + 28


def test_a_job_may_keep_its_own_days() -> None:
    practice = changed(returns__week=5 * 86400.0, returns__spring_month=9.0, returns__spring_day=20.0)
    found = returns(job(POURS, [card()], practice), {"P1": DAY})
    assert found[1].day == datetime.date(2026, 11, 10)
    assert found[3].day == datetime.date(2027, 9, 20)


def test_what_is_done_is_no_longer_due_and_what_is_past_is_overdue() -> None:
    all_due = returns(JOB, {"P1": DAY})
    left = still_due(all_due, all_due[:1])
    assert left == all_due[1:]
    today = datetime.date(2026, 11, 13)
    assert [visit.kind for visit in left if visit.overdue(today)] == ["7 day"]
    assert not left[-1].overdue(today)  # no day agreed


def test_every_visit_says_what_to_do() -> None:
    for visit in returns(JOB, {"P1": DAY}):
        assert [task.key for task in visit.tasks] == [f"return.{name}" for name in LOOKS[visit.kind]]
        assert dict(visit.title.values)["pours"] == ", ".join(visit.pours)
