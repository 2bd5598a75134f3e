"""The status of a day as text: the call, every batch and pour, and what was measured around them."""

from __future__ import annotations

from collections.abc import Iterator

from engine.pour.told_measured import slope_text
from engine.units import show_length, show_water
from tui.speech import (
    Speech,
    Table,
    conditions_lines,
    last_call_line,
    points,
    promise_line,
    speech,
    visit_line,
)


def status_text(status: Table) -> str:
    """What `status` prints without `--json`."""
    return "\n".join(_lines(status, speech(status)))


def _lines(status: Table, spoken: Speech) -> Iterator[str]:
    if status.get("rehearsal"):
        yield "REHEARSAL, a made-up day"
    yield f"{status['job']} at {spoken.clock(status['at'], seconds=True)}"
    yield _call(status["call"], spoken)
    yield from _factor(status["rate_factor"], spoken)
    yield from _surfaces(status["surface_readings"], spoken)
    yield _stock(status["stock"])
    yield from conditions_lines(status["conditions"], spoken)
    yield ""
    for batch in status["batches"]:
        yield from _batch(batch, spoken)
    yield ""
    for pour in status["pours"]:
        yield from _pour(pour, spoken)
    yield from _around(status, spoken)
    if status.get("torn_tail"):
        yield "The log ends in half a line; it is left out here."


def _stock(stock: Table) -> str:
    lots = f", lot {', '.join(stock['lots'])}" if stock["lots"] else ""
    weighed = "".join(
        f"; a bag of {one['mix']} weighed {one['off']:+.1%} ({one['word']})" for one in stock["weighed"]
    )
    return (
        f"stock: {stock['bags']:g} bags for {stock['bags_needed']:g} needed,"
        f" {stock['packets']:g} packets, {stock['vessels']} vessels"
        f"{lots}{weighed}"
    )


def _call(call: Table, spoken: Speech) -> str:
    if call["pour"] is None:
        return f"call: {call['state']}: {call['reason']}"
    bags = f"{call['bags']:g} {'bag' if call['bags'] <= 1 else 'bags'}"
    load = f"{bags}, {show_water(call['water_l'], spoken.system)}, {call['packets']:g} packets"
    latest = f", at the latest {spoken.clock(call['latest'], seconds=True)}" if call["latest"] else ""
    wait = f" {call['in_s']:.0f} s" if call["state"] == "hold" and call["in_s"] else ""
    return f"call: {call['state']}{wait}: {call['pour']} by {call['who']} ({load}){latest}: {call['reason']}"


def _factor(factor: Table, spoken: Speech) -> Iterator[str]:
    spread = f"{factor['low']:.2f} to {factor['high']:.2f}"
    yield f"today's rate factor {factor['value']:.2f} ({spread}): {factor['text']}"
    yield from (f"        {_sign(sign, spoken)}" for sign in factor["signs"])


def _sign(sign: Table, spoken: Speech) -> str:
    """A sign with its number, the factor it alone would give, and whether it counts."""
    stroke = f", {sign['pass'].replace('_', ' ')}" if sign["pass"] else ""
    alone = f": {'' if sign['reached'] else 'under '}{sign['factor']:.2f}" if sign["factor"] else ""
    look = f", {sign['spreads']:.1f} spreads off: look twice" if sign["second_look"] else ""
    state = "" if sign["counts"] else " (forgotten)" if sign["forgotten"] else " (waits while frozen)"
    clock = spoken.clock(sign["at"], seconds=True)
    return f"{sign['number']}  {clock} {sign['subject']} {sign['word']}{stroke}{alone}{look}{state}"


def _surfaces(readings: list[Table], spoken: Speech) -> Iterator[str]:
    """What each reading on a surface moved."""
    for one in readings:
        head = f"surface of {one['pour'] or 'no pour'} {spoken.clock(one['at'])}: {spoken.degrees(one['surface_c'])}"
        if not one["batches"]:
            yield f"{head}, moves no clock"
            continue
        what = f"{one['what'].replace('_', ' ')} of {one['batches'][-1]}"
        due, without = (spoken.clock(one[key], seconds=True) for key in ("due", "due_without"))
        yield f"{head}, reckoned {spoken.degrees(one['reckoned_c'])}; {what} {due}, without it {without}"


def _batch(batch: Table, spoken: Speech) -> Iterator[str]:
    line = f"{batch['id']:<8}{batch['stage']}"
    if batch["water_contact"]:
        line += f", water {spoken.clock(batch['water_contact'], seconds=True)}, set age {batch['set_age_min']:.1f} min"
        line += f", {spoken.degrees(batch['temperature_c'])}"
        line += f", workable until {spoken.clock(batch['workable_until'], seconds=True)}"
    if batch.get("lot"):
        line += f", lot {batch['lot']}"
    if batch.get("water_used"):
        line += f", {show_water(batch['water_used_l'], spoken.system)} of water, {batch['water_used']}"
    yield line
    for name, window in batch["windows"].items():
        yield _window(name, window, spoken)


def _window(name: str, window: Table, spoken: Speech) -> str:
    times = " ".join(
        f"{key} {spoken.clock(window[key], seconds=True)}" for key in ("open", "due", "late", "lost")
    )
    done = (
        f", done {spoken.clock(window['done'], seconds=True)} by {window['who']}" if "done" in window else ""
    )
    return f"        {name.replace('_', ' '):<14}{window['state']:<7}{times}{done}"


