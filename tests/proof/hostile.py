"""Ten thousand hostile files: `python -m tests.proof.hostile --files 10000 --seed 1`.

A child runs every verb on them under limits of work and memory; where it dies, that file is a finding and another child
goes on behind it. Findings are printed as they come, files kept where `--keep` names a folder; exit code 1 where any is.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

WORK_S = 20  # of the processor, for one file and all that is run on it
MEMORY = 200 * 1024 * 1024  # resident, the program itself included


def main() -> int:
    asked = _asked()
    if asked.child:
        return _child(asked)
    told = Told()
    for number, answer in _answers(asked):
        told.take(number, answer, asked)
    print(told.sums())
    return 1 if told.findings else 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=0, help="the number of the first file")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="a folder for the files of findings")
    parser.add_argument("--seconds", type=float, default=1e9, help="leave off after so many, and say where")
    parser.add_argument("--child", action="store_true", help=argparse.SUPPRESS)
    return parser.parse_args()


def _answers(asked: argparse.Namespace) -> Iterator[tuple[int, dict[str, Any]]]:
    """What the child says of each file, or how it died of it."""
    number, last, began = asked.first, asked.first + asked.files, time.monotonic()
    while number < last:
        with _started(asked, number, last - number) as child:
            assert child.stdout is not None
            for line in child.stdout:
                yield number, json.loads(line)
                number += 1
                if time.monotonic() - began > asked.seconds:
                    print(f"left off; go on with --first {number}")
                    child.kill()
                    return
        if number < last:
            yield number, {"kind": "died", "wrong": [f"the child ended with {child.returncode}"], "codes": []}
            number += 1


def _started(asked: argparse.Namespace, first: int, files: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tests.proof.hostile", "--child", "--seed", str(asked.seed)]
    command += ["--first", str(first), "--files", str(files)]
    home = {"BAGCALL_LOGS": tempfile.gettempdir(), "LC_ALL": "C.UTF-8", "PATH": os.environ["PATH"]}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=home)


@dataclass
class Told:
    """What came of the files so far."""

    kinds: Counter[str] = field(default_factory=Counter)
    codes: Counter[str] = field(default_factory=Counter)
    findings: list[int] = field(default_factory=list)
    peak_kb: int = 0
    longest: tuple[float, int] = (0.0, -1)

    def take(self, number: int, answer: dict[str, Any], asked: argparse.Namespace) -> None:
        self.kinds[answer["kind"]] += 1
        self.codes.update(answer["codes"])
        self.peak_kb = max(self.peak_kb, answer.get("peak_kb", 0))
        self.longest = max(self.longest, (answer.get("work_s", 0.0), number))
        if answer["wrong"]:
            self.findings.append(number)
            print(f"--- file {number} ({answer['kind']})", *answer["wrong"], sep="\n", flush=True)
            if asked.keep:
                remade(asked.seed, number, asked.keep / str(number))

    def sums(self) -> str:
        lines = [f"{sum(self.kinds.values())} files, {len(self.findings)} findings {self.findings}"]
        lines += [f"  {kind}: {count}" for kind, count in sorted(self.kinds.items())]
        lines += [f"  exit code of {what}: {count}" for what, count in sorted(self.codes.items())]
        lines.append(
            f"most memory {self.peak_kb // 1024} MB; most work {self.longest[0]:.1f} s, file {self.longest[1]}"
        )
        return "\n".join(lines)


def remade(seed: int, number: int, folder: Path) -> None:
    """The files of a case, to be looked at."""
    from tests.proof.hostile_cases import made

    folder.mkdir(parents=True, exist_ok=True)
    print(made(seed, number, folder).runs)


def _child(asked: argparse.Namespace) -> int:
    from tests.proof.hostile_cases import made

    _warm()
    _limit_memory()
    for number in range(asked.first, asked.first + asked.files):
        folder = Path(tempfile.mkdtemp(prefix="hostile-"))
        before_s = time.process_time()
        _limit_work(WORK_S)
        try:
            os.chdir(folder)
            answer = judged(made(asked.seed, number, folder), folder)
        finally:
            os.chdir("/")
            shutil.rmtree(folder)
        answer["work_s"] = round(time.process_time() - before_s, 3)
        answer["peak_kb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print(json.dumps(answer), flush=True)
    return 0


def judged(case: Any, folder: Path) -> dict[str, Any]:
    """What is wrong with each run on a case."""
    from tests.proof.hostile_run import prepared, ran, wrong_with

    prepared(case, folder)
    wrong, codes = [], []
    for arguments in case.runs:
        ended = ran(arguments)
        codes.append(f"{case.kind}, {arguments[0]}: {ended.code}")
        if fault := wrong_with(ended, arguments, case):
            wrong.append(f"{' '.join(arguments)}: {fault}")
    return {"kind": case.kind, "codes": codes, "wrong": wrong}


def _warm() -> None:
    """Everything loaded that a verb loads, before memory is counted."""
    from tests.proof.hostile_cases import LOGS
    from tests.proof.hostile_run import ran

    for arguments in (("check", "configs/jobs/community-hall.toml"), ("status", str(LOGS[0])), ("keys",)):
        assert ran(arguments).code == 0, arguments


def _limit_memory() -> None:
    """So much address space that no more than `MEMORY` can be resident."""
    page = resource.getpagesize()
    size, resident = (int(n) * page for n in Path("/proc/self/statm").read_text().split()[:2])
    limit = size + MEMORY - resident
    resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _limit_work(seconds: int) -> None:
    """Ends the process, by a signal it does not catch, once it has worked so much longer."""
    signal.signal(signal.SIGXCPU, signal.SIG_DFL)
    used = resource.getrusage(resource.RUSAGE_SELF)
    limit = int(used.ru_utime + used.ru_stime) + 1 + seconds
    resource.setrlimit(resource.RLIMIT_CPU, (limit, resource.RLIM_INFINITY))


if __name__ == "__main__":
    sys.exit(main())
