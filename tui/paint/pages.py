"""Help, cautions and the finder: they stand below the big lanes and never cover a clock there."""

from __future__ import annotations

from engine.words import Words
from tui.actions import ACTIONS, Action, available, here_and_now
from tui.paint.cells import pad, width_of, wrap
from tui.paint.foot import label_of, with_keys
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, block, row
from tui.paint.waters import water_lines
from tui.press import matches
from tui.scene import Scene

COLUMN = 40
WIDE_COLUMN = 80
KEY_WIDTH = 11
LONGEST_HELP = 3
LIMITS = ("limits.estimates", "limits.decide", "limits.not_judged")


def help_pages(scene: Scene, width: int, height: int, pen: Pen) -> tuple[Lines, ...]:
    """Keys that work here and now, the last water of every promise, every key, then the limits and the cautions."""
    now = [(action, label_of(action, scene, pen)) for action in with_keys(here_and_now(scene), pen)]
    every = [(action, pen.say(f"help.{action.id}")) for action in ACTIONS]
    return (
        *in_pages("help.title.here", key_lines(now, COLUMN, pen), (width, height), pen),
        *_waters(scene, width, height, pen),
        *in_pages("help.title.all", key_lines(every, min(width, WIDE_COLUMN), pen), (width, height), pen),
        *_texts("help.title.limits", start_keys(pen.words), width, height, pen),
    )


def _waters(scene: Scene, width: int, height: int, pen: Pen) -> tuple[Lines, ...]:
    """Only where something is promised of a pour that still takes bags."""
    lines = [pad(f" {line}", width) for line in water_lines(scene, width - 2, pen)]
    return in_pages("help.title.waters", lines, (width, height), pen) if lines else ()


def start_keys(words: Words) -> tuple[str, ...]:
    """What is said once a session: the limits of what the program knows, then the cautions of the day's start."""
    known = words.keys()
    return LIMITS + tuple(sorted(key for key in known if key.startswith("start.")))


def paint_start(width: int, height: int, pen: Pen) -> Lines:
    """The limits and the first cautions, until the first key."""
    return _texts("help.title.start", start_keys(pen.words), width, height, pen)[0]


def paint_help(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The page turned to; past the last one there is none."""
    pages = help_pages(scene, width, height, pen)
    return pages[scene.desk.page - 1] if 0 < scene.desk.page <= len(pages) else ()


def paint_finder(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The actions that hold what was typed, those that work now first, the chosen one marked."""
    entry = scene.desk.entry
    found = matches(scene, pen.words, entry.text) if entry else ()
    place = entry.place % len(found) if entry and found else 0
    start = max(0, place - height + 2)
    rows = [
        _found(action, scene, start + number == place, width, pen)
        for number, action in enumerate(found[start : start + height - 1])
    ]
    return block([row(f" {pen.say('help.title.find')}", width, "rule", pen.glyphs.cut), *rows], width, height)


def _found(action: Action, scene: Scene, chosen: bool, width: int, pen: Pen) -> Line:
    works = "" if available(action, scene) else f"  ({pen.say('help.not_now')})"
    text = f"{'>' if chosen else ' '} {pad(_keys(action, pen), KEY_WIDTH)} {pen.say(f'action.{action.id}')}{works}"
    return row(text, width, "chosen" if chosen else "text", pen.glyphs.cut)


def key_lines(told: list[tuple[Action, str]], column: int, pen: Pen) -> list[str]:
    """Each key with its text, which goes on below where it is long; every line as wide as its column."""
    lines: list[str] = []
    for action, text in told:
        heads = [_keys(action, pen), *[""] * LONGEST_HELP]
        wrapped = wrap(text, column - KEY_WIDTH - 2, LONGEST_HELP, pen.glyphs.cut)
        lines += [
            pad(f" {pad(head, KEY_WIDTH)}{part}", column) for head, part in zip(heads, wrapped, strict=False)
        ]
    return lines


def _keys(action: Action, pen: Pen) -> str:
    """As many of its keys as fit."""
    names = pen.key_names(action.id)
    shown = [" ".join(names[:n]) for n in range(len(names), 0, -1)]
    fits = (text for text in shown if width_of(text) < KEY_WIDTH)
    return next(fits, names[0]) if names else pen.say("key.none")


def in_pages(title: str, texts: list[str], size: tuple[int, int], pen: Pen) -> tuple[Lines, ...]:
    """Lines of one width in as many columns and pages as it takes."""
    width, height = size
    across, room = max(1, width // width_of(texts[0])), max(1, height - 1)
    pages = []
    for start in range(0, len(texts), across * room):
        shown = texts[start : start + across * room]
        rows = ["".join(shown[line::room]) for line in range(room)]
        pages.append(_page(title, rows, width, height, pen))
    return tuple(pages)


def _texts(title: str, keys: tuple[str, ...], width: int, height: int, pen: Pen) -> tuple[Lines, ...]:
    lines = [line for key in keys for line in wrap(pen.say(key), width - 2, 4, pen.glyphs.cut)]
    room = max(1, height - 1)
    chunks = [lines[start : start + room] for start in range(0, len(lines), room)]
    return tuple(_page(title, [f" {line}" for line in chunk], width, height, pen) for chunk in chunks)


def _page(title: str, rows: list[str], width: int, height: int, pen: Pen) -> Lines:
    head = row(
        f" {pen.say(title)} {pen.glyphs.dot} {pen.say('help.turn', key=pen.key('help'))}",
        width,
        "rule",
        pen.glyphs.cut,
    )
    return block([head, *(row(text, width, "text", pen.glyphs.cut) for text in rows)], width, height)
