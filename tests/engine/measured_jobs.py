"""Pours, cards and practice values in trade units for the tests of take-off, buying and hand-over."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path

from engine.job.model import Job, Person, Pour, Practice, Station, Stock, Times
from engine.mix.card import (
    Bag,
    Depth,
    Heat,
    Kind,
    MixCard,
    Opening,
    Passes,
    Retarder,
    Setting,
    Strength,
    Water,
    Window,
)
from engine.site.conditions import ForecastRow, Materials

IN = 0.0254
FT2 = 0.3048**2
FT3 = 0.3048**3
LB = 0.45359237
QT = 0.946352946
GAL = 3.785411784
DATA = Path(__file__).parents[1] / "data"


def table(name: str) -> list[dict[str, str]]:
    """Rows of a published table; lines that start with # say where it comes from."""
    lines = (DATA / "tables" / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


PRACTICE = Practice(
    (
        ("takeoff.waste_sawn", 0.08),
        ("takeoff.waste_chipped", 0.15),
        ("takeoff.tight_spare", 0.05),
        ("geometry.stone_part", 3.0),
        ("geometry.slab_part", 3.0),
        ("geometry.least_removal", 2 * IN),
        ("geometry.feather_depth", 0.25 * IN),
        ("geometry.least_length", 12 * IN),
        ("geometry.least_width", 4 * IN),
        ("geometry.leave_length", 6 * IN),
        ("geometry.leave_width", 1.5 * IN),
        ("geometry.least_side", 6 * IN),
        ("geometry.longest_shape", 3.0),
        ("geometry.depths_across", 3.0),
        ("geometry.merge_gap", 12 * IN),
        ("geometry.least_corner_deg", 90.0),
        ("geometry.corner_slack_deg", 2.0),
        ("geometry.largest_stone", 0.375 * IN),
        ("geometry.stone_over", 3 * IN),
        ("geometry.into_sound", 0.5 * IN),
        ("geometry.saw_beyond", 3 * IN),
        ("geometry.saw_depth", 2 * IN),
        ("geometry.bar_bare", 0.25),
        ("geometry.bar_gap", 0.5 * IN),
        ("buying.bag_tolerance", 0.02),
        ("loadout.shift", 8 * 3600.0),
        ("loadout.gloves", 2.0),
        ("loadout.barricades", 2.0),
        ("loadout.edgers", 2.0),
        ("loadout.hammer_under", 30 * LB),
        ("safety.heat_moderate", (91 - 32) / 1.8),
        ("safety.heat_high", (103 - 32) / 1.8),
        ("safety.heat_very_high", (115 - 32) / 1.8),
        ("safety.rest_index", (90 - 32) / 1.8),
        ("safety.rest", 900.0),
        ("safety.rest_every", 7200.0),
        ("safety.new_worker", 0.20),
        ("buying.bags_per_spare", 6.0),
        ("buying.least_spares", 2.0),
        ("buying.packet_reserve", 0.25),
        ("buying.rinse_per_bag", 1.5 * GAL),
        ("buying.soak", 0.5 * GAL / FT2),
        ("loadout.least_vessels", 4.0),
        ("loadout.least_sets", 2.0),
        ("loadout.cover_beyond", 12 * IN),
        ("loadout.burlap_layers", 2.0),
        ("temperature.insulate_under", (55 - 32) / 1.8),
        ("loadout.drinking_per_hour", 1 * QT),
        ("safety.heat_index", (80 - 32) / 1.8),
        ("safety.hot_bags", (90 - 32) / 1.8),
        ("frost.air_under", (40 - 32) / 1.8),
        ("surface.ramp_running", 12.0),
        ("surface.ramp_cross", 48.0),
        ("surface.walk_running", 20.0),
        ("surface.walk_cross", 48.0),
        ("surface.landing_slope", 48.0),
        ("surface.tread_slope", 48.0),
        ("surface.door_slope", 48.0),
        ("surface.counter_slope", 20.0),
        ("surface.bevel", 2.0),
        ("surface.existing_first", 10.0),
        ("surface.existing_first_rise", 6 * IN),
        ("surface.existing_second", 8.0),
        ("surface.existing_second_rise", 3 * IN),
        ("surface.aim_running", 0.075),
        ("surface.aim_cross", 0.015),
        ("surface.upright_change", 0.25 * IN),
        ("surface.bevelled_change", 0.5 * IN),
        ("surface.threshold", 0.5 * IN),
        ("surface.run_rise", 30 * IN),
        ("surface.handrail_rise", 6 * IN),
        ("surface.clear_width", 36 * IN),
        ("surface.landing_length", 60 * IN),
        ("surface.edge_curb", 4 * IN),
        ("surface.straightedge_gap", 0.25 * IN),
        ("surface.least_riser", 4 * IN),
        ("surface.greatest_riser", 7 * IN),
        ("surface.least_tread", 11 * IN),
        ("surface.neighbour_difference", 0.1875 * IN),
        ("surface.flight_difference", 0.375 * IN),
        ("surface.site_flight_difference", 0.25 * IN),
        ("surface.level_accuracy", 0.001),
        ("surface.rule_accuracy", IN / 32),
        ("surface.nosing_radius", 0.5 * IN),
        ("surface.nosing_projection", 1.5 * IN),
    )
)


def practice(**changes: float) -> Practice:
    """The values above with some changed; a double underscore stands for the dot."""
    changed = {name.replace("__", "."): value for name, value in changes.items()}
    return Practice(tuple({**dict(PRACTICE.values), **changed}.items()))


def card(
    key: str = "small-stone",
    kind: Kind = "small stone",
    least_in: float = 1.5,
    greatest_in: float = 4.0,
    stone_in: float | None = None,
    yield_ft3: float = 0.43,
    bag_lb: float = 50.0,
    price: float | None = 19.5,
) -> MixCard:
    """A mix in inches, cubic feet and pounds; its clock is of no matter here."""
    return MixCard(
        key=key,
        name=key,
        kind=kind,
        bag=Bag(bag_lb * LB, yield_ft3 * FT3, price),
        water=Water(3.75 * QT, 4.25 * QT, 4.75 * QT),
        depth=Depth(least_in * IN, greatest_in * IN, None if stone_in is None else stone_in * IN),
        mixing_s=90.0,
        setting=Setting(21.1, 40e3, 180.0, "end of mixing", 720.0, 1200.0),
        passes=Passes(Window(240.0, 285.0, 360.0, 450.0)),
        retarder=Retarder(),
        heat=Heat(),
        strength=Strength(),
        opening=Opening(3600.0, 7200.0),
    )


def rectangle(
    pour_id: str, length_in: float, width_in: float, depths_in: list[float], **rest: object
) -> Pour:
    """A rectangular pour in inches."""
    fields = {"finish": "trowel", **rest}
    return Pour(
        id=pour_id,
        area_m2=length_in * width_in * IN**2,
        depths_m=tuple(depth * IN for depth in depths_in),
        length_m=length_in * IN,
        width_m=width_in * IN,
        **fields,  # type: ignore[arg-type]
    )


def drawn(pour_id: str, corners_in: list[tuple[float, float]], depths_in: list[float]) -> Pour:
    """A pour by its outline in inches."""
    from engine.job.outline import area_m2

    corners = tuple((x * IN, y * IN) for x, y in corners_in)
    depths = tuple(depth * IN for depth in depths_in)
    return Pour(pour_id, area_m2(corners), depths, "trowel", outline_m=corners)


def job(
    pours: list[Pour], mixes: list[MixCard] | None = None, values: Practice = PRACTICE, **rest: object
) -> Job:
    """A day for two people with these pours."""
    fields: dict[str, object] = {
        "stock": Stock((("small-stone", 16.0),), 12.0, 4),
        "conditions": (ForecastRow(0.0, 12.0, 0.6, 1.0, False),),
        "people": (Person("MA", ("mix",)), Person("F", ("place", "finish"))),
        "stations": (Station("S1", "5 gal bucket"),),
        "materials": Materials(),
        **rest,
    }
    return Job(
        name="Measured",
        date="2026-11-05",
        zone="America/Chicago",
        units="us",
        start=0.0,
        mixes=tuple(mixes if mixes is not None else [card(stone_in=0.375)]),
        times=Times(40, 30, 20, 30, 15, 20, 108, 129, 129, 54),
        pours=tuple(pours),
        practice=values,
        **fields,  # type: ignore[arg-type]
    )


def library() -> Job:
    """The library day from its own job file, read here by hand: lengths in inches and feet only."""
    text = (DATA / "scenarios" / "library" / "job.toml").read_text(encoding="utf-8")
    pours = [_library_pour(row) for row in tomllib.loads(text)["pours"]]
    return job(pours)


def _library_pour(row: dict[str, object]) -> Pour:
    depths = [_inches(text) for text in row["depths"]]  # type: ignore[attr-defined]
    sides = _inches(str(row["length"])), _inches(str(row["width"]))
    return rectangle(
        str(row["id"]),
        *sides,
        depths,
        finish=row["finish"],
        use=row["use"],
        edges=row["edges"],
        mix=row["mix"],
    )


def _inches(text: str) -> float:
    total, words = 0.0, text.split()
    pending = 0.0
    for word in words:
        if word in ("ft", "in"):
            total, pending = total + pending * (12 if word == "ft" else 1), 0.0
        else:
            top, _, bottom = word.partition("/")
            pending += float(top) / float(bottom or 1)
    return total
