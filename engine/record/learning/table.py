"""What logs tell as plain JSON values and as a learned file's table."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from engine.job.model import Job
from engine.mix.learned import Learned
from engine.record.learning.claims import MixFindings
from engine.record.learning.crew import STROKES
from engine.record.learning.findings import Finding
from engine.record.learning.gathered import Learning
from engine.units import FT2_M2, System
from engine.words import Words


def learning_table(learning: Learning, said: Words) -> dict[str, Any]:
    """Plain JSON values: card or job beside what is learned, 10 and 90 per cent, what it rests on, or why not."""
    latest = learning.days[-1].job
    return {
        "units": latest.units,
        "time_zone": latest.zone,
        "logs": [_log(learning, number) for number in range(len(learning.days))],
        "made_up": any(day.made_up for day in learning.days),
        "mixes": [_mix(mix, learning, said) for mix in learning.mixes],
        "crew": [_finding(one, "job", said) for one in learning.crew],
        "cautions": [said(f"learned.{key}") for key in ("caution", "between", "day_spread")],
    }


def _log(learning: Learning, number: int) -> dict[str, Any]:
    day = learning.days[number]
    return {"log": day.name, "job": day.job.name, "date": day.job.date, "torn_tail": day.torn}


def _mix(mix: MixFindings, learning: Learning, said: Words) -> dict[str, Any]:
    return {
        "mix": mix.card.key,
        "name": mix.card.name,
        "signs": mix.signs,
        "days": mix.days,
        "day_spread_ln": mix.day_sd,
        "values": [_finding(one, "card", said) for one in mix.findings],
        "apart": [
            {"log": learning.days[seen.day].name, "line": seen.line, "word": seen.word} for seen in mix.apart
        ],
    }


def _finding(found: Finding, beside: str, said: Words) -> dict[str, Any]:
    unit = unit_of(found)
    numbers = {beside: found.was, "learned": found.value, "low": found.low, "high": found.high}
    return {
        "value": found.key,
        "name": name_of(found.key, said),
        "told": found.learned is not None,
        "why_not": said(found.why) if found.why else "",
        **{f"{key}{unit}": number for key, number in numbers.items()},
        "at_most": found.at_most,
        "observations": found.observations,
        "days": found.days,
        "apart": found.apart,
    }


def used_table(job: Job, said: Words) -> list[dict[str, Any]]:
    """The learned values a job uses, beside what its card or its file says."""
    return [_used(one, said) for one in job.learned]


def _used(one: Learned, said: Words) -> dict[str, Any]:
    unit = unit_of(one)
    numbers = {"was": one.was, "learned": one.value, "low": one.low, "high": one.high}
    named = {"mix": one.of or None, "value": one.key, "name": name_of(one.key, said)}
    return (
        named
        | {f"{key}{unit}": number for key, number in numbers.items()}
        | {"observations": one.observations}
    )


def name_of(key: str, said: Words) -> str:
    """A value's name in words."""
    if key.startswith("stretch_"):
        return said("learned.name.stretch", packets=key.removeprefix("stretch_"))
    return said(f"learned.name.{key}")


def unit_of(found: Finding | Learned) -> str:
    """The ending of its keys: the SI unit of its numbers."""
    if found.key == "activation_energy":
        return "_j_mol"
    if found.key.startswith("stretch_"):
        return ""
    return "_s_m2" if not found.of and found.key in STROKES else "_s"


def learned_table(learning: Learning) -> dict[str, Any]:
    """The table of a learned file: only what the logs tell."""
    units = learning.days[-1].job.units
    mixes: dict[str, Any] = {}
    times: dict[str, Any] = {}
    for one in _told(learning):
        entry = _entry(one, units)
        if not one.of:
            times[one.key] = entry
        elif one.key.startswith("stretch_"):
            dose = {"packets": float(one.key.removeprefix("stretch_"))}
            mixes.setdefault(one.of, {}).setdefault("stretch", []).append(dose | entry)
        else:
            mixes.setdefault(one.of, {})[one.key] = entry
    about: dict[str, Any] = {"logs": len(learning.days)}
    about |= {"first": learning.days[0].job.date, "last": learning.days[-1].job.date}
    about |= {"made_up": True} if learning.days[0].made_up else {}
    return {"about": about, "mixes": mixes, "times": times}


def _told(learning: Learning) -> Iterator[Learned]:
    for found in learning.told():
        if (learned := found.learned) is not None:
            yield learned


def _entry(one: Learned, units: System) -> dict[str, Any]:
    numbers = {"value": one.value, "low": one.low, "high": one.high, "was": one.was}
    return {key: _text(one, number, units) for key, number in numbers.items()} | {
        "observations": one.observations
    }


def _text(one: Learned, number: float, units: System) -> Any:
    """A number as learned files write it, with its unit; so exact that reading it again is the same card."""
    unit = unit_of(one)
    if unit == "_j_mol":
        return f"{_plain(number / 1000.0, 3)} kJ/mol"
    if unit == "_s_m2":
        return f"{_plain(number * FT2_M2, 3)} s/ft^2" if units == "us" else f"{_plain(number, 2)} s/m^2"
    return duration_text(number) if unit == "_s" else round(number, 3)


def duration_text(seconds: float) -> str:
    """`4 min 12.5 s`, as files write it."""
    minutes, rest = divmod(round(seconds, 2), 60.0)
    words = [f"{math.floor(minutes)} min"] if minutes else []
    return " ".join([*words, *([f"{_plain(rest, 2)} s"] if rest or not minutes else [])])


def _plain(number: float, digits: int) -> str:
    text = f"{number:.{digits}f}"
    return text.rstrip("0").rstrip(".")
