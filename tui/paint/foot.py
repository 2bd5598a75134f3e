"""The last lines: banners that stay, what was said or is being typed, and the keys that matter with the clock."""

from __future__ import annotations

import math

from engine.words import Say
from tui.actions import Action, hints
from tui.desk import BEHIND_S, Entry
from tui.paint.cells import clean, clip, width_of, wrap
from tui.paint.lanes import name_of, state_of
from tui.paint.layout import WIDE
from tui.paint.pen import Pen
from tui.paint.running import question
from tui.paint.runs import Line, Lines, Run, fit, line_width, row
from tui.paint.ways import asks_for_way
from tui.scene import Scene

MOST_ROWS = 4  # of one message


def paint_banners(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """What the day is, where it is no working one; then each banner on a line, with the key that answers it."""
    mark = scene.view.mark
    marks = [f" ## {pen.say(mark)}"] if mark else []
    head = f"{pen.answer} {pen.glyphs.dot} " if pen.answer else ""
    texts = [f" !! {head}{_banner(said, scene, pen)}" for said in scene.banners[:height]]
    return tuple(row(text, width, "banner", pen.glyphs.cut) for text in (*marks, *texts)[:height])


def _banner(said: Say, scene: Scene, pen: Pen) -> str:
    """A banner; that of a disk in trouble offers another place."""
    if said != scene.trouble or scene.read_only or not pen.key("reading"):
        return pen.say(said)
    offer = pen.say("keeping.elsewhere", key=pen.key("reading"))
    return f"{pen.say(said)} {pen.glyphs.dot} {offer}"


def paint_message_above(scene: Scene, width: int, most: int, pen: Pen) -> Lines:
    """All but the last row of a message too long for one; what was said a moment ago goes before readings and stock."""
    rows = _told_rows(scene, width, pen)
    style = "bad" if scene.desk.message and scene.desk.message.bad else "strong"
    return tuple(row(f" {text}", width, style, pen.glyphs.cut) for text in rows[:-1][:most])


def _told_rows(scene: Scene, width: int, pen: Pen) -> tuple[str, ...]:
    """A message in rows; empty while something else stands in its place."""
    if scene.desk.message is None or scene.desk.entry or scene.desk.ask:
        return ()
    return wrap(pen.say(scene.desk.message.text), max(1, width - 2), MOST_ROWS, pen.glyphs.cut)


def paint_message(scene: Scene, width: int, pen: Pen) -> Line:
    """The line being typed, a question that has no row, what was said, or the latest line of the log."""
    line, style = _message(scene, width, pen)
    corner = f" {pen.say(scene.desk.corner.text)} " if scene.desk.corner else ""
    room = max(0, width - width_of(corner))
    if scene.desk.entry:
        return fit(_entry(scene.desk.entry, room, pen), room) + fit(((corner, "bad"),), width - room)
    return fit(((f" {line}", style),), room, "text", pen.glyphs.cut) + fit(
        ((corner, "bad"),), width - room, "text"
    )


def _entry(entry: Entry, width: int, pen: Pen) -> tuple[Run, ...]:
    """The end of a long line stays in sight."""
    head = f" {pen.say(f'entry.{entry.kind}')} "
    tail = clip(clean(entry.tail), max(0, (width - width_of(head)) // 2), pen.glyphs.cut)
    room = width - width_of(head) - width_of(tail) - 1
    text = clean(entry.text)
    while width_of(text) > room > 0:
        text = text[1:]
    return ((head, "strong"), (text, "strong"), ("_", "strong"), (tail, "text"))


def _message(scene: Scene, width: int, pen: Pen) -> tuple[str, str]:
    desk = scene.desk
    if asks_for_way(scene) and desk.ways and desk.ways.trouble and not desk.message:
        return pen.say("ask.ways", trouble=desk.ways.trouble), "ask"
    rowless = desk.board or scene.row is None
    if desk.ask and (desk.ask.action == "quit" or (rowless and not asks_for_way(scene))):
        return question(scene, pen, width + 2).strip(), "ask"
    if desk.message:
        rows = _told_rows(scene, width, pen) or (pen.say(desk.message.text),)
        return rows[-1], "bad" if desk.message.bad else "strong"
    if _behind(scene):
        return _behind_said(scene, pen), "bad"
    return _last(scene, pen), "text"


def _behind(scene: Scene) -> bool:
    """A pass long past late and no key for minutes: the screen may be behind the work. Who reads along cannot know."""
    if scene.read_only:
        return False
    rows, now = scene.view.rows, scene.now
    late = any(
        state_of(row) in ("late", "lost") and row.window and now - row.window.late > BEHIND_S for row in rows
    )
    return late and now - scene.desk.touched_at > BEHIND_S


def _behind_said(scene: Scene, pen: Pen) -> str:
    last = scene.view.last
    age = pen.countdown(last.at if last else scene.view.at, scene.now).lstrip("+")
    return pen.say("note.behind", age=age, key=pen.key("catch_up"))


def _last(scene: Scene, pen: Pen) -> str:
    last = scene.view.last
    disk = f"{pen.say('screen.not_kept')} {pen.glyphs.dot} " if scene.trouble else ""
    if last is None:
        return disk + clean(scene.view.title)
    kept = pen.glyphs.solid if last.seq <= scene.kept_seq else pen.glyphs.hollow
    age = pen.countdown(last.at, scene.now).lstrip("+")
    told = pen.say("screen.last", text=pen.say(last.text), clock=pen.clock(last.at), age=age)
    return f"{disk}{kept} {told}"


def paint_footer(scene: Scene, width: int, pen: Pen) -> Line:
    """The clock, key hints, as many whole ones as fit, and the job's name where there is room."""
    runs: list[Run] = [(f" {pen.clock(scene.now)} ", "clock")]
    title = _title(scene, width, pen)
    room = width - line_width(tuple(runs)) - width_of(title)
    for action in with_keys(hints(scene), pen):
        hint = hint_of(action, scene, pen)
        if line_width(hint) <= room:
            runs += hint
            room -= line_width(hint)
    return fit((*fit(runs, width - width_of(title), "footer"), (title, "footer")), width, "footer")


def with_keys(actions: tuple[Action, ...], pen: Pen) -> tuple[Action, ...]:
    """Those that have a key: the others are found by their label."""
    return tuple(action for action in actions if pen.keys.keys[action.id])


def _title(scene: Scene, width: int, pen: Pen) -> str:
    words = f"{_muted(scene, pen)} {pen.say('screen.reading_along') if scene.read_only else ''}".strip()
    name = clip(clean(scene.view.title), width // 3, pen.glyphs.cut) if width >= WIDE else ""
    return "".join(f" {text} " for text in (words, name) if text)


def _muted(scene: Scene, pen: Pen) -> str:
    """That no sound is made, and for how long."""
    if math.isinf(scene.muted_s):
        return pen.say("sound.muted")
    until = pen.countdown(scene.now + scene.muted_s / scene.desk.pace, scene.now)
    return pen.say("sound.muted_for", time=until) if scene.muted_s else ""


def hint_of(action: Action, scene: Scene, pen: Pen) -> tuple[Run, ...]:
    """A key and what it does here: for the space bar and enter, exactly what."""
    return ((f" {pen.key(action.id)} ", "key"), (f"{label_of(action, scene, pen)} ", "footer"))


def label_of(action: Action, scene: Scene, pen: Pen) -> str:
    """The label of an action; of the two big keys, what they would do now."""
    row_ = scene.row
    if action.id == "assign" and scene.desk.board:
        return pen.say("hint.person")
    if action.id == "board" and scene.desk.board:
        return pen.say("hint.panels")
    if action.id == "advance" and row_:
        return pen.say("hint.advance", step=pen.word("done_word", row_.step.kind), which=name_of(row_))
    if action.id == "call":
        called = scene.called
        return (
            pen.say("hint.water", pour=called.pour)
            if called
            else pen.say("hint.call", pour=scene.view.call.pour)
        )
    return pen.say(f"action.{action.id}")