def _pour(pour: Table, spoken: Speech) -> Iterator[str]:
    yield (
        f"{pour['id']:<8}{pour['state']:<13}{pour['batches_tipped']} of {pour['batches_needed']} tipped, {pour['finish_in']},"
        f" feet {spoken.clock(pour['feet'])}, wheels {spoken.clock(pour['wheels'])}"
    )
    yield from (f"        {line}" for line in _beside(pour, spoken))


def _beside(pour: Table, spoken: Speech) -> Iterator[str]:
    """What was ticked, what cures, what was checked; only what there is."""
    yield from _ready(pour["ready"], pour["state"])
    if pour["after"]:
        yield from _after(pour["after"], spoken)
    yield from _opened(pour, spoken)
    for reading in pour["checks"]["readings"]:
        yield _reading(reading, spoken)
    if pour["state"] in ("curing", "open") and pour["checks"]["missing"]:
        yield f"not checked yet: {', '.join(pour['checks']['missing'])}"
    yield from pour["checks"]["notes"]
    if pour["coating"]:
        yield from _coating(pour["coating"], spoken)


def _ready(ready: Table, state: str) -> Iterator[str]:
    if ready["complete"] or state == "later visit":
        return
    if state != "queued":
        if ready["missing"]:
            yield f"not ticked before its first bag: {', '.join(ready['missing'])}"
        return
    soak = ready["soak"] if ready["soaked_min"] is None else f"{ready['soak']}, {ready['soaked_min']:.0f} min"
    missing = f"not ticked: {', '.join(ready['missing'])}; " if ready["missing"] else ""
    again = "; stood open too long, clean again" if ready["clean_again"] else ""
    yield f"{missing}base {soak}{again}"


def _opened(pour: Table, spoken: Speech) -> Iterator[str]:
    for opening in pour["opened"]:
        early = pour[opening["to"]] is not None and opening["at"] < pour[opening["to"]]
        word = f", EARLY: expected from {spoken.clock(pour[opening['to']])} on" if early else ""
        yield f"opened to {opening['to']} {spoken.clock(opening['at'])} by {opening['who'] or '-'}{word}"


def _after(after: Table, spoken: Speech) -> Iterator[str]:
    cure = after["cure"]
    if cure:
        again = f"wet again {spoken.clock(cure['next_at'])}, " if cure["next_at"] else ""
        yield f"wet cure: {again}until {spoken.clock(cure['until'])}"
    if after["blanket"]:
        yield after["blanket"]
    yield after["first_night"]["text"]
    yield f"wheels rest on {after['wheels_rests_on']}"


def _reading(reading: Table, spoken: Speech) -> str:
    """A check with its value and limit: slopes in per cent, lengths as the trade writes them."""
    name = f"{reading['check']} {reading['spot']}".strip()
    if reading["value"] is None:
        return f"{name}: {reading['word']}"
    value, limit = (_amount(reading, key, spoken) for key in ("value", "limit"))
    before = f", before {_amount(reading, 'before', spoken)}" if reading["before"] is not None else ""
    aim = ", past the aim" if reading["past_aim"] else ""
    return f"{name}: {value}, limit {limit}: {reading['word']}{aim}{before}"


def _amount(reading: Table, key: str, spoken: Speech) -> str:
    if reading["is_slope"]:
        return slope_text(reading[key])
    return show_length(reading[key], spoken.system)


def _coating(coat: Table, spoken: Speech) -> Iterator[str]:
    if coat["season"]:
        yield coat["season"]
    first = f", first day expected {spoken.day_clock(coat['first_day'])}" if coat["first_day"] else ""
    yield f"coating: {coat['text']} Old enough {spoken.day_clock(coat['old_enough'])}{first}"


def _around(status: Table, spoken: Speech) -> Iterator[str]:
    yield ""
    for target in status["targets"]:
        yield promise_line(target, spoken)
    for call in status["last_calls"]:
        yield last_call_line(call, spoken)
    for use in status["used"]:
        beyond = ", ".join(f"{cause} {bags:+g}" for cause, bags in use["beyond"].items() if bags)
        yield f"{use['mix']}: {use['used']:g} bags used, {use['planned_so_far']:g} planned so far" + (
            f" ({beyond})" if beyond else ""
        )
    for change in status["changes"]:
        yield _change(change, spoken)
    for visit in status["visits"]:
        yield visit_line(visit)
    yield from points(status["cautions"])


def _change(change: Table, spoken: Speech) -> str:
    bags = ", ".join(f"{one['mix']} {one['before']} to {one['after']} bags" for one in change["bags"])
    agreed = f"agreed by {change['agreed_by']}" if change["agreed_by"] else "NOT AGREED"
    before, after = (
        ", ".join(show_length(depth, spoken.system) for depth in change[key])
        for key in ("depths_before_m", "depths_m")
    )
    head = f"change {change['pour']} {spoken.clock(change['at'])}: {change['reason']}"
    return f"{head}; depths {before} to {after}; {bags}, {change['price']:g}, {agreed}"
