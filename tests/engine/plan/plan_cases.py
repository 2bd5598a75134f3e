"""Case files at hand and small random pours in their form, for the scheduler's tests."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

Case = dict[str, Any]
FOLDER = Path(__file__).parents[2] / "data" / "schedule-cases"
NAMES = tuple(sorted(path.stem for path in FOLDER.glob("*.json")))
AGES = (
    ("working_time_s", 218),
    ("joint_limit_s", 279),
    ("float_close_s", 358),
    ("trowel1_open_s", 325),
    ("trowel1_close_s", 598),
    ("trowel2_open_s", 521),
    ("trowel2_close_s", 898),
)
CREWS = ((1, 1, 0), (2, 1, 0), (1, 2, 0), (2, 2, 0), (0, 0, 1), (0, 0, 2), (1, 1, 1), (1, 0, 1))


@cache
def case_of(name: str) -> Case:
    """A copied case by its name, or the start of it."""
    found: Case = json.loads(next(FOLDER.glob(f"{name}*.json")).read_text())
    return found


def option(doses: float, stretch: float = 1.0) -> Case:
    """A dose with its windows, one more setting time a dose (assumed, as in the case files)."""
    factor = (1.0 + doses) * stretch
    windows = {key: int(age * factor) for key, age in AGES}
    return {"name": f"{doses:g} doses", "retarder_doses_per_bag": doses, **windows}


def _fives(low: int, high: int) -> st.SearchStrategy[int]:
    return st.integers(low // 5, high // 5).map(lambda n: 5 * n)


@st.composite
def pours(draw: st.DrawFn, most: int = 6) -> Case:
    """A small pour: single, knit or whole-finished patches, any crew, one or two doses, perhaps an order rule."""
    count = draw(st.integers(1, most))
    batches = [
        {"id": f"B{n + 1}", "bags": 1, "mix_s": draw(_fives(95, 150)), "wash_s": draw(_fives(30, 50))}
        for n in range(count)
    ]
    patches, left = [], [batch["id"] for batch in batches]
    while left:
        size = draw(st.integers(1, min(3, len(left))))
        patches.append(_patch(draw, f"P{len(patches) + 1}", left[:size]))
        left = left[size:]
    mixes, finishes, both = draw(st.sampled_from(CREWS))
    crew = {"mix_only": mixes, "finish_only": finishes, "mix_and_finish": both}
    orders = []
    if len(patches) > 1 and draw(st.booleans()):
        after = draw(st.sampled_from(("placed", "finished")))
        orders = [{"first": "P1", "then": "P2", "after": after, "lag_s": draw(_fives(0, 60))}]
    return {
        "case_id": "drawn",
        "crew": crew | {"mixing_stations": mixes + both},
        "set_options": [option(1.0), option(1.5)] if draw(st.booleans()) else [option(1.0)],
        "batches": batches,
        "patches": patches,
        "patch_order": orders,
    }


def _patch(draw: st.DrawFn, name: str, batches: list[str]) -> Case:
    whole = len(batches) > 1 and draw(st.booleans())
    more = 20 * (len(batches) - 1) if whole else 0
    laid = [{"batch": b, "carry_s": draw(_fives(10, 30)), "place_s": draw(_fives(35, 60))} for b in batches]
    return {
        "id": name,
        "finish_mode": "whole_patch" if whole else "each_batch",
        "approach_s": draw(st.integers(5, 12)),
        "float_s": draw(_fives(50, 70)) + more,
        "trowel1_s": draw(_fives(50, 70)) + more,
        "trowel2_s": draw(_fives(50, 70)) + more,
        "edge_s": draw(_fives(0, 30)),
        "placements": laid,
    }
