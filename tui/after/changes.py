"""Change orders: what was ordered, what is agreed and what is open, and the holes that may still turn out otherwise."""

from __future__ import annotations

from collections.abc import Iterator

from engine.pour.after_view import ChangeRow
from engine.units import show_length
from tui.after.listed import Listed
from tui.after.marker import change_rows, place_of
from tui.after.when import when
from tui.paint.cells import clean
from tui.paint.columns import Column
from tui.paint.pen import Pen
from tui.paint.runs import Run
from tui.scene import Scene


def is_open(one: ChangeRow) -> bool:
    """An order nobody agreed to."""
    return one.at is not None and not one.initials


def _by(one: ChangeRow, _: Scene, pen: Pen) -> str:
    if one.at is None:
        return pen.say("after.change.none")
    return clean(one.initials) or pen.say("after.change.open")


def _bags(one: ChangeRow, _scene: Scene, _pen: Pen) -> str:
    return f"{sum(bags.extra for bags in one.bags):+d}" if one.at is not None else ""


def _price(one: ChangeRow, scene: Scene, _: Pen) -> str:
    currency = scene.after.sums.currency if scene.after else ""
    return f"{one.price:.2f} {clean(currency)}".strip() if one.at is not None else ""


def _depths(depths_m: tuple[float, ...], pen: Pen) -> str:
    return ", ".join(show_length(depth_m, pen.units) for depth_m in depths_m) or "-"


COLUMNS: tuple[Column[ChangeRow], ...] = (
    Column("pour", 5, 0, lambda one, _scene, _pen: clean(one.pour)),
    Column("by", 11, 1, _by),
    Column("price", 14, 2, _price),
    Column("bags", 5, 3, _bags),
    Column("when", 9, 4, lambda one, scene, pen: when(one.at, scene.now, pen) if one.at else ""),
    Column("depths", 24, 5, lambda one, _, pen: _depths(one.depths_m, pen)),
)


def changes(scene: Scene) -> Listed[ChangeRow]:
    """An order that is open stands out."""
    return Listed(
        change_rows(scene),
        COLUMNS,
        "reason",
        lambda one, _scene, _pen: clean(one.reason),
        lambda one, _scene: "bad" if is_open(one) else "text",
        "after.no_changes",
    )


def price_sums(scene: Scene, pen: Pen) -> str:
    """Prices agreed and open."""
    if scene.after is None:
        return ""
    sums = scene.after.sums
    agreed, still_open = f"{sums.agreed:.2f}", f"{sums.open:.2f}"
    return pen.say("after.change.sums", agreed=agreed, open=still_open, currency=sums.currency)


def _sums(scene: Scene, pen: Pen) -> str:
    """The prices, and the bags that go beyond the job file."""
    mixes = scene.after.sums.bags if scene.after else ()
    bags = ", ".join(f"{clean(mix)} {extra:+d}" for mix, extra in mixes)
    told = [price_sums(scene, pen), pen.say("after.change.bags", bags=bags) if bags else ""]
    return f" {pen.glyphs.dot} ".join(text for text in told if text)


def change_texts(scene: Scene, pen: Pen) -> Iterator[Run]:
    """The marked order with its depths and bags, and how it is agreed to, or how one is written."""
    rows = change_rows(scene)
    yield _sums(scene, pen), "strong"
    if not rows:
        return
    one = rows[place_of(scene)]
    before, now = _depths(one.depths_before_m, pen), _depths(one.depths_m, pen)
    if one.at is None:
        yield pen.say("after.change.hole", pour=one.pour, depths=now), "text"
    else:
        yield pen.say("after.change.order", pour=one.pour, before=before, now=now, reason=one.reason), "text"
    for bags in one.bags:
        told = pen.say("after.change.mix", mix=bags.mix, before=bags.before, after=bags.after)
        yield told, "text"
    if one.entry:
        key = "after.change.agree" if one.at is not None else "after.change.write"
        yield pen.say(key, key=pen.key("aftercare.record"), line=f"{one.entry}_{one.tail}"), "text"
    elif is_open(one):
        yield pen.say("after.change.filled"), "text"
