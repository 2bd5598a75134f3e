"""A form as rows: the title, the questions of a page with unit and example or what is wrong, and which keys do what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.console.written import Verdict
from engine.job.writing.questions import Draft, Fault, Question
from tui.forms.desk import LEAVE, WRITE, FormDesk, Spot
from tui.paint.cells import clean, width_of, wrap
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, blank, block, fit, row

LABEL, MARK = 22, 2
MOST_ROWS = 4  # of one sentence


@dataclass(frozen=True)
class FormScene:
    """All that is drawn: the hands, what the answers come to, what `check` says of them (None: not known yet)."""

    desk: FormDesk
    draft: Draft
    sheet: str  # "job" or "card"
    path: str
    over: bool
    verdict: Verdict | None = None

    @property
    def units(self) -> str:
        """As far as plain numbers go, the units of the form."""
        told = self.desk.answers.get("units", ("",))[0].strip().casefold()
        return told if told == "metric" else "us"


def paint_form(scene: FormScene, width: int, height: int, pen: Pen) -> Lines:
    """The whole screen."""
    foot = _foot(scene, width, pen)
    room = max(0, height - 2 - len(foot))
    body = _last(scene, width, room, pen) if scene.desk.is_last else _page(scene, width, room, pen)
    return block([_head(scene, width, pen), blank(width), *body, *foot], width, height)


def _head(scene: FormScene, width: int, pen: Pen) -> Line:
    desk = scene.desk
    name = pen.say("form.pages.last") if desk.is_last else pen.say(f"form.pages.{desk.pages[desk.page].key}")
    said = pen.say(
        "form.page",
        title=pen.say(f"form.{scene.sheet}_title"),
        n=desk.page + 1,
        all=len(desk.pages) + 1,
        page=name,
    )
    return row(f" {said} ", width, "due", pen.glyphs.cut)


def _page(scene: FormScene, width: int, room: int, pen: Pen) -> Lines:
    """As much of a page as there is room for, the line of the cursor and what belongs to it in sight."""
    desk, rows = scene.desk, list[Line]()
    ends = 0
    for number, question in enumerate(desk.questions):
        if question not in desk.pages[desk.page].questions:
            continue
        for line in range(len(desk.texts[number])):
            rows += _line(scene, question, Spot(number, line), width, pen)
            if Spot(number, line) == desk.spot:
                ends = len(rows)
        rows += _hint(scene, question, number, width, pen)
        ends = len(rows) if number == desk.spot.question and len(rows) <= max(ends, room) else ends
    start = max(0, ends - room)
    shown = rows[start : start + room]
    if start and shown:
        shown[0] = row(f" {pen.glyphs.cut} {pen.say('form.more_above')}", width, "rule")
    if start + room < len(rows) and shown:
        shown[-1] = row(f" {pen.glyphs.cut} {pen.say('form.more_below')}", width, "rule")
    return block(shown, width, room)


def _line(scene: FormScene, question: Question, spot: Spot, width: int, pen: Pen) -> Iterator[Line]:
    """A line to type in, and under it what is wrong with it."""
    here = spot == scene.desk.spot
    label = pen.say(f"form.ask.{question.key}") if spot.line == 0 else ""
    head = f" {label}"[: LABEL - MARK].ljust(LABEL - MARK) + (">" if here else " ") + " "
    style = "chosen" if here else "text"
    text = clean(scene.desk.texts[spot.question][spot.line])
    runs = _typed(text, scene.desk.cursor, max(1, width - LABEL - 1)) if here else ((text, style),)
    yield fit(((head, style), *runs), width, cut=pen.glyphs.cut)
    if fault := _fault(scene, question, spot):
        yield from _told(f"!! {fault.says}", width, "lost", pen)
    elif here and question.key == "patches" and text.strip():
        yield from _told(_read_as(scene, spot, pen), width, "rule", pen)


def _typed(text: str, cursor: int, room: int) -> tuple[Run, ...]:
    """The part of a line around the cursor, which stands on the next sign."""
    start = 0
    while width_of(text[start:cursor]) >= room:
        start += 1
    under = text[cursor : cursor + 1] or " "
    return ((text[start:cursor], "chosen"), (under, "key"), (text[cursor + 1 :], "chosen"))


def _read_as(scene: FormScene, spot: Spot, pen: Pen) -> str:
    """The size and the depths that a patch's line was read as; empty where there is no such patch."""
    bad = {fault.line for fault in scene.draft.faults if fault.key == "patches"}
    lines = scene.desk.texts[spot.question]
    place = sum(bool(line.strip()) and n not in bad for n, line in enumerate(lines[: spot.line]))
    pours = scene.draft.table.get("pours", [])
    if place >= len(pours):
        return ""
    pour = pours[place]
    rectangle = " x ".join(pour[key] for key in ("length", "width") if key in pour)
    return pen.say(
        "form.read_as", size=rectangle or pour.get("area", "outline"), depths=", ".join(pour["depths"])
    )


