"""Rows of an `expected.csv` held against `status` and `check`: `at,which,quantity,expected,tolerance`."""

from __future__ import annotations

import csv
import datetime
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

DATA = Path(__file__).parent.parent / "data" / "scenarios"


@dataclass(frozen=True)
class Row:
    at: str
    which: str
    quantity: str
    expected: str
    tolerance: str

    def __str__(self) -> str:
        return f"{self.at} {self.which} {self.quantity}"


def rows_of(path: Path) -> list[Row]:
    with path.open(encoding="utf-8", newline="") as stream:
        return [
            Row(row.get("at", ""), row["which"], row["quantity"], row["expected"], row["tolerance"])
            for row in csv.DictReader(stream)
        ]


def found(status: dict[str, Any], row: Row) -> Any:
    """What the status says for a row; a window asked of a pour with one batch is that batch's."""
    if not row.which:
        return _inside(status, row.quantity)
    for batch in status["batches"]:
        if batch["id"] == row.which:
            return _inside(batch if row.quantity in batch else batch["windows"], row.quantity)
    pour = next(pour for pour in status["pours"] if pour["id"] == row.which)
    if row.quantity in pour:
        return pour[row.quantity]
    (batch,) = [b for b in status["batches"] if b["pour"] == row.which and b["stage"] != "lost"]
    return _inside(batch["windows"], row.quantity)


def _inside(table: dict[str, Any], path: str) -> Any:
    for key in path.split("."):
        table = table[key]
    return table


def difference(value: Any, row: Row, date: str, zone: str) -> tuple[float, float]:
    """How far a value is off and how far it may be, in seconds, kelvin, parts or plain."""
    if row.tolerance.endswith(" s"):
        expected = datetime.datetime.fromisoformat(f"{date}T{row.expected}").replace(tzinfo=ZoneInfo(zone))
        off = (datetime.datetime.fromisoformat(value) - expected).total_seconds()
        return abs(off), float(row.tolerance[:-2])
    off = abs(float(value) - float(row.expected))
    if row.tolerance.endswith("%"):
        return off / abs(float(row.expected)), float(row.tolerance[:-1]) / 100.0
    return off, float(row.tolerance.split(" ")[0])


def holds(value: Any, row: Row, date: str, zone: str) -> bool:
    if not row.tolerance:
        return str(value) == row.expected or _same_number(value, row.expected)
    off, allowed = difference(value, row, date, zone)
    return off <= allowed


def _same_number(value: Any, expected: str) -> bool:
    try:
        return abs(float(value) - float(expected)) < 1e-9
    except (TypeError, ValueError):
        return False
