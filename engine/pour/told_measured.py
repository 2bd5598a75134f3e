"""What was measured, ticked or agreed as the values of its sentence, in the units of the job."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

from engine.job.model import UnitSystem
from engine.pour import measured as m
from engine.pour.body import Body
from engine.units import show_duration, show_length, show_mass, show_temperature, show_water
from engine.words import Say, say

Values = dict[str, str | Say]


def values_of(body: Body, units: UnitSystem) -> Values:
    """The words of a sentence `line.<kind>`, whose places carry the names of the payload."""
    plain = {name: "" if value is None else str(value) for name, value in asdict(body).items()}
    if spot := plain.get("spot"):
        plain["spot"] = f" {spot}"
    return plain | _SHOWN.get(type(body), _nothing)(body, units)


def _nothing(_body: Body, _units: UnitSystem) -> Values:
    return {}


def listed(shown: Mapping[str, str]) -> Say | str:
    """What was read, each as `read.<name>` with its value, in one sentence; empty where nothing was."""
    parts = [say(f"read.{name}", value=value) for name, value in shown.items()]
    return (
        functools.reduce(lambda first, then: say("read.and", first=first, then=then), parts) if parts else ""
    )


def slope_text(ratio: float) -> str:
    """Per cent and ratio: `7.6 % (1:13.2)`."""
    return f"{ratio:.1%}".replace("%", " %") + (f" (1:{1 / abs(ratio):.1f})" if abs(ratio) > 1e-4 else "")


def _lot(body: m.LotNoted, _: UnitSystem) -> Values:
    return {"which": body.batch or body.mix or say("read.all_bags")}


def _water(body: m.WaterMeasured, units: UnitSystem) -> Values:
    return {"water": show_water(body.water_l, units)}


def _weighed(body: m.BagWeighed, units: UnitSystem) -> Values:
    return {"mass": show_mass(body.mass_kg, units)}


def _depths(body: m.DepthsRead | m.ChangeOrdered, units: UnitSystem) -> Values:
    return {"depths": _lengths(body.depths_m, units)}


def _change(body: m.ChangeOrdered, units: UnitSystem) -> Values:
    extra = sum(change.extra for change in body.bags)
    return _depths(body, units) | {
        "extra": f"{extra:+d}",
        "price": f"{body.price:g}",
        "by": body.initials or "-",
    }


def _ticks(body: m.Ticked, _: UnitSystem) -> Values:
    return {"ticks": ", ".join(body.ticks), "ago": show_duration(body.ago_s)}


def _slope(body: m.SlopeRead, _: UnitSystem) -> Values:
    named = {"running": body.running, "cross": body.cross}
    return {"values": listed({name: slope_text(value) for name, value in named.items() if value is not None})}


def _lip(body: m.LipRead, units: UnitSystem) -> Values:
    return {"height": show_length(body.height_m, units), "upright": show_length(body.upright_m, units)}


def _gap(body: m.GapRead, units: UnitSystem) -> Values:
    return {"gap": show_length(body.gap_m, units)}


def _steps(body: m.StepsRead, units: UnitSystem) -> Values:
    return {"sizes": _lengths(body.sizes_m, units)}


def _nosing(body: m.NosingRead, units: UnitSystem) -> Values:
    return {"radius": show_length(body.radius_m, units), "projection": show_length(body.projection_m, units)}


def _ramp(body: m.RampMeasured, units: UnitSystem) -> Values:
    lengths = {"rise": body.rise_m, "width": body.clear_width_m, "landing": body.landing_m}
    return {name: show_length(value, units) for name, value in lengths.items()}


def _coat(body: m.CoatingRead, units: UnitSystem) -> Values:
    surface = "-" if body.surface_c is None else show_temperature(body.surface_c, units)
    return {"surface": surface}


def _lengths(values_m: tuple[float, ...], units: UnitSystem) -> str:
    return ", ".join(show_length(value_m, units) for value_m in values_m)


_SHOWN: dict[type[Body], Callable[[Any, UnitSystem], Values]] = {
    m.LotNoted: _lot,
    m.WaterMeasured: _water,
    m.BagWeighed: _weighed,
    m.DepthsRead: _depths,
    m.ChangeOrdered: _change,
    m.Ticked: _ticks,
    m.SlopeRead: _slope,
    m.LipRead: _lip,
    m.GapRead: _gap,
    m.StepsRead: _steps,
    m.NosingRead: _nosing,
    m.RampMeasured: _ramp,
    m.CoatingRead: _coat,
}
