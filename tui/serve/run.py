"""Serves the board until it is told to end: says where and how, takes the signals, ends within two seconds."""

from __future__ import annotations

import asyncio
import contextlib
import signal
import sys
from collections.abc import Callable
from pathlib import Path

from aiohttp import web

from engine.clock import SystemClock
from engine.words import Words
from tui.serve.access import new_access
from tui.serve.child import start_child
from tui.serve.place import Place
from tui.serve.printed import lines
from tui.serve.server import RUNNING, BoardServer
from tui.serve.statics import statics

ENDING_S = 1.5
BACKLOG = 32


def serve(log: Path, place: Place, *, look: str, language: str, said: Words, coded: bool) -> int:
    """Serve the board of a log that is there; `coded`: the terminal can draw a code. Raises `OSError`."""
    clock, kept = SystemClock(), log.resolve()
    access = new_access(clock.stamp().wall)
    server = BoardServer(
        place,
        access,
        clock,
        lambda size: start_child((str(kept), look, language), size),
        statics(),
        said,
        title=log.stem,
        look=look,
        language=language,
    )

    def told() -> None:
        for line in lines(log.name, place, access, said, coded=coded):
            print(line, flush=True)

    asyncio.run(_until_told(server, told))
    return 0


async def _until_told(server: BoardServer, told: Callable[[], None]) -> None:
    runner = web.AppRunner(server.app(), **RUNNING)
    await runner.setup()
    try:
        end = _signalled()
        site = web.TCPSite(runner, str(server.place.address), server.place.port, backlog=BACKLOG)
        await site.start()
        told()
        await end.wait()
    finally:
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(runner.cleanup(), ENDING_S)
        server.kill()


def _signalled() -> asyncio.Event:
    """Set by whatever asks a program to end."""
    end = asyncio.Event()
    if sys.platform != "win32":
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            asyncio.get_running_loop().add_signal_handler(number, end.set)
    return end
