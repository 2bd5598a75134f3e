"""What retarder does: packets per bag divide the rate of hardening by a stretch."""

from __future__ import annotations

from itertools import pairwise

from engine.mix.card import Retarder


def stretch(retarder: Retarder, packets: float) -> float:
    """Stretch of the clock at packets per bag: straight lines between the card's points, 1 at none.

    Raises `ValueError` below none and above the card's last point; nothing is read past the label.
    """
    limit = retarder.packets[-1]
    if not 0.0 <= packets <= limit:
        raise ValueError(f"{packets:g} packets per bag: the mix card allows 0 to {limit:g}")
    points = list(zip(retarder.packets, retarder.stretch, strict=True))
    for (low, low_stretch), (high, high_stretch) in pairwise(points):
        if packets <= high:
            return low_stretch + (high_stretch - low_stretch) * (packets - low) / (high - low)
    return retarder.stretch[-1]
