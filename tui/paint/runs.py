"""A painted row: runs of text, each with the name of its style. Joined, fitted and laid side by side here."""

from __future__ import annotations

from collections.abc import Iterable

from tui.paint.cells import clip, in_ascii, pad, width_of

Run = tuple[str, str]
Line = tuple[Run, ...]
Lines = tuple[Line, ...]

TEXT = "text"


def line_width(line: Line) -> int:
    """Cells of a row."""
    return sum(width_of(text) for text, _ in line)


def plain(line: Line) -> str:
    """The row without its styles."""
    return "".join(text for text, _ in line)


def fit(line: Iterable[Run], width: int, style: str = TEXT, cut: str = "…") -> Line:
    """The row in exactly `width` cells: cut where too long, blank in `style` where too short."""
    fitted: list[Run] = []
    left = width
    for text, name in line:
        if left <= 0:
            break
        part = clip(text, left, cut)
        fitted.append((part, name))
        left -= width_of(part)
        if part != text:
            break
    if left > 0:
        fitted.append((" " * left, style))
    return merged(fitted)


def merged(runs: Iterable[Run]) -> Line:
    """The same row with neighbours of one style in one run."""
    joined: list[Run] = []
    for text, name in runs:
        if joined and joined[-1][1] == name:
            joined[-1] = (joined[-1][0] + text, name)
        elif text:
            joined.append((text, name))
    return tuple(joined)


def row(text: str, width: int, style: str = TEXT, cut: str = "…") -> Line:
    """A row of one style."""
    return ((pad(text, width, cut), style),) if width > 0 else ()


def ascii_lines(lines: Lines) -> Lines:
    """The same rows in ASCII: names of a job too, where the terminal has no other signs."""
    return tuple(
        line if plain(line).isascii() else tuple((in_ascii(text), name) for text, name in line)
        for line in lines
    )


def blank(width: int, style: str = TEXT) -> Line:
    """A row with nothing on it."""
    return ((" " * width, style),) if width > 0 else ()


def block(lines: Iterable[Line], width: int, height: int, style: str = TEXT) -> Lines:
    """Exactly `height` rows of exactly `width` cells."""
    fitted = [fit(line, width, style) for line in lines][: max(0, height)]
    return tuple(fitted + [blank(width, style)] * (height - len(fitted)))


def beside(left: Lines, right: Lines) -> Lines:
    """Two blocks of the same height next to each other."""
    return tuple(one + two for one, two in zip(left, right, strict=True))


def parts(texts: Iterable[str], width: int, gap: str = "   ") -> str:
    """As many whole texts as fit, in order, those that do not are left out; never a text cut in two."""
    joined = ""
    for text in texts:
        longer = f"{joined}{gap}{text}" if joined else text
        if text and width_of(longer) <= width:
            joined = longer
    return joined
