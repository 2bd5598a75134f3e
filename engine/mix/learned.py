"""What logs taught about a mix: the values of a learned file, held against the card, and the card changed by them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from engine.mix.card import MixCard, Passes, Window
from engine.mix.reader import card_faults
from engine.tables import Fault

PASS_KEYS = ("float", "first_trowel", "second_trowel", "broom")
SAME = 0.002  # a value written down and read again differs by no more


@dataclass(frozen=True)
class Learned:
    """A value that logs taught, in SI units: of a mix by its key, or (empty) of the crew; `was` is the card's or job's.

    `key` is `activation_energy`, `working_time`, `mixing_time`, a pass with `_due`, `stretch_` and packets, or a time.
    `low` and `high` are its 10 and 90 per cent.
    """

    of: str
    key: str
    value: float
    low: float
    high: float
    observations: int
    was: float


def stretch_key(packets: float) -> str:
    """The key of a stretch at packets per bag."""
    return f"stretch_{packets:g}"


def card_value(card: MixCard, key: str) -> float | None:
    """What the card says for a key of `Learned`; None where it says nothing."""
    whole = {
        "activation_energy": card.setting.activation_j_mol,
        "working_time": card.setting.working_s,
        "mixing_time": card.mixing_s,
    }
    if key in whole:
        return whole[key]
    name = key.removesuffix("_due")
    if name in PASS_KEYS:
        window: Window | None = getattr(card.passes, name)
        return None if window is None else window.due_s
    points = dict(zip(map(stretch_key, card.retarder.packets), card.retarder.stretch, strict=True))
    return points.get(key)


def learned_card(card: MixCard, values: Iterable[Learned]) -> MixCard:
    """The card with the values in place of its own. Raises `ValueError` for a value it has no place for."""
    for one in values:
        card = _with(card, one)
    return card


def _with(card: MixCard, one: Learned) -> MixCard:
    was = card_value(card, one.key)
    if was is None:
        raise ValueError(f"the card {card.key} has no {one.key}")
    if one.key == "activation_energy":
        return replace(card, setting=replace(card.setting, activation_j_mol=one.value))
    if one.key == "working_time":
        return replace(card, setting=replace(card.setting, working_s=one.value))
    if one.key == "mixing_time":
        return _with_mixing(card, one.value)
    if one.key.startswith("stretch_"):
        pairs = zip(card.retarder.packets, card.retarder.stretch, strict=True)
        stretch = tuple(one.value if stretch_key(packets) == one.key else old for packets, old in pairs)
        return replace(card, retarder=replace(card.retarder, stretch=stretch))
    return replace(card, passes=_with_due(card.passes, one.key.removesuffix("_due"), one.value))


def _with_mixing(card: MixCard, mixing_s: float) -> MixCard:
    """Another mixing time; the set age at which the mix stops being workable stays where it is."""
    by_s = mixing_s - card.mixing_s if card.setting.working_from == "end of mixing" else 0.0
    setting = replace(card.setting, working_s=card.setting.working_s - by_s)
    return replace(card, mixing_s=mixing_s, setting=setting)


def _with_due(passes: Passes, name: str, due_s: float) -> Passes:
    """A pass due at another age, the rest of its window in proportion."""
    window: Window = getattr(passes, name)
    share = due_s / window.due_s
    ages = (share * age for age in (window.open_s, window.due_s, window.late_s, window.lost_s))
    changes: dict[str, Window] = {name: Window(*ages)}
    return replace(passes, **changes)


def learned_faults(card: MixCard, values: Iterable[Learned]) -> Iterator[Fault]:
    """What keeps values from a card, by their key: learned from another card, or no card once changed."""
    values = tuple(values)
    misfits = [fault for one in values if (fault := _misfit(card, one)) is not None]
    yield from misfits
    if not misfits:
        for key, accepted in card_faults(learned_card(card, values)):
            yield "", f"values that fit the card: with them its {key} would have to be {accepted}"


def _misfit(card: MixCard, one: Learned) -> Fault | None:
    was = card_value(card, one.key)
    if was is None:
        return one.key, f"a value of the card {card.key}, which has none such"
    if not math.isclose(was, one.was, rel_tol=SAME):
        return (
            one.key,
            f"learned from what the card {card.key} says now; the card was changed since: learn anew",
        )
    return None
