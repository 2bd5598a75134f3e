"""Which mix fills a hole, and in how many lifts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import get_args

from engine.job.model import Pour
from engine.mix.card import Kind, MixCard

KIND_ORDER: tuple[Kind, ...] = get_args(Kind)  # from the thinnest work to the thickest
GRAIN = 1e-6  # a count this little over a whole number is that number: arithmetic, not material


def whole_up(count: float) -> int:
    """The count rounded up to whole ones; 2.0000000001 is 2."""
    return max(0, math.ceil(count - GRAIN))


def lifts_needed(deepest_m: float, card: MixCard) -> int:
    """Fewest equal lifts that keep the deepest reading within the card's greatest depth; at least one."""
    return max(1, whole_up(deepest_m / card.depth.max_m))


def stone_fits(pour: Pour, card: MixCard, stone_part: float) -> bool:
    """Whether the largest stone is at most 1/`stone_part` of the shallowest reading's share in one lift.

    ACI 318 section 26.4.2.1 gives a third of the depth of a slab.
    """
    share_m = min(pour.depths_m) / lifts_needed(max(pour.depths_m), card)
    return (card.depth.largest_stone_m or 0.0) * stone_part <= share_m * (1 + GRAIN)


def choose_mix(pour: Pour, mixes: Sequence[MixCard], stone_part: float) -> MixCard:
    """The card for a pour that names none.

    Stones that are too large rule a card out while any other is left. Then fewest lifts, then a card whose
    least depth the deepest reading reaches, then the finer kind. Raises `ValueError` without cards.
    """
    fitting = [card for card in mixes if stone_fits(pour, card, stone_part)] or list(mixes)
    return min(fitting, key=lambda card: _rank(pour, card))


def _rank(pour: Pour, card: MixCard) -> tuple[int, bool, int]:
    deepest_m = max(pour.depths_m)
    return lifts_needed(deepest_m, card), deepest_m < card.depth.min_m, KIND_ORDER.index(card.kind)
