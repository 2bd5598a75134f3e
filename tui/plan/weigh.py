"""Choices weighed in a process of their own: what is asked comes in on stdin, a better table goes out line by line.

python -m tui.plan.weigh DAYS
"""

from __future__ import annotations

import os
import sys

from engine.console import choices_answered

GENTLER = 10  # than the screen, which must never wait for it


def main(days: int) -> None:
    """Answer until the days are over or nobody reads any more."""
    if hasattr(os, "nice"):
        os.nice(GENTLER)
    for table in choices_answered(sys.stdin.read(), days):
        print(table, flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]))
