"""The plan of a day as text: take-off, buying, conditions, hours, load-out, and what to look out for."""

from __future__ import annotations

from collections.abc import Iterator

from engine.units import show_area, show_duration, show_length, show_mass, show_water
from tui.printed_learned import learned_lines
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


def plan_text(plan: Table, load: bool = False, safety: bool = False) -> str:
    """What `check` prints without `--json`; load-out and safety lists where they are asked for."""
    spoken = speech(plan)
    lines = [*_plan_lines(plan, spoken), *_hours(plan, spoken)]
    lines += [*(_load(plan, spoken) if load else ()), *(_safety(plan, spoken) if safety else ())]
    return "\n".join(lines)


def _plan_lines(plan: Table, spoken: Speech) -> Iterator[str]:
    yield f"{plan['job']}, {plan['date']}"
    yield ""
    yield f"{'pour':<8}{'area':>12}{'depth':>12}{'mix':>16}{'bags':>6}{'spare':>8}{'packets':>9}{'start':>8}{'feet':>8}{'wheels':>8}"
    for pour in plan["pours"]:
        yield _pour(pour, spoken)
    yield ""
    yield from _buy(plan, spoken)
    yield ""
    yield from conditions_lines(plan["conditions"], spoken)
    said = {finding["text"] for finding in plan["conditions"]["findings"]}
    for later in plan["conditions_later"]:
        if news := [finding for finding in later["findings"] if finding["text"] not in said]:
            yield f"{later['for_pour']} at {spoken.clock(later['at'])}:"
            yield from points(finding["text"] for finding in news)
            said |= {finding["text"] for finding in news}
    yield from _waiting(plan)
    for row in plan.get("water_for_mix", ()):
        yield f"{row['mix']}: {row['text']}"
    yield from learned_lines(plan, spoken.system)
    yield ""
    yield f"last stroke {spoken.clock(plan['finish'])}"
    yield from points(plan["explained"])
    for target in plan["targets"]:
        yield promise_line(target, spoken)
    for call in plan["last_calls"]:
        yield last_call_line(call, spoken)
    for night in plan["first_nights"]:
        yield from points([f"{night['pour']}: {night['text']}"])
    if plan["coating"]:
        season = plan["coating"]["season"]
        yield season or f"coating: first day expected {spoken.day_clock(plan['coating']['first_day'])}"
    for visit in plan["visits"]:
        yield visit_line(visit)
    yield "" if plan["feasible"] else "This plan cannot hold every window:"
    yield from points(one["text"] for one in plan["impossible"])
    yield from points((*plan["reasons"], *plan["cautions"], *plan["notes"]))


def _pour(pour: Table, spoken: Speech) -> str:
    flags = f"  {', '.join(pour['flags'])}" if pour["flags"] else ""
    return (
        f"{pour['id']:<8}{show_area(pour['area_m2'], spoken.system):>12}"
        f"{show_length(pour['mean_depth_m'], spoken.system):>12}"
        f"{pour['mix']:>16}{pour['bags']:>6}{pour['spare_fraction']:>8.0%}{pour['packets']:>9g}"
        f"{spoken.clock(pour['start']):>8}{spoken.clock(pour['feet']):>8}{spoken.clock(pour['wheels']):>8}{flags}"
    )


def _buy(plan: Table, spoken: Speech) -> Iterator[str]:
    buy = plan["buy"]
    for mix, bags in buy["bags"].items():
        missing = buy["bags_missing"][mix]
        yield f"buy: {bags} bags of {mix} with trial and spares" + (
            f", {missing} of them not in stock" if missing else ""
        )
    cost = "" if buy["cost"] is None else f", {buy['cost']:.2f} {plan['currency']}".rstrip()
    yield f"     {buy['packets']} packets, {show_water(buy['water_l'], spoken.system)} of water in all{cost}"


def _waiting(plan: Table) -> Iterator[str]:
    for row in plan["waiting"]:
        stiff = show_duration(row["stiff_after_s"])
        yield f"{row['mix']}: left in its vessel it is stiff {stiff} after its water"


def _hours(plan: Table, spoken: Speech) -> Iterator[str]:
    """Working time from water contact, and wheels, for each dose."""
    if not plan.get("hours"):
        return
    yield ""
    yield "hour by hour: working time from the water on, and wheels, by packets per bag"
    said: tuple[str, list[str]] = ("", [])
    for hour in plan["hours"]:
        doses = "   ".join(_dose(dose, spoken) for dose in hour["doses"])
        yield f"{hour['pour']:<8}{spoken.clock(hour['at'])}  slab {spoken.degrees(hour['slab_c']):>6}   {doses}"
        if said != (hour["pour"], hour["findings"]):
            yield from points(hour["findings"])
        said = (hour["pour"], hour["findings"])


def _dose(dose: Table, spoken: Speech) -> str:
    kept = "" if dose["keeps_targets"] else " too late"
    return (
        f"{dose['packets']:g}: {show_duration(dose['working_time_s'])}, {spoken.clock(dose['wheels'])}{kept}"
    )


def _load(plan: Table, spoken: Speech) -> Iterator[str]:
    yield ""
    yield "load-out"
    for item in plan["load"]:
        missing = f", MISSING {item['missing']:g}" if item["missing"] else ""
        yield f"{_amount(item, spoken):>11}  {item['what']}{missing}. {item['without_it']}"


def _safety(plan: Table, spoken: Speech) -> Iterator[str]:
    """Start of day: cautions, weights, dust rows, heat; and the checks to come."""
    yield ""
    yield "start of day"
    yield from points(plan["start_of_day"])
    for mix in plan["mixes"]:
        bag, limit = (show_mass(mix[key], spoken.system) for key in ("bag_kg", "limit_from_floor_kg"))
        yield f"{mix['mix']}: a bag of {bag} from the floor, recommended limit {limit}, index {mix['index_from_floor']:.1f}"
    heat = plan["heat"]
    yield f"heat index up to {spoken.degrees(heat['index_c'])}, {heat['band']}; rests {heat['rest_min_a_shift']:.0f} min a shift"
    yield "dust, least respirator factor up to 4 h and over 4 h a shift (0: the table names none):"
    for row in plan["silica_table"]:
        factors = f"{row['protection_factor_to_4_h']:>3}{row['protection_factor_over_4_h']:>4}"
        yield f"{factors}  {row['tool']}, {row['control']}, {row['place']} {row['clause']}"
    yield "opening and tipping bags has no row: the employer assesses that dust"
    for cut in plan["saw_cuts"]:
        depth, run = (show_length(cut[key], spoken.system) for key in ("depth_m", "run_m"))
        yield f"{cut['pour']}: saw {depth} deep, {run} in all"
    for pour, checks in plan["checks"].items():
        yield f"{pour}: afterwards {', '.join(checks)}"


def _amount(item: Table, spoken: Speech) -> str:
    shown = {"l": show_water, "m2": show_area, "kg": show_mass}.get(item["unit"])
    return shown(item["count"], spoken.system) if shown else f"{item['count']:g}"
