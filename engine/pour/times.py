"""Log times as ISO text."""

from __future__ import annotations

import math
from datetime import UTC, datetime


def iso(at: float | None) -> str | None:
    """ISO 8601 in UTC, to the millisecond where it is not whole seconds; None and never stay None."""
    if at is None or math.isinf(at):
        return None
    moment = datetime.fromtimestamp(round(at, 3), UTC)
    text = moment.isoformat(timespec="milliseconds" if moment.microsecond else "seconds")
    return text.replace("+00:00", "Z")
