"""The planned stretch ahead of one person along time: each task filled, behind each pass the window it falls into."""

from __future__ import annotations

from collections.abc import Mapping

from engine.pour.views import CrewRow, CrewTask, Window
from tui.paint.cells import clean, pad, width_of
from tui.paint.pen import Pen
from tui.paint.runs import Line, fit, merged
from tui.scene import Scene

Windows = Mapping[tuple[str, str], Window]  # by pour or batch, and pass
Cell = tuple[str, str]


def windows_ahead(scene: Scene) -> Windows:
    """The windows that run, under the pour and under each batch that they are of."""
    found: dict[tuple[str, str], Window] = {}
    for row in scene.view.rows:
        if row.window:
            found |= {(name, row.window.name): row.window for name in (row.key, *row.batches)}
    return found


def paint_strip(
    one: CrewRow, windows: Windows, now: float, scale: tuple[int, int], pen: Pen, *, named: bool
) -> Line:
    """`scale`: how many cells, and seconds in each. `named`: with the name of a task where the whole name fits."""
    cells, step_s = scale
    row: list[Cell] = [(" ", "text")] * cells
    tasks = () if one.away else one.ahead
    for task in tasks:
        if window := _window_of(task, windows):
            _shade(row, (window.open - now) / step_s, (window.late - now) / step_s, pen)
    last = 0
    for place, task in enumerate(tasks):
        first = max(last, round((task.start - now) / step_s))
        if first >= cells:
            break
        end = min(cells, max(first + 1, round((task.end - now) / step_s)))
        if end <= first:
            continue
        text = _stretch(task, end - first, pen) if named else pen.glyphs.busy * (end - first)
        row[first:end] = [(sign, ("bar", "bar2")[place % 2] if named else "text") for sign in text]
        last = end
    return fit(merged(row), cells)


def _window_of(task: CrewTask, windows: Windows) -> Window | None:
    name = task.batch.partition(",")[0] or task.pour
    return windows.get((name, task.kind)) or windows.get((task.pour, task.kind))


def _shade(row: list[Cell], first: float, end: float, pen: Pen) -> None:
    """From may start to late; a window already open shows from here on."""
    for place in range(max(0, round(first)), min(len(row), max(round(first) + 1, round(end)))):
        row[place] = (pen.glyphs.window, "text")


def _stretch(task: CrewTask, cells: int, pen: Pen) -> str:
    """A stroke where it begins and its name; a width of exactly so many cells."""
    names = (
        f"{pen.word('task', task.kind)} {clean(task.batch or task.pour)}",
        clean(task.batch),
        clean(task.pour),
        "",
    )
    return pad("|" + next((name for name in names if width_of(name) < cells), ""), cells, "")
