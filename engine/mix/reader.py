"""A mix card from its TOML table: every field within physical limits, the whole consistent with itself."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from engine import tables, units
from engine.errors import Problem
from engine.mix.card import (
    Bag,
    Depth,
    Heat,
    MixCard,
    Opening,
    Passes,
    Retarder,
    Setting,
    Strength,
    Water,
    Window,
)
from engine.tables import Fault, Page, Reader, Schema, choice, many, may, need, number, quantity, record, text

DAY_S = 86400.0
MOST_POINTS = 20
LIGHTEST_KG_M3, HEAVIEST_KG_M3 = 500.0, 5000.0  # wet: foam is lighter, steel shot heavier


def read_mix(table: Mapping[str, Any], key: str, file: str) -> tuple[MixCard | None, tuple[Problem, ...]]:
    """The card, and every problem of its table; no card where there is one. `key` names the mix in jobs."""
    page = Page(file)
    values = tables.fields(CARD, table, "", page)
    if len(values) < len(CARD):
        return None, page.all()
    card = MixCard(key=key, **values)
    tables.report(_card(card), table, "", page)
    return (None if page.all() else card), page.all()


def _rising(**values: float) -> Iterator[Fault]:
    """A fault for each value under the one before it."""
    for (before, value), (key, after) in itertools.pairwise(values.items()):
        if after < value:
            yield key, f"not less than {before}"


def _strictly(values: Sequence[float]) -> bool:
    return all(before < after for before, after in itertools.pairwise(values))


def _falls(values: Sequence[float]) -> bool:
    return any(after < before for before, after in itertools.pairwise(values))


def _water(water: Water) -> Iterator[Fault]:
    yield from _rising(low=water.low_l, target=water.target_l, high=water.high_l)


def _depth(depth: Depth) -> Iterator[Fault]:
    if depth.max_m <= depth.min_m:
        yield "max", "more than min"
    if depth.largest_stone_m is not None and depth.largest_stone_m > depth.min_m:
        yield "largest_stone", "not larger than min"


def _setting(setting: Setting) -> Iterator[Fault]:
    yield from _rising(initial_set=setting.initial_set_s, final_set=setting.final_set_s)


def _window(window: Window) -> Iterator[Fault]:
    yield from _rising(open=window.open_s, due=window.due_s, late=window.late_s, lost=window.lost_s)


def _passes(passes: Passes) -> Iterator[Fault]:
    """No later pass before the first trowel."""
    for key, window in (("second_trowel", passes.second_trowel), ("broom", passes.broom)):
        if window is not None and window.due_s < passes.first_trowel.due_s:
            yield f"{key}.due", "not less than first_trowel.due"


def _retarder(retarder: Retarder) -> Iterator[Fault]:
    packets, stretch = retarder.packets, retarder.stretch
    if len(packets) != len(stretch):
        yield "stretch", f"as many values as packets ({len(packets)})"
    if packets[0] != 0 or stretch[0] != 1:
        yield "", "a first point of stretch 1 at 0 packets"
    if not _strictly(packets):
        yield "packets", "each value more than the one before"
    if _falls(stretch):
        yield "stretch", "no value less than the one before"


def _strength(strength: Strength) -> Iterator[Fault]:
    if len(strength.age_s) != len(strength.value_pa):
        yield "value", f"as many values as age ({len(strength.age_s)})"
    if not _strictly(strength.age_s):
        yield "age", "each value later than the one before"
    if _falls(strength.value_pa):
        yield "value", "no value less than the one before"


def _opening(opening: Opening) -> Iterator[Fault]:
    yield from _rising(feet=opening.feet_s, wheels=opening.wheels_s)


def _card(card: MixCard) -> Iterator[Fault]:
    """What only the whole card shows."""
    if card.setting.initial_set_s < card.workable_s:
        yield "clock.initial_set", "not less than working_time, plus mixing.time where it counts from there"
    if card.kind == "no aggregate" and card.depth.largest_stone_m is not None:
        yield "depth.largest_stone", 'left out for the kind "no aggregate"'
    wet_kg_m3 = (card.bag.mass_kg + card.water.target_l) / card.bag.yield_m3
    if not LIGHTEST_KG_M3 <= wet_kg_m3 <= HEAVIEST_KG_M3:
        limits = f"{LIGHTEST_KG_M3:g} to {HEAVIEST_KG_M3:g} kg/m³, not {wet_kg_m3:.0f}"
        yield "bag.yield", f"a yield at which bag and water weigh {limits}"


def card_faults(card: MixCard) -> Iterator[Fault]:
    """What is wrong with a card as a whole and part by part, by key; of one that was put together, not read."""
    parts: tuple[tuple[str, Iterator[Fault]], ...] = (
        ("water", _water(card.water)),
        ("depth", _depth(card.depth)),
        ("clock", _setting(card.setting)),
        *((f"passes.{name}", _window(window)) for name, window in vars(card.passes).items() if window),
        ("passes", _passes(card.passes)),
        ("strength", _strength(card.strength)),
        ("opening", _opening(card.opening)),
        ("retarder", _retarder(card.retarder)),
        ("", _card(card)),
    )
    for name, faults in parts:
        yield from ((".".join(part for part in (name, key) if part), says) for key, says in faults)
    yield from _bounds(card)


def _bounds(card: MixCard) -> Iterator[Fault]:
    """Limits of single values that a changed card could leave."""
    if not 10.0 <= card.setting.working_s <= DAY_S:
        yield "clock.working_time", units.between("duration", 10.0, DAY_S)
    if not all(1.0 <= stretch <= 100.0 for stretch in card.retarder.stretch):
        yield "retarder.stretch", "from 1 to 100"


def _take_sources(value: Any, where: str, page: Page) -> Any:
    """Marks by key of the card, dotted or nested."""
    if not isinstance(value, dict):
        return page.fault(where, tables.shown(value), "a table of keys and their marks")
    read: list[tuple[str, str]] = []
    for key, mark in tables.flat(value, lambda _: True).items():
        place = tables.joined(where, key)
        if key in KEYS:
            read.append((key, MARK.take(mark, place, page)))
        else:
            page.fault(place, tables.shown(mark), "a key of this card", KEYS, key)
    return tuple(read)


age = partial(quantity, "duration", 0.0, 90 * DAY_S)
water = partial(quantity, "water", 0.01, 50.0)

WINDOW: Schema = {
    "open": need("open_s", age()),
    "due": need("due_s", age()),
    "late": need("late_s", age()),
    "lost": need("lost_s", age()),
}
window = record(Window, WINDOW, _window)

BODY: Schema = {
    "name": need("name", text(80)),
    "kind": need("kind", choice("no aggregate", "sanded", "small stone")),
    "bag": need(
        "bag",
        record(
            Bag,
            {
                "mass": need("mass_kg", quantity("mass", 0.5, 100.0)),
                "yield": need("yield_m3", quantity("volume", 0.0001, 0.2)),
                "price": may("price", number(0, 1e6)),
            },
        ),
    ),
    "water": need(
        "water",
        record(
            Water,
            {
                "low": need("low_l", water()),
                "target": need("target_l", water()),
                "high": need("high_l", water()),
            },
            _water,
        ),
    ),
    "depth": need(
        "depth",
        record(
            Depth,
            {
                "min": need("min_m", quantity("length", 0.001, 1.0)),
                "max": need("max_m", quantity("length", 0.001, 1.0)),
                "largest_stone": may("largest_stone_m", quantity("length", 0.001, 0.1)),
            },
            _depth,
        ),
    ),
    "mixing": need(
        "mixing_s", record(lambda time_s: time_s, {"time": need("time_s", quantity("duration", 5, 1800))})
    ),
    "clock": need(
        "setting",
        record(
            Setting,
            {
                "reference_temperature": need("reference_c", quantity("temperature", 0.0, 50.0)),
                "activation_energy": need("activation_j_mol", quantity("energy", 0.0, 200e3)),
                "working_time": need("working_s", quantity("duration", 10.0, DAY_S)),
                "working_time_from": need("working_from", choice("end of mixing", "water contact")),
                "initial_set": need("initial_set_s", quantity("duration", 10.0, 7 * DAY_S)),
                "final_set": need("final_set_s", quantity("duration", 10.0, 7 * DAY_S)),
            },
            _setting,
        ),
    ),
    "passes": need(
        "passes",
        record(
            Passes,
            {
                "float": may("float", window),
                "first_trowel": need("first_trowel", window),
                "second_trowel": may("second_trowel", window),
                "broom": may("broom", window),
            },
            _passes,
        ),
    ),
    "retarder": may(
        "retarder",
        record(
            Retarder,
            {
                "packets": need("packets", many(number(0, 20), 1, MOST_POINTS)),
                "stretch": need("stretch", many(number(1, 100), 1, MOST_POINTS)),
            },
            _retarder,
        ),
        Retarder(),
    ),
    "heat": may(
        "heat",
        record(
            Heat,
            {
                "rise": need("rise_k", quantity("difference", 0.0, 100.0)),
                "age": need("age_s", quantity("duration", 10.0, 7 * DAY_S)),
            },
        ),
        Heat(),
    ),
    "strength": may(
        "strength",
        record(
            Strength,
            {
                "age": need("age_s", many(age(), 1, MOST_POINTS)),
                "value": need("value_pa", many(quantity("pressure", 0.0, 200e6), 1, MOST_POINTS)),
            },
            _strength,
        ),
        Strength(),
    ),
    "opening": need(
        "opening",
        record(Opening, {"feet": need("feet_s", age()), "wheels": need("wheels_s", age())}, _opening),
    ),
}

KEYS = tables.paths(BODY)
MARK = choice("label", "standard", "practice", "assumed")
CARD: Schema = {
    **BODY,
    "sources": may("sources", Reader("a table of keys and their marks", _take_sources), ()),
}
