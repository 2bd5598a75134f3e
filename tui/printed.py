"""The plan and the status as text for a terminal or a printer: one thing a line, whole words."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import datetime
from typing import Any, cast
from zoneinfo import ZoneInfo

from engine.units import System, show_area, show_length, show_temperature, show_water

WIDTH = 100
Table = dict[str, Any]


def plan_text(plan: Table) -> str:
    """What `check` prints without `--json`."""
    return "\n".join(_plan_lines(plan))


def _plan_lines(plan: Table) -> Iterator[str]:
    system, zone = _speech(plan)
    yield f"{plan['job']}, {plan['date']}"
    yield ""
    yield f"{'pour':<8}{'area':>12}{'depth':>10}{'mix':>16}{'bags':>6}{'spare':>8}{'packets':>9}{'start':>8}{'feet':>8}{'wheels':>8}"
    for pour in plan["pours"]:
        yield _plan_pour(pour, system, zone)
    yield ""
    yield from _buy_lines(plan, system)
    yield ""
    pace = f"{plan['bottleneck']} sets the pace, at most {plan['bags_per_hour']:.0f} bags an hour"
    yield f"last stroke {_clock(plan['finish'], zone)}; {pace}"
    for target in plan["targets"]:
        yield _target(target, zone)
    yield "" if plan["feasible"] else "This plan cannot hold every window:"
    for sentence in (*plan["reasons"], *plan["cautions"], *plan["notes"]):
        yield textwrap.fill(sentence, WIDTH, initial_indent="- ", subsequent_indent="  ")


def _plan_pour(pour: Table, system: System, zone: ZoneInfo) -> str:
    flags = f"  {', '.join(pour['flags'])}" if pour["flags"] else ""
    return (
        f"{pour['id']:<8}{show_area(pour['area_m2'], system):>12}{show_length(pour['mean_depth_m'], system):>10}"
        f"{pour['mix']:>16}{pour['bags']:>6}{pour['spare_fraction']:>8.0%}{pour['packets']:>9g}"
        f"{_clock(pour['start'], zone):>8}{_clock(pour['feet'], zone):>8}{_clock(pour['wheels'], zone):>8}{flags}"
    )


def _buy_lines(plan: Table, system: System) -> Iterator[str]:
    buy = plan["buy"]
    for mix, bags in buy["bags"].items():
        missing = buy["bags_missing"][mix]
        yield f"buy: {bags} bags of {mix} with trial and spares" + (
            f", {missing} of them not in stock" if missing else ""
        )
    cost = "" if buy["cost"] is None else f", {buy['cost']:.2f} {plan['currency']}".rstrip()
    yield f"     {buy['packets']} packets, {show_water(buy['water_l'], system)} of water in all{cost}"


def _target(target: Table, zone: ZoneInfo) -> str:
    pours, word = ", ".join(target["pours"]), "kept" if target["met"] else "NOT KEPT"
    expected = _clock(target["expected"], zone)
    return f"{pours} open to {target['open_to']} by {_clock(target['by'], zone)}: expected {expected}, {word}"


def status_text(status: Table) -> str:
    """What `status` prints without `--json`."""
    return "\n".join(_status_lines(status))


def _status_lines(status: Table) -> Iterator[str]:
    system, zone = _speech(status)
    yield f"{status['job']} at {_clock(status['at'], zone, seconds=True)}"
    yield _call(status["call"], zone, system)
    yield _factor(status["rate_factor"])
    stock = status["stock"]
    yield f"stock: {stock['bags']:g} bags for {stock['bags_needed']:g} needed, {stock['packets']:g} packets, {stock['vessels']} vessels"
    yield ""
    for batch in status["batches"]:
        yield from _batch(batch, zone, system)
    yield ""
    for pour in status["pours"]:
        yield _pour(pour, zone)
    if status.get("torn_tail"):
        yield "The log ends in half a line; it is left out here."


def _call(call: Table, zone: ZoneInfo, system: System) -> str:
    if call["pour"] is None:
        return f"call: {call['state']}: {call['reason']}"
    load = f"{call['bags']:g} {'bag' if call['bags'] <= 1 else 'bags'}, {show_water(call['water_l'], system)}, {call['packets']:g} packets"
    latest = f", at the latest {_clock(call['latest'], zone, seconds=True)}" if call["latest"] else ""
    wait = f" {call['in_s']:.0f} s" if call["state"] == "hold" and call["in_s"] else ""
    return f"call: {call['state']}{wait}: {call['pour']} by {call['who']} ({load}){latest}: {call['reason']}"


def _factor(factor: Table) -> str:
    spread = f"{factor['low']:.2f} to {factor['high']:.2f}"
    return f"today's rate factor {factor['value']:.2f} ({spread}), from {factor['observations']} signs"


def _batch(batch: Table, zone: ZoneInfo, system: System) -> Iterator[str]:
    line = f"{batch['id']:<8}{batch['stage']}"
    if batch["water_contact"]:
        line += f", water {_clock(batch['water_contact'], zone, seconds=True)}, set age {batch['set_age_min']:.1f} min"
        line += f", {show_temperature(batch['temperature_c'], system)}"
        line += f", workable until {_clock(batch['workable_until'], zone, seconds=True)}"
    yield line
    for name, window in batch["windows"].items():
        times = " ".join(
            f"{key} {_clock(window[key], zone, seconds=True)}" for key in ("open", "due", "late", "lost")
        )
        done = (
            f", done {_clock(window['done'], zone, seconds=True)} by {window['who']}"
            if "done" in window
            else ""
        )
        yield f"        {name.replace('_', ' '):<14}{window['state']:<7}{times}{done}"


def _pour(pour: Table, zone: ZoneInfo) -> str:
    return (
        f"{pour['id']:<8}{pour['state']:<13}{pour['batches_tipped']} of {pour['batches_needed']} tipped, {pour['finish_in']},"
        f" feet {_clock(pour['feet'], zone)}, wheels {_clock(pour['wheels'], zone)}"
    )


def _speech(table: Table) -> tuple[System, ZoneInfo]:
    return cast(System, table["units"]), ZoneInfo(table["time_zone"])


def _clock(iso: str | None, zone: ZoneInfo, seconds: bool = False) -> str:
    """Local time of an ISO time; a dash where there is none."""
    if iso is None:
        return "-"
    return datetime.fromisoformat(iso).astimezone(zone).strftime("%H:%M:%S" if seconds else "%H:%M")
