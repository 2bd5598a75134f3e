"""A slope as the crew reads it off a level or a rule: per cent, ratio, degrees, or rise over level length."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from engine.job.model import Practice
from engine.units import Dimension, parse

ACCEPTED = (
    'a slope such as "7.6 %", "1:12", "4.8 deg" or "2 in over 24 in", with "± 0.1 %" behind it where known'
)
STEEPEST = 1.0  # nothing a crew finishes is steeper than 1:1; a larger number is a slip

_PARTS = re.compile(r"(?P<reading>[^±]+?)\s*(?:±\s*(?P<off>[^±]+))?")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_DEGREES = re.compile(rf"({_NUMBER.pattern})\s*(?:deg|°)")
_RATIO = re.compile(r"(?P<sign>-?)\s*1\s*:\s*(?P<length>\d+(?:\.\d+)?)")


@dataclass(frozen=True)
class Slope:
    """A reading: rise over level length, and how far it may be off."""

    ratio: float
    accuracy: float = 0.0


def read_slope(text: str, practice: Practice) -> Slope:
    """The slope of a reading; without a stated accuracy a level's or, for a rise, a rule's is assumed.

    Raises `ValueError` with what is accepted.
    """
    parts = _PARTS.fullmatch(text.strip().replace("+/-", "±").replace("+-", "±"))
    if parts is None:
        raise ValueError(ACCEPTED)
    reading = f"{parts['reading']} %" if _shares_its_unit(parts) else parts["reading"]
    rise, _, length = reading.partition(" over ")
    ratio = _rise(rise, length) if length else _ratio(reading)
    if abs(ratio) > STEEPEST:
        raise ValueError(f"{ACCEPTED}; {text.strip():.40} is steeper than 1:1")
    return Slope(ratio, _off(parts["off"]) if parts["off"] else _assumed(length, practice))


def _shares_its_unit(parts: re.Match[str]) -> bool:
    """`2.1 ± 0.1 %`: the per cent behind the accuracy is the reading's as well."""
    return parts["off"] is not None and _NUMBER.fullmatch(parts["reading"]) is not None


def _ratio(reading: str) -> float:
    """Of per cent, degrees or 1 to a level length."""
    if match := _RATIO.fullmatch(reading):
        length = float(match["length"])
        if length > 0:
            return (-1.0 if match["sign"] else 1.0) / length
    elif reading.endswith("%"):
        return _quantity(reading, "share")
    elif match := _DEGREES.fullmatch(reading):
        return math.tan(math.radians(float(match[1])))
    raise ValueError(ACCEPTED)


def _rise(rise: str, length: str) -> float:
    length_m = _quantity(length, "length")
    if length_m <= 0:
        raise ValueError(ACCEPTED)
    return _quantity(rise, "length") / length_m


def _assumed(length: str, practice: Practice) -> float:
    """A rule is off by so much on the whole length; a level by so much of the slope."""
    if not length:
        return practice["surface.level_accuracy"]
    return practice["surface.rule_accuracy"] / _quantity(length, "length")


def _off(text: str) -> float:
    if not text.rstrip().endswith("%"):
        raise ValueError(ACCEPTED)
    return abs(_quantity(text, "share"))


def _quantity(text: str, dimension: Dimension) -> float:
    try:
        return parse(text.strip(), dimension)
    except ValueError:
        raise ValueError(ACCEPTED) from None
