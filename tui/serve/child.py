"""One viewer's process: started with next to no environment, told its size, ended for certain."""

from __future__ import annotations

import asyncio
import contextlib
import sys
from asyncio.subprocess import DEVNULL, PIPE, Process
from collections.abc import AsyncIterator, Sequence
from pathlib import Path

from tui.serve.limits import Size
from tui.serve.packets import pictures, resized

ROOT = Path(__file__).parents[2]  # what the program is imported from
PATIENCE_S = 0.5
UNREADABLE = 2  # what a viewer's process says with its exit code


class Child:
    """A process that draws the board into its standard output, and ends when its standard input does."""

    def __init__(self, process: Process) -> None:
        self._process = process

    async def pictures(self) -> AsyncIterator[bytes]:
        """What it draws, until it ends."""
        if self._process.stdout is not None:
            async for drawn in pictures(self._process.stdout):
                yield drawn

    def resize(self, size: Size) -> None:
        """Tell it the size of the window, in cells."""
        if self._process.stdin is not None and not self._process.stdin.is_closing():
            self._process.stdin.write(resized(size))

    async def failed(self) -> bool:
        """Whether it ended by itself because the log cannot be read."""
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._process.wait(), PATIENCE_S)
        return self._process.returncode == UNREADABLE

    async def stop(self) -> None:
        """End it, by force where it takes longer than half a second."""
        if self._process.stdin is not None:
            self._process.stdin.close()
        try:
            await asyncio.wait_for(self._process.wait(), PATIENCE_S)
        except (TimeoutError, asyncio.CancelledError):
            self.kill()
            await self._process.wait()

    def kill(self) -> None:
        """End it at once."""
        with contextlib.suppress(ProcessLookupError):
            self._process.kill()


def environment(size: Size) -> dict[str, str]:
    """All that a viewer's process is told of the world."""
    return {
        "COLUMNS": str(size[0]),
        "ROWS": str(size[1]),
        "LC_ALL": "C.UTF-8",
        "PYTHONPATH": str(ROOT),
        "TEXTUAL_COLOR_SYSTEM": "truecolor",
    }


async def start_child(arguments: Sequence[str], size: Size) -> Child:
    """Start the viewer's program with these arguments. Raises `OSError`."""
    command = (sys.executable, "-P", "-m", "tui.serve.viewer", *arguments)
    process = await asyncio.create_subprocess_exec(
        *command, stdin=PIPE, stdout=PIPE, stderr=DEVNULL, env=environment(size)
    )
    return Child(process)
