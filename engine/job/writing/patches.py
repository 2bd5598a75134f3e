"""Patches between the line that tells one, the form, and the row of the job file; metres in between."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from engine.job.model import Pour, UnitSystem
from engine.job.patch_line import Patch, read_patch
from engine.units import FT2_M2, INCH_M

Row = dict[str, Any]


def read_patch_line(line: str, units: UnitSystem, mixes: Sequence[str]) -> Patch:
    """The patch of a line. Raises `ValueError`, for a place in the queue as well: here patches stand in order."""
    patch = read_patch(line, units, mixes)
    if patch.before:
        raise ValueError(
            f"before {patch.before}: put the line above that of {patch.before}; patches are poured in order"
        )
    return patch


def patch_line(patch: Patch, units: UnitSystem) -> str:
    """The line that reads as this patch."""
    words = (patch.finish, patch.edges, patch.use, patch.mix)
    packets = "" if patch.packets is None else f"packets {patch.packets:.12g}"
    depths = " ".join(_short(depth, units) for depth in patch.depths_m)
    where = f"at {patch.where}" if patch.where else ""
    return " ".join(part for part in (patch.id, _size(patch, units), depths, *words, packets, where) if part)


def _size(patch: Patch, units: UnitSystem) -> str:
    if patch.outline_m:
        return "outline " + " ".join(
            ",".join(_short(edge, units) for edge in corner) for corner in patch.outline_m
        )
    if patch.length_m is not None and patch.width_m is not None:
        return f"{_short(patch.length_m, units)}x{_short(patch.width_m, units)}"
    return _area(patch.area_m2, units).replace("^", "")


def _area(area_m2: float, units: UnitSystem) -> str:
    return f"{area_m2 / FT2_M2:.12g} ft^2" if units == "us" else f"{area_m2:.12g} m^2"


def _short(length_m: float, units: UnitSystem) -> str:
    """Inches or millimetres without their unit."""
    value = round(length_m / (INCH_M if units == "us" else 1e-3), 9)
    return f"{value:.9f}".rstrip("0").rstrip(".")


def _length(length_m: float, units: UnitSystem) -> str:
    return f"{_short(length_m, units)} {'in' if units == 'us' else 'mm'}"


def patch_row(patch: Patch, name: str, finish: str, units: UnitSystem) -> Row:
    """The row of a job file; the name and the finish are those given or assumed."""
    row: Row = {"id": name} | ({"where": patch.where} if patch.where else {})
    row |= _size_row(patch, units)
    row["depths"] = [_length(depth, units) for depth in patch.depths_m]
    row |= {"edges": patch.edges, "finish": finish, "use": patch.use}
    row |= {"mix": patch.mix} if patch.mix else {}
    return row | ({} if patch.packets is None else {"packets": patch.packets})


def _size_row(patch: Patch, units: UnitSystem) -> Row:
    if patch.outline_m:
        return {"outline": [[_length(edge, units) for edge in corner] for corner in patch.outline_m]}
    if patch.length_m is None or patch.width_m is None:
        return {"area": _area(patch.area_m2, units)}
    return {"length": _length(patch.length_m, units), "width": _length(patch.width_m, units)}


def patch_of(pour: Pour) -> Patch:
    """A pour of a job as a patch; what a line cannot say of it is left out."""
    return Patch(
        area_m2=pour.area_m2,
        depths_m=pour.depths_m,
        id=pour.id,
        length_m=pour.length_m,
        width_m=pour.width_m,
        outline_m=pour.outline_m,
        finish=pour.finish,
        edges=pour.edges,
        use=pour.use,
        mix=pour.mix,
        packets=pour.packets,
        where=pour.where,
    )


def names(patches: Sequence[Patch]) -> tuple[str, ...]:
    """The id of each patch: its own, or P with the next free number."""
    taken = {patch.id for patch in patches}
    free = (name for n in range(1, 2 * len(patches) + 2) if (name := f"P{n}") not in taken)
    return tuple(patch.id or next(free) for patch in patches)
