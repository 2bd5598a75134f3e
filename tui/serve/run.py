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
from engine.words import Say, Words, say
from tui.serve.access import Access, new_access
from tui.serve.child import start_child
from tui.serve.code import code_of
from tui.serve.limits import SEATS
from tui.serve.place import Place
from tui.serve.server import CLOSING_S, QUIET, BoardServer
from tui.serve.statics import statics

ENDING_S = 1.5
IDLE_S = 15.0
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


def lines(name: str, place: Place, access: Access, said: Words, *, coded: bool) -> tuple[str, ...]:
    """What is printed once it is served: the link, its code, the cautions."""
    link = place.link(access.word)
    code = code_of(link) if coded and not place.only_here else ()
    return (*code, *(said(sentence) for sentence in sentences(name, place, link)))


def sentences(name: str, place: Place, link: str) -> tuple[Say, ...]:
    """Where, for whom, and what to beware of."""
    reach = say("serve.here") if place.only_here else say("serve.care")
    return say("serve.link", log=name, link=link), say("serve.seats", n=SEATS), reach, say("serve.end")


async def _until_told(server: BoardServer, told: Callable[[], None]) -> None:
    runner = web.AppRunner(
        server.app(), access_log=None, logger=QUIET, shutdown_timeout=CLOSING_S, keepalive_timeout=IDLE_S
    )
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
