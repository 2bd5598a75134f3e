"""How long ways out take with a long day still ahead: `python -m tests.bench.ways_out`. Prints, holds nobody to it.

The demo job three times over, worked as planned until a trouble; the loop of the planner's bench is printed beside it.
"""

from __future__ import annotations

import time
from dataclasses import replace

from engine.clock import HandClock, Timeline
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour.around.ways_out import ways_out
from engine.pour.events import DayOpened
from engine.pour.journal import open_journal
from engine.pour.needs import bags_needed
from engine.pour.reckoning import Moment
from engine.record.day import DayLog, Opened
from engine.rehearsal.days import HandDoor
from engine.rehearsal.fate import Fate
from engine.rehearsal.luck import AS_PLANNED
from engine.rehearsal.site import SiteCrew
from tests.bench.planner import calibration_ms
from tests.rehearsal.jobs import WORDS, shipped

TROUBLES = ("lost", "vessel", "MA", "F")
AFTER_S = (300.0, 900.0)


def long_job() -> Job:
    """Thirty-six bags and no promises."""
    job = shipped("community-hall")
    pours = tuple(replace(pour, id=f"{pour.id}{mark}", after=()) for mark in "abc" for pour in job.pours)
    stock = replace(job.stock, packets=100, bags=tuple((mix, 100.0) for mix, _ in job.stock.bags))
    return replace(job, pours=pours, targets=(), stock=stock)


def worked(job: Job, after_s: float, trouble: str) -> DayLog:
    """A day as planned until a trouble."""
    clock = HandClock(job.start)
    log = DayLog(Opened(open_journal(job), Timeline(), 0), clock, lambda _: None, WORDS)
    log.write_first(DayOpened(job, "bench"))
    door = HandDoor(log, clock)
    crew = SiteCrew(door, Fate(1, AS_PLANNED), job.start)
    while crew.next_at < job.start + after_s:
        crew.advance(crew.next_at)
    door.go(job.start + after_s)
    log.view()
    log.submit(_trouble(log, trouble))
    return log


def _trouble(log: DayLog, trouble: str) -> i.Intent:
    if trouble == "vessel":
        return i.LoseVessel("S1", "split")
    if trouble == "lost":
        return i.LoseBatch([batch for batch in log.journal.day.batches if batch.live][-1].id, "dropped")
    return i.MarkAway(trouble)


def main() -> None:
    """One line a trouble: the first look, and the middle of five more."""
    for after_s in AFTER_S:
        for trouble in TROUBLES:
            log = worked(long_job(), after_s, trouble)
            times = []
            for _ in range(6):
                began = time.perf_counter()
                found = ways_out(log.journal, Moment(log.journal.day, log.now()))
                times.append((time.perf_counter() - began) * 1e3)
            left = bags_needed(Moment(log.journal.day, log.now()))
            print(
                f"{trouble:6} after {after_s:4.0f} s, {left:2.0f} bags left: {len(found.ways)} ways, first {times[0]:4.0f} ms, "
                f"then {sorted(times[1:])[2]:4.0f} ms, loop {calibration_ms():3.0f} ms"
            )


if __name__ == "__main__":
    main()
