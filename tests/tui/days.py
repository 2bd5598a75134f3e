"""Made-up days for the screen: views of every state, and a session that stands behind them without an engine."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from engine.clock import HandClock, Stamp
from engine.pour import intents as i
from engine.pour.after_view import AfterView
from engine.pour.around.ways_out import WaysOut
from engine.pour.asked import Done, Refused
from engine.pour.events import ReadingTaken
from engine.pour.plan_view import PlanView
from engine.pour.views import (
    CallView,
    CrewRow,
    CrewTask,
    FactorView,
    LastLine,
    LiveView,
    PlanWanted,
    QueueRow,
    ReadingsView,
    Row,
    Step,
    StockView,
    Window,
    WindowState,
)
from engine.words import Say, Words, say

NOW = 1_793_893_267.0  # 2026-11-05 09:41:07 in the zone below
ZONE = "America/Chicago"
CATALOGUE = Path(__file__).parents[2] / "configs" / "words" / "en.toml"


def flat(table: Mapping[str, Any], head: str = "") -> dict[str, str]:
    """Nested tables as dotted keys."""
    found: dict[str, str] = {}
    for name, value in table.items():
        key = f"{head}{name}"
        found |= flat(value, f"{key}.") if isinstance(value, dict) else {key: value}
    return found


TEXTS = flat(tomllib.loads(CATALOGUE.read_text(encoding="utf-8")))
WORDS = Words(TEXTS)


def call(state: str = "mix now", **changes: object) -> CallView:
    """The order for one bag into P2."""
    base = CallView(
        state="mix now",
        reason=say("reason.edge", pour="P2"),
        pour="P2",
        where="side step 1",
        batch="P2.2",
        who="MA",
        station="S1",
        bags=1.0,
        water_l=4.02,
        packets=0.0,
        at=NOW,
        latest=NOW + 70,
    )
    return replace(base, state=state, **changes)  # type: ignore[arg-type]


WHOLE = {"early": 0.0, "open": 1.0, "due": 2.0, "late": 3.0, "lost": 4.0}
NEXT = {"early": "may start", "open": "due", "due": "late", "late": "lost", "lost": "lost"}


def window(name: str, state: WindowState, left_s: float) -> Window:
    """A window in a state, so many seconds before its next limit."""
    gaps = (60.0, 60.0, 90.0)
    starts = [0.0, gaps[0], gaps[0] + gaps[1], sum(gaps)]
    place = {"early": 0, "open": 1, "due": 2, "late": 3, "lost": 3}[state]
    shift = NOW + left_s - starts[place]
    return Window(name, *(shift + start for start in starts), state=state)


def row(
    key: str = "P2.1",
    kind: str = "first_trowel",
    state: WindowState = "early",
    left_s: float = 95.0,
    **changes: object,
) -> Row:
    """A batch tipped and at a pass, its next limit so many seconds away."""
    base = Row(
        key=key,
        batches=(key,),
        pour=key.partition(".")[0],
        where="side step 1",
        finish="broom",
        stage="tipped",
        step=Step(kind, (key,), "F"),
        window=window(kind, state, left_s),
        until=NOW + left_s,
        until_word=NEXT[state],
        sure_s=20.0,
        packets=0.0,
        temperature_c=13.2,
        set_age_s=252.0,
        workable_until=NOW + 40,
        assumed=False,
        seq=14,
        urgency=({"lost": 0, "late": 1, "due": 2, "open": 4, "early": 5}[state], NOW + left_s),
    )
    return replace(base, **changes)  # type: ignore[arg-type]


def walk(kind: str, state: WindowState, left_s: float, **changes: object) -> Row:
    """The two batches of P1, finished whole."""
    both = {"batches": ("P1.1", "P1.2"), "where": "walk by the door", "finish": "trowel"}
    return row("P1", kind, state, left_s, **(both | changes))


def vessel(key: str = "P2.2", kind: str = "mixed", left_s: float = 40.0, **changes: object) -> Row:
    """A batch still in its vessel."""
    base = row(
        key, kind, "early", left_s, window=None, until_word=kind, sure_s=0.0, urgency=(3, NOW + left_s)
    )
    stage = {"mixed": "mixing", "tipped": "mixed"}[kind]
    return replace(base, **({"stage": stage, "step": Step(kind, (key,), "MA")} | changes))  # type: ignore[arg-type]


def called(pour: str = "P2", left_s: float = 20.0) -> Row:
    """A bag called and not yet wet."""
    return row(
        f"{pour} called",
        "water",
        left_s=left_s,
        batches=(),
        pour=pour,
        stage="called",
        step=Step("water", (), "MA"),
        window=None,
        until_word="water",
        sure_s=0.0,
        workable_until=None,
    )


def pour(
    name: str, state: str = "queued", bags: float = 2.0, left: float = 2.0, **changes: object
) -> QueueRow:
    """A pour of the queue."""
    base = QueueRow(
        id=name,
        where="side step",
        state=state,
        finish="broom",
        bags=bags,
        bags_left=left,
        packets=0.0,
        start=NOW + 600,
        finish_in="whole",
        edge_until=None,
        feet=NOW + 5400,
        wheels=NOW + 9000,
        opened="",
        soaked_at=None,
        flags=(),
    )
    return replace(base, **changes)  # type: ignore[arg-type]


def task(kind: str, batch: str, start_s: float, end_s: float) -> CrewTask:
    return CrewTask(kind, batch.partition(".")[0], batch, NOW + start_s, NOW + end_s)


def person(
    name: str, *tasks: CrewTask, away: bool = False, does: tuple[str, ...] = ("place", "finish")
) -> CrewRow:
    now = next((one for one in tasks if one.start <= NOW < one.end), None)
    later = next((one for one in tasks if one.start > NOW), None)
    return CrewRow(name, does, away, now, later, tasks)


CREW = (
    person("Lead", task("place", "P2.2", 60, 100), task("float", "P2.2", 100, 140)),
    person(
        "F",
        task("first_trowel", "P1", -20, 25),
        task("second_trowel", "P1", 260, 320),
        task("edge", "P1", 320, 350),
    ),
    person("MA", task("mix", "P2.2", -50, 40), task("mix", "P3.1", 200, 290), does=("mix", "place")),
    person("MB", away=True, does=("mix", "place")),
)
QUEUE = (
    pour("P1", "finishing", 2, 0, where="walk by the door", finish="trowel"),
    pour("P2", "placing", 2, 1, where="side step 1", edge_until=NOW + 40),
    pour("P3", "queued", 3, 3, where="side step 2", soaked_at=NOW - 340),
    pour("P4", "queued", 4, 4, where="ramp", start=NOW + 1800),
    pour("P5", "queued", 4, 4, where="ramp, lower half", start=NOW + 3000, flags=("tight",)),
    pour("P6", "later visit", 1, 1, where="sill", start=None),
)


def view(call_: CallView | None = None, rows: tuple[Row, ...] = (), **changes: object) -> LiveView:
    """A day under way."""
    base = LiveView(
        at=NOW,
        title="Branch library: walk, ramp and side steps",
        zone=ZONE,
        units="us",
        call=call_ or call(),
        rows=tuple(sorted(rows, key=lambda one: (one.urgency, one.key))),
        crew=CREW,
        queue=QUEUE,
        readings=ReadingsView(6.1, 5.6, 0.75, 1.34, False, 14.4, 21.1, 17.2, 0.31, NOW - 840),
        stock=StockView(12.5, 12.0, 12.0, 4, (("small-stone", 12.5),)),
        factor=FactorView(1.0, 0.77, 1.29, 0),
        last=LastLine(14, NOW - 38, say("line.tipped", batch="P2.1"), 14),
    )
    return replace(base, **changes)  # type: ignore[arg-type]


def hold(in_s: float = 80.0, **changes: object) -> CallView:
    reason = say("reason.miss_pass", patch="P3", stroke="first trowel")
    return call("hold", at=NOW + in_s, latest=None, reason=reason, pour="P3", where="side step 2", **changes)


BUSY = (
    row(
        "P1",
        "first_trowel",
        "late",
        40,
        batches=("P1.1", "P1.2"),
        where="walk by the door",
        finish="trowel",
        stage="floated",
    ),
    row("P2.1", "float", "due", 20, stage="tipped"),
    vessel("P2.2", "mixed", 40, seq=15),
    row(
        "P3.1",
        "first_trowel",
        "early",
        200,
        stage="floated",
        assumed=True,
        step=Step("first_trowel", ("P3.1",), "Lead"),
    ),
)
MANY = tuple(
    row(f"P{n}.1", kind, state, -20.0 * n if state == "lost" else 20.0 * n, seq=n)  # type: ignore[arg-type]
    for n, (kind, state) in enumerate(
        [
            ("float", "due"),
            ("first_trowel", "open"),
            ("second_trowel", "early"),
            ("broom", "late"),
            ("broom", "lost"),
        ]
        * 4,
        start=1,
    )
)
LONG_QUEUE = tuple(pour(f"P{n}", "queued", 1 + n % 4, 1 + n % 4, where=f"bay {n}") for n in range(1, 201))
FRESH = tuple(replace(one, state="queued", bags_left=one.bags, soaked_at=None) for one in QUEUE)
IDLE = (person("Lead"), person("F"), person("MA", task("mix", "P1.1", 0, 90)), person("MB"))
FIRST = call(pour="P1", where="walk by the door", reason=say("reason.now"), latest=None)
GONE = call("joint", reason=say("reason.joint", pour="P2"), latest=None)
HOSTILE = "[/] [b]\x1b[31m\u202eabc\u200d👷 " + "long " * 60 + "שלום\n\t\x07"

VIEWS: dict[str, LiveView] = {
    "empty day": view(
        call("mix now", pour="P1", where="walk by the door", reason=say("reason.now"), latest=None),
        last=None,
    ),
    "mix now": view(call(packets=1.0), (row("P2.1", "first_trowel", "early", 95),)),
    "hold for a pass": view(hold(), (walk("first_trowel", "open", 50), row("P2.1"))),
    "busy and late": view(call(), BUSY),
    "edge at risk": view(call("edge at risk"), (row("P2.1", "first_trowel", "open", 30), vessel())),
    "joint": view(
        call("joint", reason=say("reason.joint", pour="P2"), latest=None),
        (row("P2.1", "first_trowel", "lost", -40),),
    ),
    "called": view(call(), (called(), walk("second_trowel", "due", 15))),
    "done day": view(
        CallView("done", say("reason.done")),
        queue=tuple(replace(one, state="curing", bags_left=0.0) for one in QUEUE),
        quiet_until=NOW + 400,
    ),
    "no answer": view(CallView("no answer", say("reason.no_vessel")), (walk("second_trowel", "early", 220),)),
    "many": view(hold(30), MANY, queue=LONG_QUEUE),
    "metric": view(call(packets=1.5, bags=1.5), BUSY, units="metric"),
    "hostile": view(
        call(
            where=HOSTILE,
            pour=HOSTILE[:9],
            who=HOSTILE,
            station=HOSTILE,
            reason=say("reason.edge", pour=HOSTILE),
        ),
        (row("P1", "first_trowel", "due", 10, where=HOSTILE, step=Step("first_trowel", ("P1",), HOSTILE)),),
        title=HOSTILE,
        queue=(pour(HOSTILE, where=HOSTILE, flags=(HOSTILE,)), *QUEUE),
        crew=(person(HOSTILE, task("float", HOSTILE, -10, 30)), *CREW),
        last=LastLine(15, NOW - 3, say("line.note_written", text=HOSTILE)),
        banners=(say("banner.torn_tail", path=HOSTILE),),
    ),
    "warned": view(
        call(), BUSY, banners=(say("banner.clock_jump", by="+3600"), say("banner.torn_tail", path="day.tail"))
    ),
    "crowded crew": view(call(), BUSY, crew=(*CREW, person("MC", task("carry", "P2.2", 30, 60)))),
}


@dataclass
class FakeSession:
    """A session over one view: it notes what it is asked, keeps lines only when told, and moves by a hand clock."""

    seen: LiveView
    clock: HandClock = field(default_factory=lambda: HandClock(NOW))
    answers: dict[type[i.Intent], Done | Refused] = field(default_factory=dict)
    read_only: bool = False
    pace: float = 1.0
    log_path: str = "day.jsonl"
    kept_seq: int = 14
    trouble: Say | None = None
    asked: list[tuple[i.Intent, Stamp | None]] = field(default_factory=list)
    closed: int = 0
    unkept: tuple[int, ...] = ()
    views: int = 0
    ways: WaysOut = field(default_factory=lambda: WaysOut(None))
    planned: PlanView | None = None
    finished: AfterView | None = None
    broken: Exception | None = None
    _tell: Callable[[int], None] = lambda _seq: None

    def now(self) -> float:
        return self.clock.stamp().wall

    def view(self, at: float | None = None) -> LiveView:
        if self.broken:
            raise self.broken
        self.views += 1
        return replace(self.seen, at=self.now() if at is None else at)

    @property
    def pours(self) -> tuple[str, ...]:
        return tuple(pour.id for pour in self.seen.queue)

    def glance(self) -> LiveView:
        return self.view()

    def plan_wanted(self) -> PlanWanted:
        return "no"

    def replan(self) -> None:
        pass

    def submit(self, intent: i.Intent, pressed: Stamp | None = None) -> Done | Refused:
        self.asked.append((intent, pressed))
        return self.answers.get(type(intent), Done((15,), say("line.tipped", batch="P2.1")))

    def pressed(self, event_time: float) -> Stamp:
        return self.clock.pressed(event_time)

    def reading(self, line: str, pour: str = "") -> i.Intent | Refused:
        if not any(sign.isdigit() for sign in line):
            return Refused(say("refusal.no_reading"))
        return i.TakeReading(ReadingTaken(pour, air_c=11.7))

    def ways_out(self) -> WaysOut:
        return self.ways

    def plan_page(self) -> PlanView | None:
        return self.planned

    def after_page(self) -> AfterView | None:
        return self.finished

    def choices_asked(self, said: Words) -> str:
        return f"{len(said.keys())} texts"

    def on_kept(self, callback: Callable[[int], None]) -> None:
        self._tell = callback

    def keep(self, seq: int) -> None:
        """The disk has this line."""
        self.kept_seq = seq
        self._tell(seq)

    def answer_banners(self) -> None:
        self.seen = replace(self.seen, banners=())

    def close(self) -> tuple[int, ...]:
        self.closed += 1
        return self.unkept

    @property
    def intents(self) -> list[i.Intent]:
        return [intent for intent, _ in self.asked]
