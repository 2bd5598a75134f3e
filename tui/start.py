"""Opens the live screen: the terminal first, then the frame, then the files."""

from __future__ import annotations

import os
import sys
from pathlib import Path

BAD = 2
PLAIN_TERMINALS = ("", "dumb", "unknown")


def start(job: Path | None, *, log: Path | None, fresh: bool, look: str, ascii_only: bool) -> int:
    """Run the console on a job; its exit code. Files are read once the frame is painted."""
    if unfit := unfit_terminal(sys.stdin.isatty() and sys.stdout.isatty(), os.environ.get("TERM", "")):
        print(unfit, file=sys.stderr)
        return BAD
    os.environ["ESCDELAY"] = "300"  # a broken arrow key on a slow link must not come in as three keys
    from engine.job.files import read_words
    from engine.words import Words
    from tui.app import run
    from tui.session import Session

    said = Words(read_words("en"))

    def open_session() -> Session:
        from engine.console import open_session as opened

        return opened(job, said, log=log, fresh=fresh)

    title = job.stem if job else said("screen.demo")
    return run(open_session, title, said, look=look, ascii_only=ascii_only)


def unfit_terminal(interactive: bool, term: str) -> str:
    """Why a full screen cannot be drawn here; empty where it can."""
    if not interactive:
        return "bagcall run needs a terminal; without one, use bagcall check, enter and status"
    if term in PLAIN_TERMINALS:
        return f"this terminal (TERM={term or 'not set'}) cannot draw a full screen; use bagcall check, enter and status"
    return ""
