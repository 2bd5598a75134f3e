"""Quantities and times of day as the trade writes them, read to SI numbers and written back.

A small grammar of our own splits numbers from units, because pint misreads `2 1/4 in` and hangs on towers of
powers; pint, used nowhere else and loaded on the first reading, knows what the units are worth. Writing needs
no pint at all.
"""

from __future__ import annotations

import datetime
import functools
import itertools
import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    import pint

System = Literal["us", "metric"]
SYSTEMS: tuple[System, ...] = ("us", "metric")
Dimension = Literal[
    "length",
    "area",
    "volume",
    "water",
    "cover",
    "mass",
    "temperature",
    "difference",
    "duration",
    "speed",
    "stroke",
    "energy",
    "pressure",
    "conductivity",
    "density",
    "specific heat",
    "film",
    "film per wind",
    "flux",
    "latent heat",
    "evaporation",
    "share",
]


@dataclass(frozen=True)
class Kind:
    """A dimension: its name in a sentence, the unit its numbers are kept in, an example, what fits."""

    name: str
    unit: str
    example: str
    fits: str


KINDS: dict[Dimension, Kind] = {
    "length": Kind("a length", "m", "2 1/4 in", "in, ft, yd, mm, cm, m"),
    "area": Kind("an area", "m^2", "3.2 ft^2", "in^2, ft^2, cm^2, m^2"),
    "volume": Kind("a volume", "m^3", "0.43 ft^3", "in^3, ft^3, yd^3, L, m^3, gal"),
    "water": Kind("an amount of water", "L", "4.25 qt", "pt, qt, gal (US), mL, L"),
    "cover": Kind("an amount of water on an area", "L/m^2", "0.5 gal/ft^2", "gal/ft^2, L/m^2"),
    "mass": Kind("a mass", "kg", "50 lb", "oz, lb, g, kg"),
    "temperature": Kind("a temperature", "degC", "45 degF", "degF, degC, K"),
    "difference": Kind("a temperature difference", "K", "18 delta_degC", "delta_degF, delta_degC, K"),
    "duration": Kind("a duration", "s", "1 min 30 s", "s, min, h, day"),
    "speed": Kind("a speed", "m/s", "3 mph", "mph, km/h, m/s, ft/s"),
    "stroke": Kind("a time per area", "s/m^2", "12 s/ft^2", "s/ft^2, s/m^2, min/m^2"),
    "energy": Kind("an activation energy", "J/mol", "40 kJ/mol", "kJ/mol, J/mol"),
    "pressure": Kind("a strength", "Pa", "800 psi", "psi, kPa, MPa"),
    "conductivity": Kind("a heat conductivity", "W/(m*K)", "1.8 W/(m*K)", "W/(m*K)"),
    "density": Kind("a density", "kg/m^3", "2300 kg/m^3", "lb/ft^3, kg/m^3"),
    "specific heat": Kind("a specific heat", "J/(kg*K)", "1000 J/(kg*K)", "J/(kg*K), kJ/(kg*K)"),
    "film": Kind("a film coefficient", "W/(m^2*K)", "10.79 W/(m^2*K)", "W/(m^2*K)"),
    "film per wind": Kind("a film coefficient per wind", "W*s/(m^3*K)", "4.2 W*s/(m^3*K)", "W*s/(m^3*K)"),
    "flux": Kind("a heat flux", "W/m^2", "520 W/m^2", "W/m^2"),
    "latent heat": Kind("a latent heat", "J/kg", "2.45 MJ/kg", "kJ/kg, MJ/kg"),
    "evaporation": Kind("an evaporation rate", "kg/m^2/h", "0.1 lb/ft^2/h", "lb/ft^2/h, kg/m^2/h"),
    "share": Kind("a share", "", "73 %", "%"),
}

LONGEST_TEXT = 60
LONGEST_UNIT = 24
UNIT_WORDS = (
    "in|inch|inches|ft|foot|feet|yd|mm|cm|m|km|oz|lbs?|g|kg|pt|qt|gal|floz|mL|ml|L|l|s|sec|min|h|hrs?|hours?|"
    "d|days?|weeks?|mph|K|J|kJ|MJ|mol|Pa|kPa|MPa|psi|W|kW"
)
POINTS = ("degF", "degC", "K")
STEPS = ("delta_degF", "delta_degC", "K")

