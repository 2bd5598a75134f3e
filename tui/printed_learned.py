"""What logs tell, as text: card and job beside learned, what it rests on, and what they do not tell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from engine.units import System, show, show_duration
from tui.speech import Table, points

NAMED, BESIDE, LEARNED, BETWEEN = 24, 12, 19, 21


def learned_text(found: Table) -> str:
    """What `learn` prints without `--json`."""
    return "\n".join(_lines(found, cast(System, found["units"])))


def _lines(found: Table, system: System) -> Iterator[str]:
    logs = found["logs"]
    dates = sorted({log["date"] for log in logs})
    between = dates[0] if len(dates) == 1 else f"{dates[0]} to {dates[-1]}"
    rehearsed = "REHEARSALS, made-up days: " if found["made_up"] else ""
    yield f"{rehearsed}{len(logs)} {'log' if len(logs) == 1 else 'logs'}, {between}"
    yield from points(f"{log['log']} ends in half a line; it is left out" for log in logs if log["torn_tail"])
    for mix in found["mixes"]:
        yield ""
        yield from _mix(mix, system)
    if found["crew"]:
        yield ""
        yield from _block("the crew", "job", found["crew"], system)
    yield ""
    yield from points(found["cautions"])
    if found["written"]:
        yield f"{found['written']} written; a job uses it by its name under learned = [...] in [job]"


def _mix(mix: Table, system: System) -> Iterator[str]:
    days = f", one day about {mix['day_spread_ln']:.0%} off another" if mix["day_spread_ln"] else ""
    head = f"{mix['mix']}, {mix['signs']} signs on {mix['days']} {_days(mix['days'])}{days}"
    yield from _block(head, "card", mix["values"], system)
    for one in mix["apart"]:
        yield from points(
            [f"left out, too far from all others: {one['word']}, {one['log']} line {one['line']}"]
        )


def _block(head: str, beside: str, values: list[Table], system: System) -> Iterator[str]:
    """A table of what is told, then the sentences of what is not."""
    yield head
    told = [one for one in values if one["told"]]
    if told:
        yield f"  {'':<{NAMED}}{beside:>{BESIDE}}{'learned':>{LEARNED}}{'8 in 10 between':>{BETWEEN}}  from"
    for one in told:
        yield _told(one, beside, system)
    yield from points(_not_told(values))
    if not values:
        yield "  nothing was seen of it"


def _not_told(values: list[Table]) -> Iterator[str]:
    """A sentence a reason, with all it keeps back."""
    reasons: dict[str, list[str]] = {}
    for one in values:
        if not one["told"]:
            reasons.setdefault(one["why_not"], []).append(one["name"])
    return (f"not told, {', '.join(names)}: {why}" for why, names in reasons.items())


def learned_lines(plan: Table, system: System) -> Iterator[str]:
    """Which values of a plan are learned, beside what card or job says."""
    if not plan["learned"]:
        return
    yield "learned from earlier days, in place of card and job:"
    for one in plan["learned"]:
        of = f"{one['mix']}: " if one["mix"] else ""
        value, was = shown(one, "learned", system), shown(one, "was", system)
        yield f"  {of}{one['name']} {value}, was {was}"


def _told(one: Table, beside: str, system: System) -> str:
    was, learned, low, high = (shown(one, key, system) for key in (beside, "learned", "low", "high"))
    most = "at most " if one["at_most"] else ""
    apart = f", {one['apart']} set apart" if one["apart"] else ""
    between = f"{low.split(' ')[0]} and {high}"
    line = f"  {one['name']:<{NAMED}}{was:>{BESIDE}}{most + learned:>{LEARNED}}{between:>{BETWEEN}}"
    return f"{line}  {one['observations']} on {one['days']} {_days(one['days'])}{apart}"


def _days(count: int) -> str:
    return "day" if count == 1 else "days"


def shown(one: Table, key: str, system: System) -> str:
    """A number with its unit, by the ending of its key."""
    if f"{key}_j_mol" in one:
        return f"{one[f'{key}_j_mol'] / 1000.0:.1f} kJ/mol"
    if f"{key}_s_m2" in one:
        return show(one[f"{key}_s_m2"], "stroke", system)
    return show_duration(one[f"{key}_s"]) if f"{key}_s" in one else f"{one[key]:.2f}"
