"""A made-up day in which everything happens that a log can say: each kind of event at least once, in an order that holds.

A new kind: one more row. What the numbers mean to a crew does not matter; that they can be read years later does.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator

from engine.clock import Stamp
from engine.job.changes import BagChange
from engine.job.files import demo_job_path, read_job
from engine.pour import events as e
from engine.pour import measured as m
from engine.pour import replanned as r
from engine.pour.body import Body
from engine.pour.events import Event

DATE = datetime.date(2026, 5, 4)
JOB = read_job(demo_job_path(), DATE)
MIX = "small-stone"
Row = tuple[
    float, str, Body | Callable[[int], Body]
]  # seconds after the row before, who, what; by its line number

ROWS: tuple[Row, ...] = (
    (0, "", e.DayOpened(JOB, "bagcall, as it was then")),
    (60, "", e.ReadingTaken(air_c=15.5, slab_c=14.0, humidity=0.6, wind_ms=1.2, sun=False, bags_c=16.5, water_c=14.5)),
    (20, "", m.LotNoted("A123", mix=MIX)),
    (20, "", m.BagWeighed(22.6, MIX)),
    (20, "", m.DepthsRead("R2", (0.05, 0.055, 0.05, 0.045))),
    (20, "", m.Ticked("R1", ("sound", "square", "clean", "deep", "joint"), 600.0)),
    (20, "", m.SlopeRead("R1", "before", 0.07, 0.012, 0.002, 0.002, "top")),
    (20, "", m.LipRead("R1", "before", 0.009, 0.005, 0.01, "foot")),
    (20, "", m.RampMeasured("R1", 0.5, 0.95, 1.5)),
    (20, "", m.StepsRead("T1", "before", "risers", (0.17, 0.172, 0.169))),
    (20, "", m.NosingRead("T1", 0.012, 0.02)),
    (30, "", m.ChangeOrdered("L2", "bad concrete went deeper", (0.045, 0.05), (0.055, 0.06), (BagChange(MIX, 1, 2),), 85.0, "AB")),
    (30, "", e.Soaked("R1")),
    (60, "MB", e.TrialStarted("T1", MIX, 0.0)),
    (330, "MB", e.SignSeen("stiff", "T1")),
    (40, "", e.WentAway("F")),
    (300, "", e.CameBack("F")),
    (20, "", r.HandLent("MB", "finish")),
    (20, "", r.PourMoved("W1", "R2")),
    (20, "", r.PourAdded("A1", 0.28, (0.05, 0.045, 0.055), "broom", "found beside the walk", length_m=0.61, width_m=0.46, before="W1")),
    (20, "", r.PourDivided("L2", 0.5, "L2b")),
    (20, "", e.PourLeft("A1")),
    (20, "", r.PourTakenUp("A1")),
    (20, "", r.FinishSet("L2", "float")),
    (20, "", r.DoseSet("R2", 1.0)),
    (0, "", r.WayTaken((("packet", (("packets", "1"),)),), 1)),
    (60, "", e.Assigned("MB", "R1")),
    (5, "", e.Assigned("F", "A1", "finish")),
    (30, "MA", e.BagCalled("R1", "S1")),
    (45, "MA", e.WaterAdded("R1.1", "R1", 1.0, 0.0, "S1")),
    (95, "MA", e.Mixed("R1.1")),
    (40, "Lead", e.Tipped("R1.1")),
    (5, "Lead", e.PartTipped("R1.1/R2", "R2", "R1.1")),
    (20, "MA", e.PacketsCorrected("R1.1", 0.5)),
    (15, "", m.WaterMeasured("R1.1", 4.1)),
    (10, "", m.LotNoted("A124", "R1.1")),
    (30, "F", e.StrokeDone("float", ("R1.1",))),
    (0, "", r.CaughtUp(1)),
    (5, "", lambda line: e.StampShifted(line - 1, -5.0)),
    (20, "", e.SignSeen("still moves", "R1.1")),
    (60, "", lambda line: e.SignForgotten(line - 1, "still moves", "R1.1")),
    (20, "", e.SignSeen("not yet", "R1.1", "broom")),
    (10, "", e.FactorFrozen(1.05, 0.9, 1.22, 1)),
    (60, "", e.FactorFreed()),
    (5, "MB", e.WaterAdded("R1.2", "R1", 1.0, 0.0, "S2")),
    (90, "MB", e.Mixed("R1.2")),
    (100, "", e.BatchLost("R1.2", "stiff in the vessel")),
    (20, "", e.BagRejected(MIX, "R1", "lumps")),
    (10, "", e.VesselLost("S2", "cracked")),
    (30, "", e.ClockJumped(-3.5)),
    (60, "F", e.StrokeDone("broom", ("R1.1",))),
    (20, "F", e.StrokeSkipped("edge", ("R1.1",))),
    (30, "", e.PourSplit("R1", 0.6, "R1b")),
    (20, "", e.PourLeft("T2")),
    (60, "", e.Covered("R1", "blanket")),
    (600, "", e.LogJoined("second.jsonl", 15, 1777905280.0, 1777905880.0, False, ((55, 1, 15),))),
    (20, "MA", e.WaterAdded("L1.1", "L1", 1.0, 0.0, "S1")),
    (30, "MA", e.Mixed("L1.1")),
    (5, "", lambda line: e.Undone(line - 1)),
    (60, "MA", e.Mixed("L1.1")),
    (40, "Lead", e.Tipped("L1.1")),
    (60, "", e.Uncovered("R1")),
    (20, "", m.Sounded("R1", "clear")),
    (20, "", m.WetFelt("R1", "grips")),
    (20, "", m.GapRead("R1", "after", 0.003, "middle")),
    (3600, "F", e.Opened("R1", "feet")),
    (60, "", m.CoatingRead("R1", "film", None, 64800.0, False, 14.0, 15.0, 0.55, 108000.0, 93600.0, True, 9.5)),
    (30, "", m.VisitAgreed(2, "2026-06-02")),
    (30, "", m.LookMade("next day")),
    (30, "", e.NoteWritten("the gate was locked until nine", "R1")),
)  # fmt: skip
SECOND_MACHINE = e.LogJoined  # from its line on, stamps are of another boot
SAID_LATE_S = 10.0  # one line speaks of a moment before its press


def golden_day() -> Iterator[Event]:
    """The day as events, on two machines."""
    at, mark, began = JOB.start - 1800.0, "boot-1", JOB.start - 2800.0
    for line, (after_s, who, what) in enumerate(ROWS, start=1):
        at += after_s
        body = what if isinstance(what, Body) else what(line)
        if isinstance(body, SECOND_MACHINE):
            mark, began = "boot-2", at - 77.0
        late_s = SAID_LATE_S if isinstance(body, e.StrokeSkipped) else 0.0
        how: e.How = "shifted" if late_s else "pressed"
        yield Event(line, at - late_s, body, Stamp(at, at - began, mark), who, who == "Lead", how)
