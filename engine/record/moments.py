"""A moment as people name it: a time of day on the log's date, or an ISO time."""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from zoneinfo import ZoneInfo

from engine.errors import BadInput, Problem
from engine.job.model import Job

_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d)(?::([0-5]\d))?")


def moment_named(text: str, job: Job, file: Path) -> float:
    """Log time of `15:20`, `15:20:05`, `27:30` (hours from 24 on are the next day) or an ISO time.

    An ISO time without a zone is in the job's. Raises `BadInput` for anything else.
    """
    zone = ZoneInfo(job.zone)
    met = _CLOCK.fullmatch(text.strip())
    if met and int(met[1]) < 48:
        hours, minutes, seconds = int(met[1]), int(met[2]), int(met[3] or 0)
        day = datetime.date.fromisoformat(job.date) + datetime.timedelta(days=hours // 24)
        return datetime.datetime.combine(day, datetime.time(hours % 24, minutes, seconds), zone).timestamp()
    try:
        moment = datetime.datetime.fromisoformat(text.strip())
    except ValueError:
        accepted = "a time such as 15:20, 15:20:05, 27:30 or 2026-05-04T15:20:00"
        raise BadInput([Problem(str(file), "--at", f"{text!r:.40}", accepted)]) from None
    return (moment if moment.tzinfo else moment.replace(tzinfo=zone)).timestamp()
