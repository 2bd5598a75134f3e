"""The page of today's rate: words, the picture, the signs; and the key that opens and closes it."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from engine.pour.posterior import Sign, shares
from engine.pour.views import FactorView, SignView
from engine.words import say
from tests.tui.days import BUSY, NOW, WORDS, ZONE, view
from tui.desk import Desk
from tui.glyphs import ASCII, BLOCKS
from tui.paint.pen import Pen
from tui.paint.rate import columns, paint_rate
from tui.paint.runs import line_width, plain
from tui.paint.screen import paint_screen
from tui.press import Press, press
from tui.scene import Scene

SPREAD = shares((Sign(285.0, 250.0, 0.15, True),))
SIGNS = (
    SignView(
        NOW - 300,
        say("teach.sign_of", number=1, subject="P1.1", word="ready", stroke="float"),
        1.14,
        True,
        0.5,
        True,
    ),
    SignView(
        NOW - 60, say("teach.sign", number=2, subject="P2.1", word="still moves"), 1.02, False, 0.0, True
    ),
)
SAID = say("teach.from", pace=say("teach.faster", share="11 %"), n=2)
FACTOR = FactorView(1.11, 1.0, 1.25, 2, False, SAID, SPREAD, (0.6, 1.6), SIGNS)
PEN = Pen(WORDS, BLOCKS, "us", ZoneInfo(ZONE))
PLAIN = Pen(WORDS, ASCII, "us", ZoneInfo(ZONE))


def scene(factor: FactorView = FACTOR, desk: Desk | None = None) -> Scene:
    return Scene(view(rows=BUSY, factor=factor), NOW, desk or Desk(sheet="rate"))


@pytest.mark.parametrize("pen", [PEN, PLAIN])
@pytest.mark.parametrize(
    ("width", "height"), [(80, 24), (60, 20), (120, 36), (200, 60), (30, 8), (72, 14), (1, 1)]
)
def test_the_page_fits_every_screen(pen: Pen, width: int, height: int) -> None:
    lines = paint_screen(scene(), width, height, pen)
    assert len(lines) == height
    assert all(line_width(line) == width for line in lines)


def test_the_page_says_the_rate_and_every_sign_by_its_number() -> None:
    text = "\n".join(plain(line) for line in paint_rate(scene(), 80, 11, PEN))
    assert "setting 11 % faster than the card, from 2 signs" in text
    assert "1.14 1: P1.1 ready, float" in text
    assert "<1.02 2: P2.1 still moves" in text
    assert "^ 1.11" in text
    assert "0.6" in text
    assert "1.6" in text


def test_the_tallest_column_stands_where_the_rate_is_surest() -> None:
    shapes = columns(SPREAD, 5, PEN)
    tallest = SPREAD.index(max(SPREAD))
    assert [row_[tallest] for row_ in shapes] == [BLOCKS.full] * 5
    assert shapes[0].count(" ") > shapes[-1].count(" ")
    assert set("".join(columns(SPREAD, 5, PLAIN))) == {"#", " "}


def test_the_marks_stand_under_card_and_rate() -> None:
    axis = plain(paint_rate(scene(), 80, 11, PEN)[-2])
    assert axis.index("^") > axis.index("+")
    slow = plain(paint_rate(scene(replace(FACTOR, value=0.6)), 80, 11, PEN)[-2])
    assert slow.index("^") == 1


def test_without_signs_the_page_says_what_would_teach_it() -> None:
    bare = FactorView(1.0, 0.77, 1.29, 0, False, say("teach.as_the_card"), shares(()))
    text = "\n".join(plain(line) for line in paint_rate(scene(bare), 80, 11, PEN))
    assert "no sign yet" in text


def key(name: str) -> Press:
    return Press(name, name if len(name) == 1 else None, 100.0)


def test_its_key_opens_and_closes_it_and_a_line_may_be_typed_with_it_in_sight() -> None:
    opened = press(scene(desk=Desk()), WORDS, key("y")).desk
    assert opened.sheet == "rate"
    typing = press(scene(desk=opened), WORDS, key("w")).desk
    assert typing.entry is not None
    assert typing.sheet == "rate"
    assert press(scene(desk=opened), WORDS, key("y")).desk.sheet == ""


@pytest.mark.parametrize("name", ["r", "question_mark", "i"])
def test_any_other_key_acts_and_closes_it(name: str) -> None:
    assert press(scene(), WORDS, key(name)).desk.sheet == ""
