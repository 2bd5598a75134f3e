"""How many days of a job are rehearsed in a second, beside a fixed loop on the same machine.

    python -m tests.bench.rehearsed_days --days 100

One line a job: batches, processor seconds to plan it, processor milliseconds a day, days a second, what 300 days take, and
the time of a day over that of the loop. Times are of the processor, so that a busy machine misleads less.
"""

from __future__ import annotations

import argparse
import cProfile
import datetime
import pstats
import time
from pathlib import Path

from engine.job.files import configs_folder, read_job
from engine.job.model import Job
from engine.rehearsal.choices import Choice
from engine.rehearsal.weighed import Weighed, plan_of
from tests.bench.planner import calibration_ms

A_DAY = datetime.date(2026, 7, 2)
LIBRARY = Path(__file__).parents[1] / "data" / "scenarios" / "library" / "job.toml"
JOBS = (
    configs_folder() / "jobs" / "community-hall.toml",
    LIBRARY,
    configs_folder() / "jobs" / "rowing-club.toml",
)
PROFILED = 25  # lines of a profile


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("jobs", type=Path, nargs="*", default=JOBS)
    parser.add_argument("--days", type=int, default=100)
    parser.add_argument("--profile", action="store_true", help="where the time of the first job goes")
    args = parser.parse_args()
    loop_ms = min(calibration_ms() for _ in range(3))
    print(f"calibration loop {loop_ms:.0f} ms")
    for path in args.jobs:
        print(measured(read_job(path, A_DAY), args.days, loop_ms))
    if args.profile:
        _profile(planned(read_job(args.jobs[0], A_DAY)), args.days)


def planned(job: Job) -> Weighed:
    """The job as it is. Raises `SystemExit` where nothing can be planned."""
    row = plan_of(Choice("as_planned", 0.0, job))
    if row is None:
        raise SystemExit(f"{job.name}: there is nobody or nothing to work with")
    return row


def measured(job: Job, days: int, loop_ms: float) -> str:
    """One line."""
    began = time.process_time()
    row = planned(job)
    ready = time.process_time()
    row.rehearse(range(days))
    plan_s, days_s = ready - began, time.process_time() - ready
    day_ms = 1000.0 * days_s / days
    return (
        f"{job.name[:30]:<31}{len(row.problem.batches):>3} batches, planned in {plan_s:.2f} s; {day_ms:5.1f} ms a day, "
        f"{1000.0 / day_ms:4.0f} days a second, 300 days in {0.3 * day_ms:4.1f} s, {day_ms / loop_ms:.2f} loops a day"
    )


def _profile(row: Weighed, days: int) -> None:
    profile = cProfile.Profile()
    profile.runcall(row.rehearse, range(days))
    pstats.Stats(profile).sort_stats("tottime").print_stats(PROFILED)


if __name__ == "__main__":
    main()
