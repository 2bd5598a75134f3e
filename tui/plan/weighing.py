"""The process that weighs choices beside the screen: started when somebody looks at them, ended with the screen."""

from __future__ import annotations

import contextlib
import json
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

DAYS = 20
ENDS_IN_S = 1.0


class Weighing:
    """One run. Reading its tables waits, so it is done on a thread; `end` may be called from another."""

    def __init__(self, asked: str, days: int = DAYS) -> None:
        """Raises `OSError` where no process can be started."""
        self._asked = asked
        self._ended = False
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tui.plan.weigh", str(days)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            start_new_session=True,
        )

    def tables(self) -> Iterator[dict[str, Any]]:
        """Each table as it comes. Raises `OSError` where the process stopped by itself before its last one."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        with contextlib.suppress(BrokenPipeError), self._process.stdin as stdin:
            stdin.write(self._asked)
        with self._process.stdout as stdout:
            for line in stdout:
                yield json.loads(line)
        if self._process.wait() and not self._ended:
            raise OSError(f"it ended with {self._process.returncode}")

    def end(self) -> None:
        """Stop it, however far it is."""
        self._ended = True
        with contextlib.suppress(OSError):
            self._process.kill()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._process.wait(ENDS_IN_S)
