"""The real program on bad lines and bad disks: stalls, stops, storms of sizes, broken keys, a second writer, no terminal.

Nothing here but the program's own command line, a pseudo-terminal, and the bytes of its log.
"""

from __future__ import annotations

import datetime
import fcntl
import json
import os
import resource
import select
import shutil
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pyte
import pytest

from engine.job.files import demo_job_path
from tests.bench.terminal import ROOT, Watched, watch

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="pseudo-terminals and /proc as on Linux")

WIDTH, HEIGHT = 80, 24


@contextmanager
def running(log: Path, **environment: str) -> Iterator[Watched]:
    """The console on the demo job, its day in sight."""
    arguments = ["-m", "tui", "run", str(demo_job_path()), "--log", str(log)]
    run = watch(arguments, WIDTH, HEIGHT, BAGCALL_LOGS=str(log.parent), NO_COLOR="1", **environment)
    try:
        see(run, "Times are estimates")
        yield run
    finally:
        run.end()


def see(run: Watched, text: str) -> None:
    run.read_until(lambda rows: any(text in row for row in rows))


def pass_time(run: Watched, seconds: float) -> None:
    """Read what comes for so long."""
    until = time.monotonic() + seconds
    while run.read(until):
        pass


def unread(seconds: float) -> None:
    """So long nothing is read."""
    select.select([], [], [], seconds)


def events(log: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in log.read_bytes().split(b"\n")[:-1]]


def notes(log: Path) -> list[str]:
    return [one["data"]["text"] for one in events(log) if one["kind"] == "note written"]  # type: ignore[index]


def until_kept(run: Watched, log: Path, count: int) -> None:
    end = time.monotonic() + 20.0
    while len(notes(log)) < count:
        assert time.monotonic() < end
        pass_time(run, 0.05)


def sized(run: Watched, width: int, height: int) -> None:
    fcntl.ioctl(run.descriptor, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))


def on_fresh_screen(run: Watched, width: int, height: int) -> None:
    run.screen = pyte.Screen(width, height)
    run.__post_init__()


def threads(run: Watched) -> int:
    return len(list(Path(f"/proc/{run.process}/task").iterdir()))


