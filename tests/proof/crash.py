"""Kills the program at random moments: what its screen showed as kept is in the log, and the day opens as the log says.

`python -m tests.proof.crash --kills 500 --seed 1` works the shipped demo job in a terminal of its own, presses keys and
sends SIGKILL. Afterwards the log is read with nothing of the engine but its bytes: plain JSON, a line each. A kill
leaves what was handed to the system where it is; that lines are flushed before they are told is held elsewhere.
"""

from __future__ import annotations

import argparse
import random
import shutil
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from engine import console
from engine.console.ground import read_day
from engine.job.files import demo_job_path
from engine.pour.journal import fold
from tests.bench.terminal import Watched, watch
from tests.proof.kept import Seen, missing, rows_of, shows_work

WIDTH, HEIGHT = 120, 36
LOG_LASTS = 12  # kills until a fresh log
FIRST_PAINT_S = 20.0
PIECE_S = 0.02  # between the pieces of one paint
REST_S = 0.1  # for the rest of the first one
KEYS = (*[b" "] * 5, *[b"\r"] * 4, b"\x7f", b"r", b"\x1b[D", b"o", b"1", b"w")
LOOKS_S = (0.0, 0.02, 0.1, 0.65, 0.65)  # a key pressed twice within 0.6 s counts once
WORDS = console.words()


@dataclass
class Tally:
    """What came of it. `faults` are sentences, each with the kill it belongs to."""

    kills: int = 0
    early: int = 0  # before the day was on the screen
    torn: int = 0
    presses: int = 0
    claims: int = 0
    lines: int = 0
    faults: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.kills} kills ({self.early} before the first view, {self.torn} torn tails), "
            f"{self.presses} presses, {self.claims} events shown as kept, {self.lines} lines; "
            f"{len(self.faults)} faults"
        )


class Hand:
    """Somebody at the keys of one run, who sees the screen after every chunk that comes."""

    def __init__(self, log: Path, rng: random.Random) -> None:
        self.rng, self.seen, self.presses = rng, Seen(), 0
        arguments = ["-m", "tui", "run", str(demo_job_path()), "--log", str(log)]
        self.run: Watched = watch(arguments, WIDTH, HEIGHT, BAGCALL_LOGS=str(log.parent), NO_COLOR="1")

    def look(self, for_s: float) -> None:
        """Take what comes, and note what stands as kept once a whole paint is there: it comes in several pieces."""
        until = time.monotonic() + for_s
        while self.run.read(until):
            while self.run.read(time.monotonic() + PIECE_S):
                pass
            self.seen.look(self.run.screen.display)

    def draw(self, for_s: float) -> None:
        """Take what comes, and note nothing of it."""
        until = time.monotonic() + for_s
        while self.run.read(until):
            pass

    def wait_for_rows(self) -> bool:
        """Until the running work is on the screen; whether it came. A first page goes with the first key."""
        until = time.monotonic() + FIRST_PAINT_S
        begun = False
        while not shows_work(display := self.run.screen.display):
            if not begun and any("Times are estimates" in row for row in display):
                begun = True
                self.press(b"9")
            if not self.run.read(until):
                return False
        self.draw(REST_S)
        return True

    def press(self, keys: bytes) -> None:
        self.run.send(keys)
        self.presses += 1

    def work(self, number: int) -> None:
        """A few presses at the pace of a hurried hand; notes carry the number of the kill."""
        for step in range(self.rng.randrange(1, 8)):
            if self.rng.random() < 0.3:
                self.press(f"ekill {number} note {step}\r".encode())
            else:
                key = self.rng.choice(KEYS)
                self.press(key + b"air 53 sun\r" if key == b"w" else key)
            self.look(self.rng.choice(LOOKS_S))


def kill_once(log: Path, rng: random.Random, number: int, tally: Tally) -> None:
    """One run on a log, killed; what is wrong goes to the tally."""
    before = log.read_bytes() if log.exists() else b""
    hand = Hand(log, rng)
    early = rng.random() < 0.15
    try:
        if early:
            hand.draw(rng.uniform(0.05, 1.2))
        elif not hand.wait_for_rows():
            tally.faults.append(f"kill {number}: the day never came on the screen")
        else:
            opened = rows_of(hand.run.screen.display)
            wrong = [row for row in opened if row.key not in before.decode()]
            tally.faults += [
                f"kill {number}: row {row} is not in the log it was opened from" for row in wrong
            ]
            hand.seen.begin(hand.run.screen.display)
            hand.work(number)
    except OSError:
        told = " ".join(" ".join(hand.run.screen.display).split())
        tally.faults.append(f"kill {number}: the program ended by itself: {told[:300]}")
    finally:
        hand.run.end()
    tally.kills, tally.early = tally.kills + 1, tally.early + early
    tally.presses += hand.presses
    judge(log, before, hand.seen, number, tally)


def judge(log: Path, before: bytes, seen: Seen, number: int, tally: Tally) -> None:
    """Hold the file to what the screen showed, and the day as opened to the file."""
    after = log.read_bytes() if log.exists() else b""
    if not after.startswith(before[: before.rfind(b"\n") + 1]):
        tally.faults.append(f"kill {number}: lines kept before are no longer in the file")
    lost = missing(seen.claims, after[len(before) :] if after.startswith(before) else after)
    tally.faults += [f"kill {number}: {claim} was shown as kept and is not in the log" for claim in lost]
    tally.faults += [
        f"    {line}" for line in (*seen.story, *after[len(before) :].decode().split("\n")) if lost
    ]
    tally.claims += len(seen.claims)
    if after.count(b"\n"):
        tally.torn += not after.endswith(b"\n")
        tally.faults += [f"kill {number}: {fault}" for fault in opened_otherwise(log)]


def opened_otherwise(log: Path) -> list[str]:
    """Where a copy of the log opens as another day than its lines tell, or is not whole up to a torn end."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / log.name
        shutil.copyfile(log, copy)
        job, events, _ = read_day(copy)
        session = console.open_session(None, WORDS, log=copy)
        opened = session.journal.day
        session.close()
        whole = copy.read_bytes()
    faults = [] if opened == fold(job, events).day else ["the day opened is not the fold of its lines"]
    if not log.read_bytes().startswith(whole):
        faults.append("opening the log changed its lines")
    return faults


def run(kills: int, seed: int, folder: Path) -> Tally:
    """So many kills, on a fresh log every few of them."""
    rng, tally = random.Random(seed), Tally()
    for number in range(kills):
        log = folder / f"day-{seed}-{number // LOG_LASTS}.jsonl"
        kill_once(log, rng, number, tally)
        if (number + 1) % LOG_LASTS == 0 or number == kills - 1:
            tally.lines += log.read_bytes().count(b"\n") if log.exists() else 0
            print(f"seed {seed}: {tally}", flush=True)
    return tally


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tally = run(asked.kills, asked.seed, Path(folder))
    print("\n".join([str(tally), *tally.faults]))
    return 1 if tally.faults else 0


if __name__ == "__main__":
    raise SystemExit(main())
