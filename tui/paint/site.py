"""Readings in force, stock against need, and how fast the mix sets today."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.words import amount
from tui.paint.pen import Pen
from tui.paint.runs import Lines, block, parts, row
from tui.scene import Scene

if TYPE_CHECKING:
    from engine.pour.views import LastCallView

GAP = "  "
WARNED_S = 45 * 60.0  # before a decision is gone; common practice, no source
UNSURE = 0.8


def paint_site(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """One line for the readings, one for stock and rate, a third for drying and mixes where there is room."""
    lines = [_readings(scene, pen), _stock(scene, pen), _more(scene, pen)]
    if height == 1:
        lines = [_short(scene, pen)]
    shown = [row(f" {parts(texts, width - 2, GAP)}", width, "text", pen.glyphs.cut) for texts in lines]
    return block(shown, width, height)


def _short(scene: Scene, pen: Pen) -> list[str]:
    asked = [_age(scene, pen)] if scene.view.readings.stale else []
    return [*asked, _bags(scene, pen), _rate(scene, pen), _packets(scene, pen), _temperatures(scene, pen)]


def _temperatures(scene: Scene, pen: Pen) -> str:
    now = scene.view.readings
    named = (
        ("air", now.air_c),
        ("slab", now.slab_c),
        ("bags", now.bags_c),
        ("water", now.water_c),
        ("mix", now.mix_c),
    )
    texts = "  ".join(f"{pen.say(f'reading.{name}')} {pen.temperature(value)}" for name, value in named)
    return f"{texts} {pen.degrees()}"


def _readings(scene: Scene, pen: Pen) -> list[str]:
    now = scene.view.readings
    return [
        _temperatures(scene, pen),
        pen.say("reading.sun" if now.sun else "reading.shade"),
        pen.say("reading.humidity", value=f"{now.humidity * 100:.0f}"),
        pen.say("reading.wind", value=pen.speed(now.wind_ms)),
    ]


def _bags(scene: Scene, pen: Pen) -> str:
    stock = scene.view.stock
    key = "stock.bags" if stock.bags >= stock.bags_needed else "stock.bags_short"
    return pen.say(key, bags=amount(stock.bags), need=amount(stock.bags_needed))


def _packets(scene: Scene, pen: Pen) -> str:
    return pen.say("stock.packets", n=amount(scene.view.stock.packets))


def _rate(scene: Scene, pen: Pen) -> str:
    """How fast the mix sets today against its card, with the 10 to 90 % span."""
    factor = scene.view.factor
    key = "site.rate_frozen" if factor.frozen else "site.rate"
    return pen.say(key, value=f"{factor.value:.2f}", low=f"{factor.low:.2f}", high=f"{factor.high:.2f}")


def _stock(scene: Scene, pen: Pen) -> list[str]:
    vessels = pen.say("stock.vessels", n=scene.view.stock.vessels)
    signs = pen.say("site.signs", n=scene.view.factor.observations)
    facts = [_bags(scene, pen), _trial(scene, pen), _rate(scene, pen)]
    facts.insert(0 if scene.view.readings.stale else len(facts), _age(scene, pen))
    pressing = [*_last_call(scene, pen), *_broken(scene, pen)]
    return [*pressing, *facts, _packets(scene, pen), vessels, signs]


def _broken(scene: Scene, pen: Pen) -> list[str]:
    """Promises that will not be kept, and work that will not be done in time."""
    not_open = [
        pen.say("site.not_kept", pours=" ".join(one.pours), by=pen.clock(one.by, seconds=False))
        for one in scene.view.promises
        if not one.kept
    ]
    gone: dict[str, list[str]] = {}
    for one in scene.view.last_calls:
        if one.latest <= scene.now and one.what not in ("feet", "wheels"):
            gone.setdefault(one.what, []).append(one.pour)
    too_late = [
        pen.say("site.too_late", what=pen.word("promise", what), pours=" ".join(pours))
        for what, pours in gone.items()
    ]
    return [*not_open, *too_late]


def _last_call(scene: Scene, pen: Pen) -> list[str]:
    """The decision that is gone next, while it can still be made: the water itself, or another place in the queue."""
    first = next((one for one in scene.view.last_calls if _presses(one, scene.now)), None)
    if first is None:
        return []
    what, chance = pen.word("promise", first.what), f"{first.chance:.0%}"
    if first.decide_by is not None and first.decide_by > scene.now:
        time = pen.clock(first.decide_by, seconds=False)
        return [
            pen.say(
                "site.take_before",
                pour=first.pour,
                before=first.take_before,
                time=time,
                what=what,
                chance=chance,
            )
        ]
    time = pen.clock(first.latest, seconds=False)
    return [pen.say("site.last_call", pour=first.pour, time=time, what=what, chance=chance)]


def _presses(call: LastCallView, now: float) -> bool:
    """A queue that breaks the promise is said as long as it can be changed; else what is near or unsure."""
    if call.decide_by is not None and call.decide_by > now:
        return True
    return call.latest > now and (call.latest - now < WARNED_S or call.chance < UNSURE)


def _age(scene: Scene, pen: Pen) -> str:
    """How old the readings are; asks for new ones where they are stale."""
    read_at = scene.view.readings.read_at
    if read_at is None:
        return pen.say("site.forecast")
    age_s = max(0.0, scene.now - read_at)
    return pen.say("site.stale" if scene.view.readings.stale else "site.read", minutes=f"{age_s // 60:.0f}")


def _trial(scene: Scene, pen: Pen) -> str:
    since = scene.view.trial
    return (
        pen.say("site.trial", time=pen.countdown(since, scene.now).lstrip("+"), key=pen.key("trial"))
        if since is not None
        else ""
    )


def _more(scene: Scene, pen: Pen) -> list[str]:
    mixes = [pen.say("stock.mix", mix=mix, bags=amount(bags)) for mix, bags in scene.view.stock.bags_by_mix]
    return [pen.say("site.drying", value=pen.drying(scene.view.readings.evaporation)), *mixes]