def test_keys_pressed_while_the_line_stalls_keep_their_own_time(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    with running(log) as run:
        for size in range(60):  # repaints nobody reads, until the program's own output waits
            sized(run, 60 + size, 20)
            unread(0.01)
        pressed = []
        for text in ("one", "two", "three"):
            unread(0.4)
            pressed.append(time.time())
            run.send(f"e{text}\r".encode())
        unread(0.6)
        came_before = len(notes(log))
        until_kept(run, log, 3)
        assert notes(log) == ["one", "two", "three"]
        walls = [one["wall"] for one in events(log) if one["kind"] == "note written"]
    assert came_before < 3, "the line did not stall"
    for wall, moment in zip(walls, pressed, strict=True):
        assert abs(datetime.datetime.fromisoformat(str(wall)).timestamp() - moment) < 0.3


def test_stopped_and_gone_on_four_times_leaves_no_thread_behind(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    with running(log) as run:
        run.send(b"ebefore\r")
        until_kept(run, log, 1)
        before = threads(run)
        for number in range(4):
            os.kill(run.process, signal.SIGSTOP)
            unread(0.05)
            os.kill(run.process, signal.SIGCONT)
            run.send(f"eafter {number}\r".encode())
            until_kept(run, log, 2 + number)
        assert threads(run) == before
        see(run, "note: after 3")


def test_an_arrow_key_cut_in_three_by_a_slow_line_is_one_arrow(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    with running(log) as run:
        run.send(b"ehere\r")
        see(run, "note: here")
        lines = len(events(log))
        for part in (b"\x1b", b"[", b"B"):
            run.send(part)
            pass_time(run, 0.1)
        run.send(b"ethere\r")
        see(run, "note: there")
        until_kept(run, log, 2)
        assert [one["data"] for one in events(log)[lines:]] == [{"text": "there", "where": "R2"}]
        assert not any("does nothing" in row or "arrow" in row for row in run.screen.display)


def test_two_hundred_sizes_in_a_second_leave_the_screen_whole(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    sizes = [(1 + (37 * n) % 200, 1 + (11 * n) % 60) for n in range(197)] + [(1, 1), (200, 1), (1, 60)]
    with running(log) as run:
        run.send(b" ")
        for width, height in sizes:
            sized(run, width, height)
            run.read(time.monotonic() + 0.005, draw=False)
        sized(run, WIDTH, HEIGHT)
        on_fresh_screen(run, WIDTH, HEIGHT)
        run.send(b"ewhole\r")
        until_kept(run, log, 1)
        sized(run, WIDTH, HEIGHT + 1)
        on_fresh_screen(run, WIDTH, HEIGHT + 1)
        see(run, "note: whole")
        see(run, "space" if "called" in str(events(log)) else "enter")


@pytest.mark.parametrize("environment", [{"TERM": "dumb"}, {"TERM": "unknown"}, {"TERM": ""}])
def test_a_terminal_that_cannot_draw_gets_one_plain_sentence(
    tmp_path: Path, environment: dict[str, str]
) -> None:
    log = tmp_path / "day.jsonl"
    run = watch(["-m", "tui", "run", "--log", str(log)], 200, 5, **environment)
    told = whole_output(run)
    assert told.startswith("this terminal (TERM=")
    assert "cannot draw a full screen" in told
    assert told.count("\n") == 1
    assert "\x1b" not in told
    assert ended(run) == 2
    assert not log.exists()


def whole_output(run: Watched) -> str:
    told = b""
    try:
        while chunk := os.read(run.descriptor, 1 << 16):
            told += chunk
    except OSError:
        pass
    return told.decode().replace("\r\n", "\n")


def ended(run: Watched) -> int:
    code = os.waitstatus_to_exitcode(os.waitpid(run.process, 0)[1])
    os.close(run.descriptor)
    return code


def test_output_to_a_pipe_gets_one_plain_sentence(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    done = subprocess.run(
        [sys.executable, "-m", "tui", "run", "--log", str(log)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("a full screen needs a terminal")
    assert done.stderr.count("\n") == 1
    assert not log.exists()


def test_a_second_run_is_told_who_writes_and_readers_go_on_reading(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    arguments = ["-m", "tui", "run", str(demo_job_path()), "--log", str(log)]
    with running(log) as first:
        first.send(b"ehere\r")
        until_kept(first, log, 1)
        second = watch(arguments, 200, 10)
        told = whole_output(second)
        assert f"is being written by process {first.process} (" in told
        assert "Traceback" not in told
        assert ended(second) == 1
        status = [sys.executable, "-m", "tui", "status", str(log), "--json"]
        assert subprocess.run(status, cwd=ROOT, capture_output=True, check=False).returncode == 0
        first.send(b"eand on\r")
        until_kept(first, log, 2)
    with running(log) as again:  # the first was killed
        again.send(b"eafter\r")
        until_kept(again, log, 3)
    assert notes(log) == ["here", "and on", "after"]


def test_a_full_disk_is_said_and_everything_is_written_once_there_is_room(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    with running(log) as run:
        run.send(b"ebefore\r")
        until_kept(run, log, 1)
        _, hard = resource.prlimit(run.process, resource.RLIMIT_FSIZE)
        resource.prlimit(run.process, resource.RLIMIT_FSIZE, (log.stat().st_size + 100, hard))
        run.send(b"eone\retwo\r")
        see(run, "Not kept yet: File too large")
        see(run, "log FOLDER")
        run.send(b"ethree\r")
        see(run, "note: three")
        assert notes(log) == ["before"]
        resource.prlimit(run.process, resource.RLIMIT_FSIZE, (hard, hard))
        run.send(b"efour\r")
        until_kept(run, log, 5)
        run.read_until(lambda rows: not any("Not kept yet" in row for row in rows))
    assert notes(log) == ["before", "one", "two", "three", "four"]


def test_a_removed_folder_is_said_and_the_day_goes_on_in_another(tmp_path: Path) -> None:
    log, there = tmp_path / "stick" / "day.jsonl", tmp_path / "other place"
    with running(log) as run:
        run.send(b"eone\r")
        until_kept(run, log, 1)
        shutil.rmtree(log.parent)
        run.send(b"etwo\r")
        see(run, "Not kept yet: No such file or directory")
        run.send(f"wlog {there}\r".encode())
        see(run, "The log now goes on in")
        run.send(b"ethree\r")
        until_kept(run, there / "day.jsonl", 3)
    assert notes(there / "day.jsonl") == ["one", "two", "three"]


@pytest.mark.parametrize("place", ["/proc/day.jsonl", "/dev/null/day.jsonl"])
def test_a_place_where_no_log_can_begin_is_one_sentence(place: str) -> None:
    run = watch(["-m", "tui", "run", str(demo_job_path()), "--log", place], 200, 10)
    told = whole_output(run)
    assert place.rpartition("/")[0] in told
    assert "Traceback" not in told
    assert ended(run) == 2


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_an_end_from_outside_leaves_the_log_whole(tmp_path: Path, name: str) -> None:
    log = tmp_path / "day.jsonl"
    arguments = ["-m", "tui", "run", str(demo_job_path()), "--log", str(log)]
    run = watch(arguments, WIDTH, HEIGHT, NO_COLOR="1")
    see(run, "Times are estimates")
    run.send(b"eone\retwo\r")
    see(run, "note: two")
    os.kill(run.process, getattr(signal, name))
    assert "Traceback" not in whole_output(run)
    assert ended(run) == 0
    assert notes(log) == ["one", "two"]
    assert log.read_bytes().endswith(b"\n")


def test_a_terminal_that_is_gone_ends_the_program_with_its_log_whole(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    arguments = ["-m", "tui", "run", str(demo_job_path()), "--log", str(log)]
    run = watch(arguments, WIDTH, HEIGHT, NO_COLOR="1")
    see(run, "Times are estimates")
    run.send(b"eone\retwo\r")
    see(run, "note: two")
    os.close(run.descriptor)  # as a window that is closed does
    assert os.waitstatus_to_exitcode(os.waitpid(run.process, 0)[1]) == 0
    assert notes(log) == ["one", "two"]
