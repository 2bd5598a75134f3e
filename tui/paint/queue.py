"""The pours in their order, with the bags left against the bags they take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from engine.pour.views import QueueRow
from engine.words import amount
from tui.paint.cells import clean, clip, pad, width_of
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, block, fit, row
from tui.scene import Scene

OVER = ("curing", "open", "later visit")
LONGEST_ID = 12
LEAST_FLAG = 5
CURING = ("curing", "open")


def waiting(scene: Scene) -> tuple[QueueRow, ...]:
    """Pours that still take bags first, the others after them, each in their order."""
    queue = scene.view.queue
    hungry = tuple(pour for pour in queue if _hungry(pour))
    return hungry + tuple(pour for pour in queue if not _hungry(pour))


def _hungry(pour: QueueRow) -> bool:
    return pour.state not in OVER and pour.bags_left > 0


def paint_queue_line(scene: Scene, width: int, pen: Pen) -> Line:
    """The queue on one line: `bags left: P2 1 of 2 · P3 4 of 4`; the one under the marker in brackets."""
    runs: list[Run] = [(f" {pen.say('queue.left')} ", "text")]
    room = width - width_of(runs[0][0])
    pours = _from_marker(scene)
    for place, pour in enumerate(pours):
        text = _short(pour, pour is scene.queue, pen)
        more = pen.say("queue.more", n=len(pours) - place)
        last = place == len(pours) - 1
        if room < width_of(text) + (0 if last else width_of(more) + 3):
            runs.append((more, "text"))
            break
        runs += [
            (text, "chosen" if pour is scene.queue else "text"),
            (f" {pen.glyphs.dot} " if not last else "", "text"),
        ]
        room -= width_of(text) + 3
    return fit(runs, width, "text", pen.glyphs.cut)


def _from_marker(scene: Scene) -> tuple[QueueRow, ...]:
    """From the start, or from the pour picked by hand where that stands further back."""
    pours = waiting(scene)
    if scene.queue is None or not scene.desk.picked:
        return pours
    place = next((n for n, pour in enumerate(pours) if pour is scene.queue), 0)
    return pours[max(0, place - 1) :]


def _short(pour: QueueRow, chosen: bool, pen: Pen) -> str:
    told = _bags(pour, pen) if _hungry(pour) else pen.word("pour", pour.state)
    text = f"{clip(clean(pour.id), LONGEST_ID, pen.glyphs.cut)} {told}"
    return f"[{text}]" if chosen else text


@dataclass(frozen=True)
class Column:
    """A column of the list; those of the highest `rank` go first where the width is short."""

    name: str
    width: int
    rank: int
    text: Callable[[QueueRow, Scene, Pen], str]


COLUMNS = (
    Column("pour", 4, 0, lambda pour, _scene, _pen: clean(pour.id)),
    Column("bags", 8, 1, lambda pour, _, pen: _bags(pour, pen)),
    Column("state", 11, 2, lambda pour, _, pen: pen.word("pour", pour.state)),
    Column("start", 12, 3, lambda pour, _, pen: _moment(pour, pen)),
    Column("finish", 6, 4, lambda pour, _, pen: pen.word("finish", pour.finish)),
    Column("dose", 11, 6, lambda pour, _, pen: pen.packets(pour.packets)),
    Column("soaked", 9, 7, lambda pour, scene, pen: _soaked(pour, scene, pen)),
    Column("where", 19, 5, lambda pour, scene, pen: _where(pour, scene, pen)),
)


def _bags(pour: QueueRow, pen: Pen) -> str:
    return pen.say("queue.of", left=amount(pour.bags_left), bags=amount(pour.bags))


def _moment(pour: QueueRow, pen: Pen) -> str:
    """When its next water goes in; once it cures, when feet and wheels may come."""
    if pour.state in CURING:
        when = pour.wheels if pour.opened == "feet" else pour.feet
        return f"{pen.say('queue.wheels' if pour.opened == 'feet' else 'queue.feet')} {_at(when, pen)}"
    return _at(pour.start, pen)


def _where(pour: QueueRow, scene: Scene, pen: Pen) -> str:
    """Where it is; a promise that will not be kept stands in its place."""
    broken = next((one for one in scene.view.promises if pour.id in one.pours and not one.kept), None)
    if broken is None:
        return clean(pour.where)
    return pen.say("queue.not_kept", to=pen.word("queue", broken.open_to), by=_at(broken.by, pen))


def _at(when: float | None, pen: Pen) -> str:
    return pen.clock(when, seconds=False) if when is not None else ""


def _soaked(pour: QueueRow, scene: Scene, pen: Pen) -> str:
    """How long ago the base was soaked and whether it dried again; once it cures, when it is wetted next."""
    if pour.wet_next is not None:
        return pen.say("queue.wet", time=_at(pour.wet_next, pen))
    if pour.soaked_at is None or pour.state in OVER:
        return ""
    age = pen.countdown(pour.soaked_at, scene.now)
    return pen.say("queue.dry", time=age) if pour.soak == "dry again" else age


def columns_for(width: int) -> tuple[Column, ...]:
    """The columns that fit, in their order."""
    room, kept = width, set()
    for column in sorted(COLUMNS, key=lambda column: column.rank):
        room -= column.width + 1
        if room < 0:
            break
        kept.add(column.name)
    return tuple(column for column in COLUMNS if column.name in kept)


def paint_queue(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The queue as a list under a heading, the pour under the marker in sight."""
    columns = columns_for(width)
    names = "".join(pad(pen.say(f"column.{column.name}"), column.width + 1) for column in columns).rstrip()
    pours, room = waiting(scene), height - 1
    marked = next((place for place, pour in enumerate(pours) if pour is scene.queue), 0)
    start = max(0, marked - room + 1) if marked >= room else 0
    rows = [_pour_row(scene, pour, columns, width, pen) for pour in pours[start : start + max(0, room)]]
    return block([row(f" {names}", width, "rule", pen.glyphs.cut), *rows], width, height)


def _pour_row(scene: Scene, pour: QueueRow, columns: tuple[Column, ...], width: int, pen: Pen) -> Line:
    chosen = pour is scene.queue
    cells = "".join(
        pad(column.text(pour, scene, pen), column.width, pen.glyphs.cut) + " " for column in columns
    )
    flags = " ".join(pen.flag(flag) for flag in pour.flags) if width - width_of(cells) > LEAST_FLAG else ""
    text = f"{'>' if chosen and scene.row is None else ' '}{cells}{flags}".rstrip()
    return fit(((text, "chosen" if chosen else "text"),), width, "text", pen.glyphs.cut)