_SIGNS = str.maketrans(
    {"′": "'", "’": "'", "″": '"', "”": '"', "²": "^2", "³": "^3", "·": "*", "°": "deg", "−": "-"}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)
_MIXED = r"([0-9]+)[ -]([0-9]+/[0-9]+)"
_NUMBER = r"[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_TERM = re.compile(rf" ?({_NUMBER}) ?((?:[A-Za-z_*/^() %'\"]|(?<=\^)[23])*)")
_ATOM = rf"(?:{UNIT_WORDS})(?:\^[23])?"
_JOIN = r"(?: ?[*/] ?| )"
_PART = rf"(?:{_ATOM}|\({_ATOM}(?:{_JOIN}{_ATOM})*\))"
_UNIT = re.compile(rf"{_PART}(?:{_JOIN}{_PART})*")


def accepted(dimension: Dimension) -> str:
    """What a quantity of a dimension looks like, for a problem's sentence."""
    kind = KINDS[dimension]
    return f'{kind.name} such as "{kind.example}" ({kind.fits})'


def needs_unit(dimension: Dimension) -> str:
    """What to say of a plain number."""
    kind = KINDS[dimension]
    return f"{kind.name} needs a unit: {kind.fits}"


def between(dimension: Dimension, low: float, high: float) -> str:
    """The limits of a quantity for a problem's sentence; `low` and `high` in the unit of `KINDS`."""
    name = KINDS[dimension].name
    us, metric = ((show(low, dimension, system), show(high, dimension, system)) for system in SYSTEMS)
    both = "" if us == metric else f" ({metric[0]} to {metric[1]})"
    return f"{name} from {us[0]} to {us[1]}{both}"


def parse(text: str, dimension: Dimension) -> float:
    """The quantity in the unit of `KINDS`: SI, but water in L, temperature in °C, evaporation in kg/m²/h.

    Fractions, mixed numbers and compounds (`6 ft 3 1/2 in`, `1 min 30 s`) are read; a share may be plain.
    Raises `ValueError` with a sentence that tells what fits.
    """
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"{accepted(dimension)}, in at most {LONGEST_TEXT} characters")
    sign, terms = _terms(" ".join(text.translate(_SIGNS).split()), dimension)
    if dimension == "share":
        return sign * _share(terms)
    if any(unit == "" for _, unit in terms):
        raise ValueError(needs_unit(dimension))
    if len(terms) > 1:
        return sign * _compound(terms, dimension)
    return _value(sign * terms[0][0], terms[0][1], dimension)


def _terms(text: str, dimension: Dimension) -> tuple[float, list[tuple[float, str]]]:
    """Sign, and numbers with their units, in order."""
    sign, rest = (-1.0 if text[:1] == "-" else 1.0), text.lstrip("+-")
    parts = list(_TERM.finditer(rest))
    if not parts or len(text) - len(rest) > 1 or "".join(part.group(0) for part in parts) != rest:
        raise ValueError(accepted(dimension))
    return sign, [(_number(part[1], dimension), _spelled(part[2])) for part in parts]


def _number(text: str, dimension: Dimension) -> float:
    """Of `2`, `2.25`, `1/4`, `2 1/4` or `2-1/4`; a proper fraction after a whole number."""
    whole, fraction = "0", text
    if "/" not in text:
        return float(text)
    if match := re.fullmatch(_MIXED, text):
        whole, fraction = match.groups()
    above, below = (float(part) for part in fraction.split("/"))
    if below == 0 or (match and above >= below):
        raise ValueError(accepted(dimension))
    return float(whole) + above / below


def _spelled(unit: str) -> str:
    """The unit with feet and inch marks in words and single spaces."""
    return " ".join(unit.replace("'", " ft ").replace('"', " in ").split())


def _share(terms: list[tuple[float, str]]) -> float:
    number, unit = terms[0]
    if len(terms) > 1 or unit not in ("", "%"):
        raise ValueError(accepted("share"))
    return number / 100 if unit else number


def _compound(terms: list[tuple[float, str]], dimension: Dimension) -> float:
    """Of a length or a duration, the larger unit first, only the smallest in parts."""
    values = [_value(number, unit, dimension) for number, unit in terms]
    sizes = [_value(1.0, unit, dimension) for _, unit in terms]
    falling = all(larger > smaller for larger, smaller in itertools.pairwise(sizes))
    whole = all(number == int(number) for number, _ in terms[:-1])
    if dimension not in ("length", "duration") or not falling or not whole:
        raise ValueError(accepted(dimension))
    return math.fsum(values)


def _value(number: float, unit: str, dimension: Dimension) -> float:
    if dimension in ("temperature", "difference"):
        return _temperature(number, unit, dimension)
    return number * _factor(unit, dimension)


def _temperature(number: float, unit: str, dimension: Dimension) -> float:
    """Points and differences never mix: 20 °F warmer is not 20 °F."""
    if unit not in (POINTS if dimension == "temperature" else STEPS):
        raise ValueError(accepted(dimension))
    converted = _registry().Quantity(number, unit).to(KINDS[dimension].unit)
    return float(converted.magnitude)


@functools.lru_cache(maxsize=256)
def _factor(unit: str, dimension: Dimension) -> float:
    """What one of a unit is worth in the dimension's own."""
    import pint

    if len(unit) > LONGEST_UNIT or not _UNIT.fullmatch(unit):
        raise ValueError(accepted(dimension))
    try:
        worth = _registry().Quantity(1.0, unit).to(KINDS[dimension].unit).magnitude
    except pint.DimensionalityError:
        raise ValueError(accepted(dimension)) from None
    return float(f"{worth:.15g}")  # chained factors leave noise in the 16th digit


@functools.cache
def _registry() -> pint.UnitRegistry[Any]:
    """The one registry; it takes a good tenth of a second to load, so no screen asks for it at the start."""
    import pint

    return pint.UnitRegistry()


# Exact by definition: NIST SP 811, appendix B.
INCH_M = 0.0254
FOOT_M = 0.3048
FT2_M2 = FOOT_M**2
FT3_M3 = FOOT_M**3
QUART_L = 0.946352946  # US liquid
POUND_KG = 0.45359237
MPH_MS = 0.44704
PSI_PA = POUND_KG * 9.80665 / INCH_M**2

_SCALES: dict[Dimension, dict[System, tuple[float, str, int]]] = {
    "area": {"us": (FT2_M2, "ft²", 2), "metric": (1.0, "m²", 3)},
    "volume": {"us": (FT3_M3, "ft³", 2), "metric": (1e-3, "L", 1)},
    "water": {"us": (QUART_L, "qt", 2), "metric": (1.0, "L", 2)},
    "mass": {"us": (POUND_KG, "lb", 1), "metric": (1.0, "kg", 2)},
    "speed": {"us": (MPH_MS, "mph", 0), "metric": (1 / 3.6, "km/h", 0)},
    "pressure": {"us": (PSI_PA, "psi", 0), "metric": (1e6, "MPa", 1)},
    "stroke": {"us": (1 / FT2_M2, "s/ft²", 1), "metric": (1.0, "s/m²", 0)},
    "evaporation": {"us": (POUND_KG / FT2_M2, "lb/ft²/h", 2), "metric": (1.0, "kg/m²/h", 1)},
}


def show(value: float, dimension: Dimension, system: System) -> str:
    """A value of `KINDS` as people of a unit system write it."""
    if dimension == "length":
        return show_length(value, system)
    if dimension == "temperature":
        return show_temperature(value, system)
    if dimension == "share":
        return f"{_rounded(value * 100, 1)} %"
    if dimension in _SCALES:
        scale, unit, digits = _SCALES[dimension][system]
        return f"{_rounded(value / scale, digits)} {unit}"
    return f"{value:g} {KINDS[dimension].unit}".strip()


def _rounded(value: float, digits: int) -> str:
    """At most so many decimals, none of them a needless nought, and no minus before a nought."""
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if digits else text
    return "0" if text == "-0" else text


def show_length(length_m: float, system: System, parts: int = 16) -> str:
    """Millimetres, or inches in fractions down to one of `parts`; feet and inches from four feet on."""
    if system == "metric":
        return f"{_rounded(length_m * 1000, 0)} mm"
    sign, whole = ("-" if length_m < 0 else ""), _nearest(abs(length_m) / INCH_M * parts)
    inches, part = divmod(whole, parts)
    feet, inches = divmod(inches, 12) if inches >= 48 else (0, inches)
    fraction = f"{part // math.gcd(part, parts)}/{parts // math.gcd(part, parts)}" if part else ""
    small = " ".join(word for word in (str(inches) if inches else "", fraction) if word)
    words = [f"{feet} ft"] if feet else []
    return sign + " ".join(words + ([f"{small or 0} in"] if small or not feet else []))


def _nearest(value: float) -> int:
    return math.floor(value + 0.5)


def show_area(area_m2: float, system: System) -> str:
    """Square feet or square metres."""
    return show(area_m2, "area", system)


def show_volume(volume_m3: float, system: System) -> str:
    """Cubic feet or litres."""
    return show(volume_m3, "volume", system)


def show_water(water_l: float, system: System) -> str:
    """US quarts or litres."""
    return show(water_l, "water", system)


def show_mass(mass_kg: float, system: System) -> str:
    """Pounds or kilograms."""
    return show(mass_kg, "mass", system)


def show_speed(speed_ms: float, system: System) -> str:
    """Whole miles or kilometres an hour."""
    return show(speed_ms, "speed", system)


def show_pressure(pressure_pa: float, system: System) -> str:
    """Psi or megapascals."""
    return show(pressure_pa, "pressure", system)


def show_evaporation(rate_kg_m2_h: float, system: System) -> str:
    """Two decimals of lb/ft²/h or one of kg/m²/h: the formula knows no more."""
    return show(rate_kg_m2_h, "evaporation", system)


def show_temperature(temperature_c: float, system: System, digits: int = 0) -> str:
    """A temperature, in whole degrees unless told otherwise."""
    value, unit = (temperature_c * 1.8 + 32, "°F") if system == "us" else (temperature_c, "°C")
    return f"{_rounded(value, digits)} {unit}"


def show_difference(difference_k: float, system: System, digits: int = 0) -> str:
    """A difference of temperatures: no 32 in it."""
    value, unit = (difference_k * 1.8, "°F") if system == "us" else (difference_k, "°C")
    return f"{_rounded(value, digits)} {unit}"


def show_duration(duration_s: float) -> str:
    """`4:10`, `1:05:00`, `-0:45`, to the nearest second."""
    seconds = _nearest(abs(duration_s))
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    sign = "-" if duration_s < 0 and seconds else ""
    return sign + (f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}")


def show_clock(at: float, zone: str, seconds: bool = False) -> str:
    """Time of day of a moment (seconds since 1970 UTC) in an IANA zone; minutes are cut, never rounded up."""
    local = datetime.datetime.fromtimestamp(math.floor(at), ZoneInfo(zone))
    return local.strftime("%H:%M:%S" if seconds else "%H:%M")


_CLOCK = re.compile(r"([0-9]{1,2}):([0-5][0-9])(?::([0-5][0-9]))?")
CLOCK_ACCEPTED = 'a time of day such as "09:00" or "09:00:30"; from "24:00" to "47:59" the next day'


def moment(text: str, day: datetime.date, zone: str, not_before: float | None = None) -> float:
    """Seconds since 1970 UTC of `HH:MM` or `HH:MM:SS` on a day in a zone; hours 24 to 47 are the next day.

    When clocks are put back an hour comes twice: the first is meant, unless that lies before `not_before`.
    Raises `ValueError` for any other text, and for the hour that is left out when clocks are put forward.
    """
    match = _CLOCK.fullmatch(text.strip())
    if match is None or int(match[1]) > 47:
        raise ValueError(CLOCK_ACCEPTED)
    days, hour = divmod(int(match[1]), 24)
    date, time = day + datetime.timedelta(days), datetime.time(hour, int(match[2]), int(match[3] or 0))
    local = datetime.datetime.combine(date, time, ZoneInfo(zone))
    if local.astimezone(datetime.UTC).astimezone(local.tzinfo).replace(fold=0) != local:
        raise ValueError("a time that exists: clocks are put forward over this one")
    first = local.timestamp()
    early = not_before is not None and first < not_before
    return local.replace(fold=1).timestamp() if early else first
