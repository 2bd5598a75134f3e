"""Take-off and buy list: area, depth, volume and bags pour by pour, what the visit needs, what is missing."""

from __future__ import annotations

from engine.pour.plan_view import Buy, BuyRow, TakeoffRow
from engine.units import show_area, show_length, show_mass, show_volume, show_water
from engine.words import amount
from tui.paint.cells import clean, pad, pad_left
from tui.paint.columns import first_shown
from tui.paint.pen import Pen, decimal
from tui.paint.runs import Line, Lines, block, row
from tui.plan.marker import marked
from tui.scene import Scene

WIDTHS = (("pour", 6), ("area", 11), ("depth", 12), ("volume", 11), ("bags", 6), ("spare", 7), ("mix", 16))
FIXED = sum(width for _, width in WIDTHS) + 1


def paint_takeoff(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The pours with the marked one in sight, their sum, and the buy list below them."""
    if scene.plan is None:
        return block((row(f" {pen.say('plan.no_plan')}", width),), width, height)
    *pours, total = scene.plan.takeoff
    buy = _buy(scene.plan.buy, width, pen)
    room = max(1, height - 2 - len(buy))
    chosen = marked(scene)
    place = next((n for n, one in enumerate(pours) if chosen and one.id == chosen.id), 0)
    start = first_shown(place, len(pours), room)
    flags = {one.id: one.flags for one in scene.plan.rows}
    lines = [
        _row(one, flags.get(one.id, ()), one is pours[place], width, pen)
        for one in pours[start : start + room]
    ]
    return block([_head(width, pen), *lines, _row(total, (), False, width, pen), *buy], width, height)


def _head(width: int, pen: Pen) -> Line:
    names = "".join(
        (pad if name in ("pour", "mix") else pad_left)(pen.say(f"plan.column.{name}"), size - 1) + " "
        for name, size in WIDTHS
    )
    rest = pen.say("plan.column.flags") if width > FIXED + 5 else ""
    return row(f" {names}{rest}", width, "rule", pen.glyphs.cut)


def _row(one: TakeoffRow, flags: tuple[str, ...], chosen: bool, width: int, pen: Pen) -> Line:
    texts = (
        clean(one.id) or pen.say("plan.sum"),
        flat(show_area(one.area_m2, pen.units), pen),
        show_length(one.depth_m, pen.units),
        flat(show_volume(one.volume_m3, pen.units), pen),
        amount(one.bags),
        f"{one.spare:.0%}",
        f"{clean(one.mix)}{f' x{one.lifts}' if one.lifts > 1 else ''}",
    )
    cells = "".join(
        (pad if name in ("pour", "mix") else pad_left)(text, size - 1, pen.glyphs.cut) + " "
        for text, (name, size) in zip(texts, WIDTHS, strict=True)
    )
    told = ", ".join(pen.word("flag", flag) for flag in flags)
    style = "chosen" if chosen else "text" if one.id else "strong"
    return row(f"{'>' if chosen else ' '}{cells}{told}", width, style, pen.glyphs.cut)


def flat(text: str, pen: Pen) -> str:
    """Without raised figures where the terminal has plain signs only."""
    return text if pen.glyphs.degree else text.replace("²", "2").replace("³", "3")


def _buy(buy: Buy, width: int, pen: Pen) -> list[Line]:
    """A line a mix, then packets, water and cost."""
    head = row(f" {pen.say('plan.buy.title')}", width, "rule", pen.glyphs.cut)
    cost = "" if buy.cost is None else pen.say("plan.buy.cost", cost=f"{buy.cost:.2f}", currency=buy.currency)
    ice = pen.say("plan.buy.ice", ice=show_mass(buy.ice_kg, pen.units)) if buy.ice_kg else ""
    rest = [
        pen.say("plan.buy.packets", n=decimal(buy.packets, 1), missing=decimal(buy.packets_to_buy, 1)),
        pen.say("plan.buy.water", water=show_water(buy.water_l, pen.units)),
        ice,
        cost,
    ]
    last = row(f" {f' {pen.glyphs.dot} '.join(text for text in rest if text)}", width, "text", pen.glyphs.cut)
    return [head, *(line for one in buy.rows for line in _mix(one, width, pen)), last]


def _mix(one: BuyRow, width: int, pen: Pen) -> tuple[Line, ...]:
    """What the visit needs of a mix, and how it stands now: more to mix than is left is said loud."""
    key = "plan.buy.mix_short" if one.to_buy > 0 else "plan.buy.mix"
    need = pen.say(
        key,
        mix=one.mix,
        need=amount(one.need),
        pours=amount(one.for_pours),
        spares=amount(one.spares),
        had=amount(one.had),
        missing=amount(one.to_buy),
    )
    short = one.to_mix > one.left
    now = pen.say(
        "plan.buy.now_short" if short else "plan.buy.now",
        to_mix=amount(one.to_mix),
        left=amount(one.left),
        short=amount(one.to_mix - one.left),
    )
    return (
        row(f" {need}", width, "text", pen.glyphs.cut),
        row(f"   {now}", width, "bad" if short else "text", pen.glyphs.cut),
    )
