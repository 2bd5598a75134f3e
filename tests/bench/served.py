"""What viewers in browsers cost whoever writes the log: keys of a busy day timed alone and with all seats taken (Linux).

    python -m tests.bench.served [--keys 60] [--viewers 4]

Keys are timed as in `tests.bench.console`; the viewers' sockets are read by a process of their own.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from urllib.parse import urlsplit

import aiohttp

from tests.bench.busy_day import write_busy_log
from tests.bench.console import TURNS, _answer_s, _ready
from tests.bench.planner import calibration_ms
from tests.bench.terminal import ROOT, watch

PORT = 8799
READY_S = 4.0
GOING = 1001  # RFC 6455: the server goes away


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--keys", type=int, default=60)
    parser.add_argument("--viewers", type=int, default=4)
    parser.add_argument("--look-at", default="", help=argparse.SUPPRESS)
    args = parser.parse_args()
    if args.look_at:
        asyncio.run(_look(args.look_at, args.viewers))
        return
    print(f"calibration loop: {calibration_ms():.0f} ms")
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "busy.jsonl"
        for viewers in (0, args.viewers, 0, args.viewers):
            write_busy_log(log)
            with _served(log, viewers):
                took = _keys_ms(log, args.keys)
            print(
                f"{viewers} viewers: key p50 {statistics.median(took):6.2f} ms,"
                f" p90 {took[int(0.9 * (len(took) - 1))]:6.2f} ms, max {took[-1]:6.2f} ms"
            )


def _keys_ms(log: Path, count: int) -> list[float]:
    app, rng, took = watch(["-m", "tui", "run", "--log", str(log)], 80, 24), Random(1), []
    _ready(app)
    for number in range(count):
        took.append(_answer_s(app, TURNS[number % len(TURNS)]) * 1e3)
        pause = time.monotonic() + rng.uniform(0.65, 0.9)
        while time.monotonic() < pause:
            app.read(pause)
    app.end()
    return sorted(took)


@contextmanager
def _served(log: Path, viewers: int) -> Iterator[None]:
    """The board of a log, looked at by so many."""
    if not viewers:
        yield
        return
    server = _started("-m", "tui", "serve", str(log), "--port", str(PORT))
    assert server.stdout is not None
    link = server.stdout.readline().split()[-1]
    looking = _started("-m", "tests.bench.served", "--look-at", link, "--viewers", str(viewers))
    time.sleep(READY_S)
    try:
        yield
    finally:
        cost = [_cpu_s(process) for process in (server.pid, *_children(server.pid))]
        began = time.monotonic()
        server.send_signal(signal.SIGTERM)
        server.wait()
        print(
            f"  processor s: server {cost[0]:.1f}, viewers {', '.join(f'{s:.1f}' for s in cost[1:])}",
            end="; ",
        )
        print(f"ended in {time.monotonic() - began:.2f} s")
        looking.wait()


def _started(*arguments: str) -> subprocess.Popen[str]:
    heads = os.environ | {"PYTHONPATH": str(ROOT)}
    return subprocess.Popen([sys.executable, *arguments], stdout=subprocess.PIPE, text=True, env=heads)


def _children(parent: int) -> list[int]:
    return [int(pid) for pid in Path(f"/proc/{parent}/task/{parent}/children").read_text().split()]


def _cpu_s(process: int) -> float:
    tasks = Path(f"/proc/{process}/task").iterdir()
    return sum(int((task / "schedstat").read_text().split()[0]) for task in tasks) / 1e9


async def _look(link: str, viewers: int) -> None:
    """Take a seat so many times and read whatever comes, until the server ends."""
    place = urlsplit(link)
    origin = f"http://{place.netloc}"
    async with aiohttp.ClientSession() as asking, asking.get(link) as answer:
        name, cookie = next(iter(answer.cookies.items()))
    async with aiohttp.ClientSession(cookies={name: cookie.value}) as seated:
        await asyncio.gather(*(_read(seated, origin) for _ in range(viewers)))


async def _read(seated: aiohttp.ClientSession, origin: str) -> None:
    address = f"{origin.replace('http', 'ws', 1)}/ws?width=48&height=46"
    async with seated.ws_connect(address, headers={"Origin": origin}) as socket:
        async for _ in socket:
            pass
        if socket.close_code != GOING:
            print(f"  a viewer was closed with {socket.close_code}", file=sys.stderr)


if __name__ == "__main__":
    main()
