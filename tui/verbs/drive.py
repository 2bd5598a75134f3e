"""The full screen: a working day, or a made-up one. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from engine.errors import BadInput, Problem
from tui.verbs.verb import DONE, JSON_HELP, Verb, answer, look_options, sound_options


def _run_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", nargs="?", type=Path, metavar="JOB", help="job file; left out: the demo job")
    verb.add_argument("--log", type=Path, help="write to, or go on with, this log")
    verb.add_argument("--new", action="store_true", help="begin a fresh log although today's exists")
    look_options(verb)
    sound_options(verb)


def _rehearse_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", nargs="?", type=Path, metavar="JOB", help="job file; left out: the demo job")
    verb.add_argument("--speed", type=_speed, default=10.0, help="times the pace of a clock, 0.1 to 600")
    verb.add_argument("--seed", type=_seed, default=1, help="which made-up day; the same seed, the same day")
    verb.add_argument("--own-keys", action="store_true", help="no crew at the keys: press them yourself")
    verb.add_argument("--days", type=_days, help="so many days without a screen, and what came of them")
    verb.add_argument("--log", type=Path, help="write to this new log")
    look_options(verb)
    sound_options(verb)
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


def _run(asked: argparse.Namespace) -> int:
    from tui.start import start

    return start(
        asked.job,
        log=asked.log,
        fresh=asked.new,
        look=asked.look,
        ascii_only=asked.ascii,
        keys=asked.keys,
        language=asked.language,
        sound_command=asked.sound_command,
    )


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
            keys=asked.keys,
            language=asked.language,
            sound_command=asked.sound_command,
        )
    from engine import console
    from tui.printed_choices import days_text

    found = console.rehearse(asked.job, console.words(asked.language), asked.days, asked.seed)
    answer(asked, found, lambda: days_text(found))
    return DONE


RUN = Verb("run", "drive a pour on the full screen", "bagcall run my-job.toml", _run_options, _run)


REHEARSE = Verb(
    "rehearse",
    "a made-up day on a faster clock, in a log of its own",
    "bagcall rehearse my-job.toml --speed 10 --seed 1",
    _rehearse_options,
    _rehearse,
)
