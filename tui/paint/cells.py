"""The one place where text is measured in cells, cleaned of what a terminal would obey, and cut to fit."""

from __future__ import annotations

import unicodedata

from rich.cells import cell_len, get_character_cell_size

CUT = "…"
TWINS = {"…": "~", "·": "-", "±": "~", "°": "'", "–": "-", "—": "-", "─": "-", "¡": "!", "×": "x"}
TWINS |= {"‘": "'", "’": "'", "“": '"', "”": '"', "«": '"', "»": '"', "ß": "s", "ø": "o", "Ø": "O", "ł": "l"}
PICTURES_FROM = 0x2300  # symbols from here on are drawn one or two cells wide, as the terminal pleases


def width_of(text: str) -> int:
    """Cells that a text takes, measured as the framework measures it."""
    return cell_len(text)


def clean(text: str) -> str:
    """Text from a file made harmless: one line, no control codes, marks or direction codes; pictures become `?`."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_harmless(char) for char in unicodedata.normalize("NFC", text))


def _harmless(char: str) -> str:
    kind = unicodedata.category(char)
    if kind[0] == "Z" or char in "\t\n\r\v\f":
        return " "
    if kind in ("Cc", "Cs", "Co", "Cn") or (kind[0] == "S" and ord(char) >= PICTURES_FROM):
        return "?"
    if kind in ("Cf", "Mn", "Me") or get_character_cell_size(char) == 0:
        return ""
    return char


def in_ascii(text: str) -> str:
    """As wide a text in ASCII: marks off letters, twins of the usual signs, `?` for what has none."""
    return text if text.isascii() else "".join(_twin(char) for char in text)


def _twin(char: str) -> str:
    if char.isascii():
        return char
    width = get_character_cell_size(char)
    bare = TWINS.get(char) or "".join(one for one in unicodedata.normalize("NFKD", char) if one.isascii())
    return bare if len(bare) == width else "?" * width


def clip(text: str, width: int, cut: str = CUT) -> str:
    """The text, or as much of it as fits before a cut mark, in at most `width` cells."""
    if width_of(text) <= width:
        return text
    room, kept = width - width_of(cut), ""
    if room < 0:
        return ""
    for char in text:
        room -= get_character_cell_size(char)
        if room < 0:
            break
        kept += char
    return kept + cut


def pad(text: str, width: int, cut: str = CUT) -> str:
    """The text in exactly `width` cells, from the left."""
    fitted = clip(text, width, cut)
    return fitted + " " * (width - width_of(fitted))


def pad_left(text: str, width: int, cut: str = CUT) -> str:
    """The text in exactly `width` cells, against the right."""
    fitted = clip(text, width, cut)
    return " " * (width - width_of(fitted)) + fitted


def wrap(text: str, width: int, rows: int, cut: str = CUT) -> tuple[str, ...]:
    """The text broken between words into at most `rows` lines; what is left over ends in a cut mark."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < rows:
        lines.append(_take_line(words, width, last=len(lines) == rows - 1, cut=cut))
    return tuple(lines)


def _take_line(words: list[str], width: int, last: bool, cut: str) -> str:
    line = words.pop(0)
    while words and width_of(f"{line} {words[0]}") <= width:
        line = f"{line} {words.pop(0)}"
    return clip(f"{line} {' '.join(words)}" if last and words else line, width, cut)
