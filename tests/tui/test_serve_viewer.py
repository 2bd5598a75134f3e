"""A viewer's own process: what it draws into its pipe, what it does not listen to, and that it never outlives its server."""

from __future__ import annotations

import asyncio
import os
import re
import select
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("aiohttp")
pytest.importorskip("textual_serve")

import pyte
from aiohttp import ClientSession
from aiohttp.test_utils import unused_port

from engine import console
from engine.clock import HandClock
from tests.tui.days import WORDS
from tests.tui.test_following import JOB, MORNING
from tui.serve.child import ROOT, Child, environment, start_child
from tui.serve.packets import GREETING, pictures, resized
from tui.serve.viewer import board_of, no_keys

PATIENCE_S = 10.0
LINUX = pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "day.jsonl"
    console.open_session(JOB, WORDS, log=path, clock=HandClock(MORNING)).close()
    return path


async def shown(child: Child, size: tuple[int, int], wanted: str) -> str:
    """What a terminal shows of what the child draws, once something is on it."""
    screen = pyte.Screen(*size)
    stream = pyte.ByteStream(screen)
    async with asyncio.timeout(PATIENCE_S):
        async for drawn in child.pictures():
            stream.feed(re.sub(rb"\x1b\[\?[0-9;]*\$p", b"", drawn))
            if wanted in (text := "\n".join(screen.display)):
                return text
    raise AssertionError("\n".join(screen.display))


async def test_it_draws_the_board_without_a_key_on_it_and_ends_when_told(log: Path) -> None:
    before = log.read_bytes()
    child = await start_child((str(log), "sun", "en"), (80, 24))
    text = await shown(child, (80, 24), "reading along")
    for hint in ("1-9", "panels", "help", "leave", ": seen"):
        assert hint not in text
    await child.stop()
    assert not await child.failed()
    assert log.read_bytes() == before


async def test_a_log_that_cannot_be_read_is_told_by_the_exit_code(tmp_path: Path) -> None:
    child = await start_child((str(tmp_path / "none.jsonl"), "sun", "en"), (80, 24))
    async with asyncio.timeout(PATIENCE_S):
        assert [drawn async for drawn in child.pictures()]
    assert await child.failed()
    await child.stop()


def test_it_is_told_next_to_nothing_of_the_world(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("A_SECRET", "x")
    assert set(environment((48, 46))) == {
        "COLUMNS",
        "ROWS",
        "LC_ALL",
        "PYTHONPATH",
        "TEXTUAL_COLOR_SYSTEM",
    }
    assert environment((48, 46))["COLUMNS"] == "48"


def test_no_key_is_bound_and_none_is_named(log: Path) -> None:
    assert not no_keys().live
    assert not any(no_keys().keys.values())
    assert board_of(log, "sun", "en").driver_class.__name__ == "Window"


async def read(sent: bytes) -> list[bytes]:
    pipe = asyncio.StreamReader()
    pipe.feed_data(sent)
    pipe.feed_eof()
    return [drawn async for drawn in pictures(pipe)]


async def test_only_what_is_drawn_goes_to_a_viewer() -> None:
    drawn, told = b"D\0\0\0\3abc", resized((48, 46))
    assert await read(b"warning\n" + GREETING + drawn + told + drawn) == [b"abc", b"abc"]
    assert await read(GREETING + drawn + b"D\0\0\0\3ab") == [b"abc"]
    assert await read(GREETING + b"D\xff\xff\xff\xff" + drawn) == []
    assert await read(b"no greeting" + drawn) == []


PARENT = """
import subprocess, sys
child = subprocess.Popen([sys.executable, "-P", "-m", "tui.serve.viewer", sys.argv[1], "sun", "en"], stdin=subprocess.PIPE)
child.wait()
"""


def read_until(pipe: Any, wanted: bytes | None) -> bytes:
    """What comes out of a pipe until something is in it, or until its last writer is gone."""
    came, limit = b"", time.monotonic() + PATIENCE_S
    while wanted is None or wanted not in came:
        ready, _, _ = select.select([pipe], [], [], max(0.0, limit - time.monotonic()))
        assert ready and time.monotonic() < limit, "it did not come"  # noqa: PT018
        chunk = os.read(pipe.fileno(), 1 << 16)
        if not chunk:
            break
        came += chunk
    return came


@LINUX
def test_it_ends_when_its_server_is_killed(log: Path) -> None:
    """The pipe it writes to is held by nobody else: its end says that the process is gone."""
    server = subprocess.Popen(
        [sys.executable, "-c", PARENT, str(log)], stdout=subprocess.PIPE, env=environment((80, 24))
    )
    with server:
        assert GREETING in read_until(server.stdout, b"\x1b[?1049h")
        server.send_signal(signal.SIGKILL)
        server.wait()
        read_until(server.stdout, None)


@LINUX
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
async def test_the_server_ends_in_good_order_within_two_seconds_with_a_viewer_on(
    log: Path, number: signal.Signals
) -> None:
    port = unused_port()
    server = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "tui", "serve", str(log), "--port", str(port)),
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.PIPE,
        env={"PYTHONPATH": str(ROOT), "LC_ALL": "C.UTF-8"},
    )
    assert server.stdout is not None
    link = (await server.stdout.readline()).decode().split()[-1]
    async with ClientSession() as browser:
        async with browser.get(link) as answer:
            cookie = {"board-" + str(port): answer.cookies["board-" + str(port)].value}
        heads = {"Origin": f"http://127.0.0.1:{port}"}
        async with ClientSession(cookies=cookie) as seated:
            socket = await seated.ws_connect(f"http://127.0.0.1:{port}/ws", headers=heads)
            await socket.receive_bytes()
            server.send_signal(number)
            _, wrong = await asyncio.wait_for(server.communicate(), 2.0)
            await socket.close()
    assert (server.returncode, wrong) == (0, b"")
