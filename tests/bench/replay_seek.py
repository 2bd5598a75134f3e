"""How quickly a replay stands anywhere in a ten-hour day of two thousand lines: seek, view and paint.

    python -m tests.bench.replay_seek [--seeks 60]

Random moments in random order, then the same moments again; a walk line by line; each beside the time of a fixed loop on
the same machine.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

from engine import console
from engine.clock import HandClock, Timeline
from engine.console import Replay
from engine.record.lines import FIRST_HASH, encode
from engine.record.written import line_of
from tests.bench.long_day import long_day, long_job
from tests.bench.planner import calibration_ms
from tui.paint.pen import Pen
from tui.replay.app import prepare
from tui.replay.replayed import Replayed

SIZE = (120, 36)


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeks", type=int, default=60)
    args = parser.parse_args()
    loop_ms = calibration_ms()
    print(f"calibration loop: {loop_ms:.0f} ms")
    with tempfile.TemporaryDirectory() as folder:
        _measure(_written(Path(folder) / "long.jsonl"), args.seeks, loop_ms)


def _written(log: Path) -> Path:
    previous, whole, timeline = FIRST_HASH, bytearray(), Timeline()
    for event in long_day(long_job()):
        timeline = timeline.seen(event.stamp)
        chunk, previous = encode(line_of(event, timeline.at(event.stamp)), previous)
        whole += chunk
    log.write_bytes(bytes(whole))
    return log


def _measure(log: Path, seeks: int, loop_ms: float) -> None:
    began = time.perf_counter()
    replay = console.open_replay(log, HandClock(0.0))
    opened_ms = (time.perf_counter() - began) * 1000.0
    past = replay.past
    print(f"opened {past.lines} lines of {(past.ends - past.begins) / 3600:.1f} h in {opened_ms:.0f} ms")
    screen = Replayed(replay, Pen(console.words()), "sun")
    rng = Random(1)
    moments = [rng.uniform(past.begins, past.ends) for _ in range(seeks)]
    _told("state alone, anywhere", [_state_ms(replay, at) for at in moments], loop_ms)
    _told(
        "anywhere at once", [_shown_ms(screen, lambda at=at: replay.go(at)) for at in moments[:12]], loop_ms
    )  # type: ignore[misc]
    began = time.perf_counter()
    prepare(replay)
    print(f"prepared in {time.perf_counter() - began:.1f} s, which the screen does behind itself")
    for name in ("anywhere, prepared", "the same again"):
        _told(name, [_shown_ms(screen, lambda at=at: replay.go(at)) for at in moments], loop_ms)  # type: ignore[misc]
    replay.go_to_line(past.lines // 2)
    _told("line by line", [_shown_ms(screen, lambda: replay.jump("line", 1)) for _ in range(seeks)], loop_ms)


def _state_ms(replay: Replay, at: float) -> float:
    began = time.perf_counter()
    replay.go(at)
    assert replay.journal.day is not None
    return (time.perf_counter() - began) * 1000.0


def _shown_ms(screen: Replayed, move: Callable[[], object]) -> float:
    began = time.perf_counter()
    move()
    screen.take_view()
    screen.lines(*SIZE)
    return (time.perf_counter() - began) * 1000.0


def _told(name: str, times: list[float], loop_ms: float) -> None:
    times = sorted(times)
    p50, p99 = times[len(times) // 2], times[min(len(times) - 1, len(times) * 99 // 100)]
    print(
        f"{name:22} p50 {p50:7.1f} ms, p99 {p99:7.1f} ms; of the loop {p50 / loop_ms:.2f} and {p99 / loop_ms:.2f}"
    )


if __name__ == "__main__":
    main()
