"""A job before its day, and whether a log is whole. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from engine.errors import BadInput, Problem
from tui.verbs.verb import DONE, JSON_HELP, NO, Verb, answer

OF_A_JOB = ("hours", "safety", "load", "mix_temperature")  # options of `check` that a log has no answer to


def _check_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("file", type=Path, metavar="FILE", help="a job file, or a log")
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


def _check(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_plan import plan_text

    said = console.words(asked.language)
    if console.is_log(asked.file):
        return _verify(asked)
    plan = console.check(asked.file, said, hours=asked.hours, mix_temperature=asked.mix_temperature)
    answer(asked, plan, lambda: plan_text(plan, load=asked.load, safety=asked.safety))
    return DONE if plan["feasible"] else NO


def _verify(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_verified import verified_text

    _refuse_with_a_log(asked)
    found = console.verify(asked.file, console.words(asked.language))
    answer(asked, found, lambda: verified_text(found))
    return DONE if found["whole"] else NO


def _refuse_with_a_log(asked: argparse.Namespace) -> None:
    """Raises `BadInput` for every option that asks for a plan."""
    given = [f"--{name.replace('_', '-')}" for name in OF_A_JOB if getattr(asked, name)]
    if given:
        why = "this file is a log, and these ask for the plan of a job file; leave them out"
        raise BadInput([Problem(str(asked.file), ", ".join(given), "", why)])


def _choices(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_choices import choices_text

    def told(done: int, days: int) -> None:
        print(f"\r{done} of {days} days", end="", file=sys.stderr, flush=True)

    watched = sys.stderr.isatty()
    found = console.choices(
        asked.job, console.words(asked.language), max(0, asked.days), told if watched else _silent
    )
    if watched:
        print(file=sys.stderr)
    answer(asked, found, lambda: choices_text(found))
    return DONE


def _silent(_done: int, _days: int) -> None:
    """Nobody watches."""


CHECK = Verb(
    "check",
    "read a job file, plan its day; or say whether a log is whole",
    "bagcall check my-job.toml --hours",
    _check_options,
    _check,
)


CHOICES = Verb(
    "choices",
    "what one change would do to a day: crew, stations, packets, water, hour, order",
    "bagcall choices my-job.toml --days 100",
    _choices_options,
    _choices,
)
