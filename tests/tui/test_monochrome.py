"""Without any style the screen still says everything: shapes and words first, and in ASCII alone where it must be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from zoneinfo import ZoneInfo

import pytest

from engine.pour.views import LiveView, SignView, Window, WindowState
from engine.record.replaying.incidents import KINDS, Incident
from engine.words import say
from tests.tui.days import (
    BUSY,
    NOW,
    VIEWS,
    WORDS,
    ZONE,
    call,
    called,
    hold,
    person,
    pour,
    row,
    task,
    vessel,
    view,
    window,
)
from tests.tui.test_painters import CALLS, SIZES, STATES
from tui.desk import Ask, Desk, Entry, Told
from tui.glyphs import ASCII, BLOCKS, Glyphs
from tui.paint.alarms import paint_alarms
from tui.paint.cells import in_ascii, width_of
from tui.paint.crew import paint_crew, paint_timeline
from tui.paint.foot import paint_banners, paint_message
from tui.paint.frame import paint_frame
from tui.paint.lanes import call_lane, paint_lanes
from tui.paint.pages import help_pages, paint_finder, paint_start
from tui.paint.pen import Pen
from tui.paint.queue import paint_queue, paint_queue_line
from tui.paint.rate import paint_rate
from tui.paint.running import GAUGE, MARKS, gauge, paint_running
from tui.paint.runs import Line, Lines, ascii_lines, plain
from tui.paint.screen import paint_screen
from tui.paint.site import paint_site
from tui.replay.paint import paint_day_line, paint_keys, paint_replay_footer
from tui.scene import Scene, settled
from tui.sound.alarms import alarms
from tui.sound.ringing import Ringing, ring
from tui.start import carries_blocks

PENS = {"blocks": Pen(WORDS, BLOCKS, zone=ZoneInfo(ZONE)), "ascii": Pen(WORDS, ASCII, zone=ZoneInfo(ZONE))}
WIDTHS = (60, 80, 120)
POURS = ("queued", "placing", "finishing", "curing", "open", "later visit")


def words_of(lines: Lines | Line) -> str:
    """The text alone; of a single row too."""
    rows = lines if lines and isinstance(lines[0][0], tuple) else (lines,)
    return "\n".join(plain(one).rstrip() for one in rows)  # type: ignore[arg-type]


def scene(seen: LiveView, desk: Desk | None = None, kept: int = 14) -> Scene:
    return settled(Scene(seen, NOW, desk or Desk(), kept_seq=kept))


def told(texts: dict[str, str]) -> None:
    """Every pair of states of one part has different text."""
    same = [(a, b) for a, b in combinations(texts, 2) if texts[a] == texts[b]]
    assert not same


def rung(seen: LiveView) -> Scene:
    """With what has rung for a while over this view."""
    first, _ = ring(Ringing(), alarms(seen, NOW), NOW - 40)
    return scene(seen, Desk(ringing=ring(first, alarms(seen, NOW), NOW)[0]))


RINGING = {
    "due": view(call("done"), (row("P2.1", "broom", "due", 20),)),
    "late": view(call("done"), (row("P2.1", "broom", "late", 20),)),
    "lost": view(call("done"), (row("P2.1", "broom", "lost", -20),)),
    "edge at risk": view(call("edge at risk")),
    "joint": view(call("joint")),
}


def one_row(**changes: object) -> LiveView:
    return view(call(), (row("P2.1", "first_trowel", "early", 95, **changes),))


PARTS: dict[str, tuple[Callable[[Scene, int, Pen], Lines | Line], dict[str, Scene]]] = {
    "running: the state of a window": (
        lambda seen, width, pen: paint_running(seen, width, 6, pen),
        {state: scene(view(call(), (row("P2.1", "first_trowel", state, 30),))) for state in STATES},
    ),
    "running: a bag called, in its vessel, tipped": (
        lambda seen, width, pen: paint_running(seen, width, 6, pen),
        {
            "called": scene(view(call(), (called(),))),
            "mixing": scene(view(call(), (vessel(left_s=20),))),
            "mixed": scene(view(call(), (vessel(kind="tipped", left_s=20),))),
            "tipped": scene(view(call(), (row("P2.2", left_s=20),))),
        },
    ),
    "running: pressed, kept, assumed": (
        lambda seen, width, pen: paint_running(seen, width, 6, pen),
        {
            "hollow": scene(one_row(), kept=13),
            "kept": scene(one_row()),
            "assumed": scene(one_row(assumed=True)),
            "assumed, hollow": scene(one_row(assumed=True), kept=13),
        },
    ),
    "running: what waits for a second key": (
        lambda seen, width, pen: paint_running(seen, width, 6, pen),
        {
            "nothing": scene(one_row()),
            "lost": scene(one_row(), Desk(ask=Ask("lost", "P2.1", NOW + 3))),
            "skip": scene(one_row(), Desk(ask=Ask("skip", "P2.1", NOW + 3))),
        },
    ),
    "lanes: the call": (
        lambda seen, width, pen: paint_lanes(seen, width, (6, 5), pen),
        {state: scene(view(call(state))) for state in CALLS},
    ),
    "lanes: the pass that presses": (
        lambda seen, width, pen: paint_lanes(seen, width, (6, 5), pen),
        {state: scene(view(hold(900), (row("P2.1", "broom", state, 30),))) for state in STATES},
    ),
    "lanes: the call in words": (
        lambda seen, width, pen: paint_lanes(seen, width, (2, 2), pen),
        {state: scene(view(call(state))) for state in CALLS},
    ),
    "board: the call": (
        lambda seen, width, pen: paint_screen(seen, width, 24, pen),
        {state: scene(view(call(state)), Desk(board=True)) for state in CALLS},
    ),
    "board: the pass that presses": (
        lambda seen, width, pen: paint_screen(seen, width, 24, pen),
        {
            state: scene(view(hold(900), (row("P2.1", "broom", state, 30),)), Desk(board=True))
            for state in STATES
        },
    ),
    "alarms: by what rings": (
        lambda seen, width, pen: paint_alarms(seen, width, 3, pen),
        {name: rung(seen) for name, seen in RINGING.items()},
    ),
    "crew: free, at work, away": (
        lambda seen, width, pen: paint_crew(seen, width, 4, pen),
        {
            "free": scene(view(crew=(person("Lead"),))),
            "at work": scene(view(crew=(person("Lead", task("float", "P1", -10, 30)),))),
            "next": scene(view(crew=(person("Lead", task("float", "P1", 10, 30)),))),
            "away": scene(view(crew=(person("Lead", away=True),))),
        },
    ),
    "timeline: free, at work, away": (
        lambda seen, width, pen: paint_timeline(seen, max(width, 120), 4, pen),
        {
            "free": scene(view(crew=(person("Lead"),))),
            "at work": scene(view(crew=(person("Lead", task("float", "P1", -10, 30)),))),
            "away": scene(view(crew=(person("Lead", away=True),))),
        },
    ),
    "queue: the state of a pour": (
        lambda seen, width, pen: paint_queue(seen, width, 4, pen),
        {state: scene(view(queue=(pour("P7", state, 2, 1),))) for state in POURS},
    ),
    "queue in a line: bags left, none, the marker": (
        lambda seen, width, pen: paint_queue_line(seen, width, pen),
        {
            "left": scene(view(queue=(pour("P7", "queued", 2, 1),))),
            "none": scene(view(queue=(pour("P7", "finishing", 2, 0),))),
            "curing": scene(view(queue=(pour("P7", "curing", 2, 0),))),
            "marked": scene(view(call(pour="P7"), queue=(pour("P7", "queued", 2, 1),))),
        },
    ),
    "queue: soaked, dry again": (
        lambda seen, _width, pen: paint_queue(seen, 120, 4, pen),
        {
            "not soaked": scene(view(queue=(pour("P7", soak="not soaked"),))),
            "damp": scene(view(queue=(pour("P7", soak="damp", soaked_at=NOW - 60),))),
            "dry again": scene(view(queue=(pour("P7", soak="dry again", soaked_at=NOW - 60),))),
        },
    ),
    "site: readings, stock": (
        lambda seen, width, pen: paint_site(seen, width, 3, pen),
        {
            "fresh": scene(view()),
            "old": scene(view(readings=replace(view().readings, read_at=NOW - 3000, stale=True))),
            "in sun": scene(view(readings=replace(view().readings, sun=True))),
            "short": scene(view(stock=replace(view().stock, bags=3.0))),
            "trial": scene(view(trial=NOW - 60)),
        },
    ),
    "site in one line: readings to be taken, stock": (
        lambda seen, width, pen: paint_site(seen, width, 1, pen),
        {
            "fresh": scene(view()),
            "old": scene(view(readings=replace(view().readings, read_at=NOW - 3000, stale=True))),
            "short": scene(view(stock=replace(view().stock, bags=3.0))),
        },
    ),
    "message: said, refused, asked, typed, kept": (
        lambda seen, width, pen: paint_message(seen, width, pen),
        {
            "kept": scene(view()),
            "hollow": scene(view(), kept=13),
            "said": scene(view(), Desk(message=Told(say("line.tipped", batch="P2.1"), NOW + 5))),
            "refused": scene(view(), Desk(message=Told(say("refusal.no_reading"), NOW + 5, bad=True))),
            "typed": scene(view(), Desk(entry=Entry("note", "x"))),
            "reading": scene(view(), Desk(entry=Entry("reading", "x"))),
            "leave": scene(view(), Desk(ask=Ask("quit", "", NOW + 3))),
        },
    ),
    "banners: none, one, another": (
        lambda seen, width, pen: paint_banners(seen, width, 2, pen),
        {
            "none": scene(view()),
            "clock": scene(view(banners=(say("banner.clock_jump", by="+3600"),))),
            "tail": scene(view(banners=(say("banner.torn_tail", path="day.tail"),))),
        },
    ),
}


@pytest.mark.parametrize("pen", PENS)
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("part", PARTS)
def test_states_of_one_part_differ_in_text_alone(part: str, width: int, pen: str) -> None:
    paint, scenes = PARTS[part]
    told({state: words_of(paint(seen, width, PENS[pen])) for state, seen in scenes.items()})


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("state", ["edge at risk", "joint"])
def test_what_may_go_wrong_is_marked_before_its_words(state: str, width: int) -> None:
    lane = call_lane(scene(view(call(state))), width, PENS["blocks"])
    assert lane.state == state
    shown = words_of(paint_lanes(scene(view(call(state))), width, (6, 5), PENS["blocks"]))
    assert shown.startswith({"edge at risk": " !! ", "joint": " xx "}[state])


@pytest.mark.parametrize("glyphs", [BLOCKS, ASCII])
def test_the_gauge_fills_as_the_window_runs_and_ends_in_crosses(glyphs: Glyphs) -> None:
    """Open at 0, due at 60, late at 120, lost at 210: each half of a band has its own shape, no two states share one."""
    moments: list[tuple[WindowState, float]] = [
        ("early", -9),
        ("open", 0),
        ("open", 31),
        ("due", 60),
        ("due", 91),
        ("late", 120),
        ("late", 200),
        ("lost", 210),
    ]
    shapes = [gauge(Window("float", 0.0, 60.0, 120.0, 210.0, state), now, glyphs) for state, now in moments]
    assert {width_of(shape) for shape in shapes} == {GAUGE}
    assert len(set(shapes)) == len(shapes) - 1
    assert shapes[-2] == shapes[-3]
    filled = [shape.count(glyphs.through) + shape.count(glyphs.begun) / 2 for shape in shapes[:6]]
    assert filled == sorted(filled)
    assert shapes[-1] == "xxx"
    assert gauge(None, 0.0, glyphs).isspace()


def test_the_gauge_of_a_window_without_end_stands() -> None:
    endless = replace(window("float", "open", 30), due=float("inf"))
    assert gauge(endless, NOW, BLOCKS) == "□··"


def test_the_single_marks_differ_too() -> None:
    assert len(set(MARKS.values())) == len(MARKS)
    assert all(mark.strip() and mark.isascii() for mark in MARKS.values())


@pytest.mark.parametrize("width", WIDTHS)
def test_a_late_row_is_filled_from_edge_to_edge_and_a_due_one_is_not(width: int) -> None:
    late, due = (
        paint_running(scene(view(hold(900), (row("P2.1", "broom", state, 30),))), width, 1, PENS["blocks"])[0]
        for state in ("late", "due")
    )
    assert {style for _, style in late} == {"late"}
    assert {style for _, style in due} == {"chosen", "due"}


@pytest.mark.parametrize("name", VIEWS)
def test_no_style_changes_within_a_second(name: str) -> None:
    """WCAG 2.1, 2.3.1 allows three flashes a second; here nothing changes its look but on a whole second or a key."""
    shown = [
        [[style for text, style in line for _ in text] for line in paint_screen(one, 80, 24, PENS["blocks"])]
        for one in (replace(scene(VIEWS[name]), now=NOW + part) for part in (0.05, 0.3, 0.6, 0.95))
    ]
    assert all(one == shown[0] for one in shown)


def everything(pen: Pen) -> dict[str, Lines]:
    """Every page there is beside the live screen itself."""
    seen = view(call(), BUSY, factor=SIGNS)
    at = scene(seen)
    incidents = [
        Incident(n + 1, NOW + 60.0 * n, kind, say("line.tipped", batch="P2.1"))
        for n, kind in enumerate(KINDS)
    ]
    pages = {f"help {n}": page for n, page in enumerate(help_pages(at, 80, 16, pen))}
    pages |= {f"keys {n}": page for n, page in enumerate(paint_keys(80, 16, pen))}
    return pages | {
        "start": paint_start(80, 16, pen),
        "finder": paint_finder(scene(seen, Desk(entry=Entry("find", "t"))), 80, 16, pen),
        "rate": paint_rate(at, 80, 16, pen),
        "timeline": paint_timeline(at, 120, 6, pen),
        "frame": paint_frame("made-up day", "P1 P2", 80, 24),
        "board": paint_screen(scene(seen, Desk(board=True)), 80, 24, pen),
        "alarms": paint_alarms(rung(RINGING["late"]), 80, 3, pen),
        "day line": (paint_day_line((NOW, NOW + 600), NOW + 90, incidents, 80, pen),),
        "replay footer": (paint_replay_footer(at, NOW, 80, pen),),
    }


SIGNS = replace(
    view().factor,
    said=say("rate.no_signs"),
    spread=(0.1, 0.3, 0.4, 0.2) * 6,
    signs=(SignView(NOW, say("line.tipped", batch="P2.1"), 1.1, False, 0.3, True),),
)


def test_every_page_is_ascii_on_a_plain_terminal() -> None:
    pages = everything(PENS["ascii"])
    assert not [name for name, page in pages.items() if not words_of(page).isascii()]
    assert [name for name, page in everything(PENS["blocks"]).items() if not words_of(page).isascii()]


@pytest.mark.parametrize("name", VIEWS)
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_every_cell_is_ascii_in_the_end_whatever_the_job_says(name: str, width: int, height: int) -> None:
    lines = paint_screen(scene(VIEWS[name]), width, height, PENS["ascii"])
    shown = ascii_lines(lines)
    assert words_of(shown).isascii()
    assert [sum(width_of(text) for text, _ in line) for line in shown] == [width] * height


@pytest.mark.parametrize(
    ("text", "twin"),
    [
        ("walk by the door", "walk by the door"),
        ("señal · café…", "senal - cafe~"),
        ("±0:20 ¡ya!", "~0:20 !ya!"),
        ("橋", "??"),
        ("½ bag", "? bag"),
    ],
)
def test_names_keep_their_width_in_ascii(text: str, twin: str) -> None:
    assert in_ascii(text) == twin
    assert width_of(text) == len(twin)


@pytest.mark.parametrize(
    ("environment", "encoding", "assumed", "carries"),
    [
        ({"LANG": "en_US.UTF-8"}, "utf-8", False, True),
        ({"LANG": "C.utf8"}, "UTF-8", False, True),
        ({"LANG": "de_DE.UTF-8@euro"}, "utf-8", False, True),
        ({"LANG": "C"}, "utf-8", True, False),
        ({}, "utf-8", True, False),
        ({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, "utf-8", True, False),  # Python's own doing
        ({"LC_CTYPE": "C.UTF-8"}, "utf-8", False, True),  # the user's
        ({"LANG": "C", "LC_CTYPE": "en_US.UTF-8"}, "utf-8", True, True),
        ({"LANG": "en_US.UTF-8", "LC_ALL": "C"}, "utf-8", True, False),
        ({"LANG": "en_US.UTF-8", "LC_ALL": "POSIX"}, "utf-8", True, False),
        ({"LANG": "en_US.ISO-8859-1"}, "iso8859-1", False, False),
        ({"LANG": "en_US.UTF-8"}, "ascii", False, False),
        (
            {"LANG": "en_US.UTF-8", "LC_CTYPE": "C.UTF-8"},
            "utf-8",
            True,
            True,
        ),  # a locale that is not installed
    ],
)
def test_block_signs_go_out_only_where_locale_and_output_have_them(
    environment: dict[str, str], encoding: str, assumed: bool, carries: bool
) -> None:
    """POSIX: LC_ALL goes before LC_CTYPE before LANG, and the C locale is ASCII alone; PEP 538 and 540 for `assumed`."""
    assert carries_blocks(environment, encoding, assumed=assumed) is carries
