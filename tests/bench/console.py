"""What the live screen costs, seen from outside through a pseudo-terminal (Linux).

    python -m tests.bench.console [--seconds 20] [--keys 100] [--starts 5]

Twenty batches running and two hundred waiting: processor time and bytes of a steady minute at 80x24 and 200x60, key
press to changed screen, first paint and first pour shown beside the first paint of an empty app of the framework.
"""

from __future__ import annotations

import argparse
import re
import statistics
import tempfile
import time
from pathlib import Path
from random import Random

from tests.bench.busy_day import RUNNING, WAITING, write_busy_log
from tests.bench.planner import calibration_ms
from tests.bench.terminal import Watched, watch

SIZES = ((80, 24), (200, 60))
SETTLE_S = 4.0
BOUNDS = {
    "cpu % 80x24": 1.0,
    "cpu % 200x60": 2.0,
    "kB/s 80x24": 1.5,
    "kB/s 200x60": 5.0,
    "key p50 ms": 10.0,
    "key p99 ms": 50.0,
    "first paint / bare": 1.25,
    "first pour / bare": 2.5,
}
DOWN, UP, SPACE, BACKSPACE = b"\x1b[B", b"\x1b[A", b" ", b"\x7f"
TURNS = (DOWN, DOWN, UP, DOWN, UP, SPACE, BACKSPACE, DOWN, UP, UP)


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--keys", type=int, default=100)
    parser.add_argument("--starts", type=int, default=5)
    args = parser.parse_args()
    print(f"calibration loop: {calibration_ms():.0f} ms; {RUNNING} batches running, {WAITING} waiting")
    with tempfile.TemporaryDirectory() as folder:
        found = _starts(Path(folder), args.starts)
        for width, height in SIZES:
            found |= _steady(Path(folder), width, height, args.seconds)
        found |= _keys(Path(folder), args.keys)
    for name, value in found.items():
        bound = BOUNDS.get(name)
        judged = "" if bound is None else f"  bound {bound:g}  {'kept' if value <= bound else 'NOT KEPT'}"
        print(f"{name:<22}{value:10.2f}{judged}")


def _console(folder: Path, width: int, height: int) -> Watched:
    log = folder / "busy.jsonl"
    write_busy_log(log)
    return watch(["-m", "tui", "run", "--log", str(log)], width, height)


def _on(screen: list[str], pattern: str) -> bool:
    return any(re.search(pattern, line) for line in screen)


def _starts(folder: Path, count: int) -> dict[str, float]:
    """Bare and own starts in turn; medians."""
    bare, frame, pour = [], [], []
    for _ in range(count + 1):
        app = watch(["-m", "tests.bench.bare_app"], 80, 24)
        bare.append(app.read_until(lambda screen: _on(screen, "bare app")) - app.began_s)
        app.end()
        own = _console(folder, 80, 24)
        began = own.began_s
        frame.append(own.read_until(lambda screen: _on(screen, r"\S")) - began)
        pour.append(own.read_until(lambda screen: _on(screen, r"\bP\d+\b")) - began)
        own.end()
    # the first of each warms the file cache and the compiled files
    empty, first, shown = (statistics.median(times[1:]) for times in (bare, frame, pour))
    return {
        "bare app ms": empty * 1e3,
        "first paint / bare": first / empty,
        "first pour / bare": shown / empty,
    }


def _ready(app: Watched) -> None:
    app.read_until(lambda screen: _on(screen, r"\bP\d+\b"))
    app.send(DOWN)
    quiet_from = time.monotonic() + SETTLE_S
    while time.monotonic() < quiet_from:
        app.read(quiet_from)


def _steady(folder: Path, width: int, height: int, seconds: float) -> dict[str, float]:
    app = _console(folder, width, height)
    _ready(app)
    cpu, sent, began = app.cpu_s(), app.bytes_read, time.monotonic()
    while time.monotonic() < began + seconds:
        app.read(began + seconds, draw=False)
    took = time.monotonic() - began
    size = f"{width}x{height}"
    found = {
        f"cpu % {size}": (app.cpu_s() - cpu) / took * 100.0,
        f"kB/s {size}": (app.bytes_read - sent) / took / 1e3,
    }
    app.end()
    return found


def _told(screen: list[str]) -> tuple[str, ...]:
    """What a key changes: where the marker stands, and the message line, without its running times."""
    return (*(line[:1] for line in screen), re.sub(r"[\d:]+", "", screen[-2]))


def _answer_s(app: Watched, key: bytes) -> float:
    before = _told(app.screen.display)
    pressed = app.send(key)
    return app.read_until(lambda screen: _told(screen) != before) - pressed


def _keys(folder: Path, count: int) -> dict[str, float]:
    app, rng, took = _console(folder, 80, 24), Random(1), []
    _ready(app)
    for number in range(count):
        took.append(_answer_s(app, TURNS[number % len(TURNS)]) * 1e3)
        pause = time.monotonic() + rng.uniform(0.65, 0.9)
        while time.monotonic() < pause:
            app.read(pause)
    app.end()
    took.sort()
    return {
        "key p50 ms": statistics.median(took),
        "key p99 ms": took[int(0.99 * (len(took) - 1))],
        "key max ms": took[-1],
    }


if __name__ == "__main__":
    main()
