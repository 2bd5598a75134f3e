"""What each verb of the command line takes and does. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from engine.errors import BadInput, Problem

DONE, NO, BAD = 0, 1, 2
JSON_HELP = "stable keys, SI units in their names, ISO times"


@dataclass(frozen=True)
class Verb:
    """A verb: what it is about, an example, its options, and what it does."""

    name: str
    about: str
    example: str
    options: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def _look_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--look", choices=("light", "dark"), default="light", help="light for sun, dark for shade"
    )
    verb.add_argument("--ascii", action="store_true", help="no block figures, for plain terminals")


def _run_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", nargs="?", type=Path, metavar="JOB", help="job file; left out: the demo job")
    verb.add_argument("--log", type=Path, help="write to, or go on with, this log")
    verb.add_argument("--new", action="store_true", help="begin a fresh log although today's exists")
    _look_options(verb)


def _rehearse_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", nargs="?", type=Path, metavar="JOB", help="job file; left out: the demo job")
    verb.add_argument("--speed", type=_speed, default=10.0, help="times the pace of a clock, 0.1 to 600")
    verb.add_argument("--seed", type=_seed, default=1, help="which made-up day; the same seed, the same day")
    verb.add_argument("--own-keys", action="store_true", help="no crew at the keys: press them yourself")
    verb.add_argument("--days", type=_days, help="so many days without a screen, and what came of them")
    verb.add_argument("--log", type=Path, help="write to this new log")
    _look_options(verb)
    verb.add_argument("--json", action="store_true", help="of --days: " + JSON_HELP)


def _speed(text: str) -> float:
    """Of the command line. Raises `ArgumentTypeError`."""
    try:
        speed = float(text)
    except ValueError:
        speed = 0.0
    if not 0.1 <= speed <= 600.0:
        raise argparse.ArgumentTypeError(f"{text}: a speed from 0.1 to 600 times the pace")
    return speed


def _seed(text: str) -> int:
    """Of the command line. Raises `ArgumentTypeError`."""
    if not text.isdecimal():
        raise argparse.ArgumentTypeError(f"{text}: the number of a made-up day, 0 or more")
    return int(text)


def _days(text: str) -> int:
    """Of the command line. Raises `ArgumentTypeError`."""
    if not text.isdecimal() or not 1 <= int(text) <= 10_000:
        raise argparse.ArgumentTypeError(f"{text}: a number of days from 1 to 10000")
    return int(text)


def _check_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", type=Path, metavar="JOB")
    verb.add_argument(
        "--hours", action="store_true", help="working time and opening of each pour, hour by hour"
    )
    verb.add_argument(
        "--safety", action="store_true", help="cautions at the start of the day, weights, dust, heat, checks"
    )
    verb.add_argument("--load", action="store_true", help="the load-out list, and what a missing item blocks")
    verb.add_argument(
        "--mix-temperature", metavar="TEMP", help='the water that brings the mix to it, such as "65 degF"'
    )
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _choices_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", type=Path, metavar="JOB")
    verb.add_argument(
        "--days", type=int, default=100, help="rehearsed days of every choice; interrupt at any time"
    )
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _returns_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument("-o", dest="out", type=Path, metavar="FILE", help="write the days agreed as a calendar")
    verb.add_argument("--json", action="store_true", help="the list as JSON")


def _enter_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", type=Path, metavar="JOB")
    verb.add_argument(
        "notes", type=Path, metavar="NOTES", help="CSV with the columns time,what,which,who,value"
    )
    verb.add_argument("-o", dest="out", type=Path, required=True, metavar="LOG", help="the log to write")
    verb.add_argument("--json", action="store_true", help="say what was written as JSON")


def _status_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument("--at", metavar="TIME", help="15:20, 15:20:05, 27:30 or an ISO time; left out: now")
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _replay_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument("--text", action="store_true", required=True, help="as a readable list")
    verb.add_argument("--json", action="store_true", help="the list as JSON")


def _answer(asked: argparse.Namespace, found: object, text: Callable[[], str]) -> None:
    """What was found, as JSON where that is asked for, else in words."""
    plain = json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False) if asked.json else text()
    print(plain)


def _check(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_plan import plan_text

    said = console.words()
    plan = console.check(asked.job, said, hours=asked.hours, mix_temperature=asked.mix_temperature)
    _answer(asked, plan, lambda: plan_text(plan, load=asked.load, safety=asked.safety))
    return DONE if plan["feasible"] else NO


def _enter(asked: argparse.Namespace) -> int:
    from engine import console

    lines = console.enter(asked.job, asked.notes, asked.out, console.words())
    _answer(asked, {"log": str(asked.out), "lines": lines}, lambda: f"{asked.out}: {lines} lines")
    return DONE


def _status(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_status import status_text

    said = console.words()
    found = console.status(asked.log, asked.at, said)
    _answer(asked, found, lambda: status_text(found))
    return DONE


def _choices(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_choices import choices_text

    def told(done: int, days: int) -> None:
        print(f"\r{done} of {days} days", end="", file=sys.stderr, flush=True)

    watched = sys.stderr.isatty()
    found = console.choices(asked.job, console.words(), max(0, asked.days), told if watched else _silent)
    if watched:
        print(file=sys.stderr)
    _answer(asked, found, lambda: choices_text(found))
    return DONE


def _silent(_done: int, _days: int) -> None:
    """Nobody watches."""


def _returns(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.speech import visit_line

    visits = console.returns(asked.log, console.words(), asked.out)
    _answer(asked, visits, lambda: "\n".join(map(visit_line, visits)) or "nothing is due")
    return DONE


def _replay(asked: argparse.Namespace) -> int:
    from engine import console

    said = console.words()
    entries = console.replay_list(asked.log, said)
    _answer(asked, entries, lambda: console.replay_text(entries, said))
    return DONE


def _run(asked: argparse.Namespace) -> int:
    from tui.start import start

    return start(asked.job, log=asked.log, fresh=asked.new, look=asked.look, ascii_only=asked.ascii)


def _rehearse(asked: argparse.Namespace) -> int:
    if asked.days is None and asked.json:
        raise BadInput([Problem("", "--json", "", "it goes with --days N; the screen prints nothing")])
    if asked.days is None:
        from tui.start import rehearse

        return rehearse(
            asked.job,
            speed=asked.speed,
            seed=asked.seed,
            crewed=not asked.own_keys,
            log=asked.log,
            look=asked.look,
            ascii_only=asked.ascii,
        )
    from engine import console
    from tui.printed_choices import days_text

    found = console.rehearse(asked.job, console.words(), asked.days, asked.seed)
    _answer(asked, found, lambda: days_text(found))
    return DONE


VERBS = (
    Verb(
        "rehearse",
        "a made-up day on a faster clock, in a log of its own",
        "bagcall rehearse my-job.toml --speed 10 --seed 1",
        _rehearse_options,
        _rehearse,
    ),
    Verb(
        "choices",
        "what one change would do to a day: crew, stations, packets, water, hour, order",
        "bagcall choices my-job.toml --days 100",
        _choices_options,
        _choices,
    ),
    Verb("run", "drive a pour on the full screen", "bagcall run my-job.toml", _run_options, _run),
    Verb(
        "check", "read a job file, plan its day", "bagcall check my-job.toml --hours", _check_options, _check
    ),
    Verb(
        "enter",
        "write the log of a day kept by hand",
        "bagcall enter job.toml notes.csv -o day.jsonl",
        _enter_options,
        _enter,
    ),
    Verb(
        "status",
        "what a log says at a moment",
        "bagcall status day.jsonl --at 15:20",
        _status_options,
        _status,
    ),
    Verb(
        "replay",
        "a log again, as a list of its lines",
        "bagcall replay day.jsonl --text",
        _replay_options,
        _replay,
    ),
    Verb(
        "returns",
        "visits and looks still due, and their calendar",
        "bagcall returns day.jsonl -o returns.ics",
        _returns_options,
        _returns,
    ),
)