def _fault(scene: FormScene, question: Question, spot: Spot) -> Fault | None:
    """What is wrong with a line that says something; what is missing is told by the hint, and on the last page."""
    if not scene.desk.texts[spot.question][spot.line].strip():
        return None
    found = (fault for fault in scene.draft.faults if (fault.key, fault.line) == (question.key, spot.line))
    return next(found, None)


def _hint(scene: FormScene, question: Question, number: int, width: int, pen: Pen) -> Iterator[Line]:
    """Unit and example of an answer; that it has to be given, as long as it is not."""
    keys = [f"form.like.{part}{question.key}" for part in (f"{scene.sheet}.", f"{scene.units}.", "")]
    like = pen.say(next(key for key in keys if key in pen.words or key == keys[-1]))
    empty = not any(line.strip() for line in scene.desk.texts[number])
    needed = f"{pen.say('form.needed')} {pen.glyphs.dot} " if question.needed and empty else ""
    yield from _told(f"{needed}{like}", width, "rule", pen)


def _told(text: str, width: int, style: str, pen: Pen) -> Iterator[Line]:
    for part in wrap(clean(text), max(1, width - LABEL - 1), MOST_ROWS, pen.glyphs.cut):
        yield fit(((" " * LABEL, "text"), (part, style)), width, cut=pen.glyphs.cut)


def _last(scene: FormScene, width: int, room: int, pen: Pen) -> Lines:
    """What was assumed, or what keeps the file from being written; the verdict and the choice stay in sight."""
    fixed = [*_verdict(scene, width, pen), *_choices(scene, width, pen)]
    listed = list(_listed(scene, width, pen))
    space = max(0, room - len(fixed))
    top = min(scene.desk.top, max(0, len(listed) - space))
    shown = listed[top : top + space]
    if top and shown:
        shown[0] = row(f" {pen.glyphs.cut} {pen.say('form.more_above')}", width, "rule")
    if top + space < len(listed) and shown:
        shown[-1] = row(f" {pen.glyphs.cut} {pen.say('form.more_below')}", width, "rule")
    return (*block(shown, width, space), *fixed)


def _listed(scene: FormScene, width: int, pen: Pen) -> Iterator[Line]:
    faults, assumed = scene.draft.faults, scene.draft.assumed
    if faults:
        yield row(f" {pen.say('form.mend', n=len(faults))}", width, "strong", pen.glyphs.cut)
        for fault in faults:
            said = pen.say(
                "form.mend_one",
                question=pen.say(f"form.ask.{fault.key}"),
                line=fault.line + 1,
                says=fault.says,
            )
            yield from _point(said, width, pen)
        return
    head = pen.say("form.assumed_head", n=len(assumed)) if assumed else pen.say("form.nothing_assumed")
    yield row(f" {head}", width, "strong", pen.glyphs.cut)
    for one in assumed:
        yield from _point(pen.say(one.said), width, pen)


def _point(text: str, width: int, pen: Pen) -> Iterator[Line]:
    for number, part in enumerate(wrap(clean(text), max(1, width - 4), MOST_ROWS, pen.glyphs.cut)):
        yield row(f" {' ' if number else '-'} {part}", width, "text", pen.glyphs.cut)


def _verdict(scene: FormScene, width: int, pen: Pen) -> Iterator[Line]:
    yield blank(width)
    if scene.draft.faults:
        return
    if scene.verdict is None:
        yield row(f" {pen.say('form.checking')}", width, "strong", pen.glyphs.cut)
        return
    first, *more = scene.verdict.sentences
    for part in wrap(clean(first), max(1, width - 2), MOST_ROWS, pen.glyphs.cut):
        yield row(f" {part}", width, "strong" if scene.verdict.good else "lost", pen.glyphs.cut)
    for text in more:
        yield row(f" {clean(text)}", width, "text", pen.glyphs.cut)


def _choices(scene: FormScene, width: int, pen: Pen) -> Iterator[Line]:
    yield blank(width)
    write = pen.say("form.write_over" if scene.over else "form.write", path=scene.path)
    texts = {WRITE: pen.say("form.cannot") if scene.draft.faults else write, LEAVE: pen.say("form.leave")}
    for choice, text in texts.items():
        here = scene.desk.choice == choice
        yield row(f" {'>' if here else ' '} {text}", width, "due" if here else "text", pen.glyphs.cut)


def _foot(scene: FormScene, width: int, pen: Pen) -> Lines:
    """A question that waits, what was said, and the keys."""
    desk = scene.desk
    if desk.ask:
        said, style = pen.say(f"form.ask_{desk.ask}", path=scene.path), "ask"
    else:
        said, style = (pen.say(desk.message), "bad") if desk.message else ("", "text")
    keys = pen.say("form.last_moves" if desk.is_last else "form.moves")
    told = wrap(said, max(1, width - 2), MOST_ROWS, pen.glyphs.cut) or ("",)
    rows = [row(f" {part}", width, style, pen.glyphs.cut) for part in told]
    return (*rows, row(f" {keys}", width, "footer", pen.glyphs.cut))
