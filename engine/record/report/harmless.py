"""Text from a log made harmless for a page: one line, no control codes, nothing that turns the direction of reading."""

from __future__ import annotations

import html
import unicodedata

RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})
_TURNED = str.maketrans(
    {mark: "\\" + mark for mark in "\\`*_[]|~$#!"} | {"<": "&lt;", ">": "&gt;", "&": "&amp;"}
)
_FORMULA = ("=", "+", "-", "@")


def clean(text: str) -> str:
    """One line of printable text; what has no glyph becomes a blank or a question mark, direction marks go."""
    return "".join(_harmless(char) for char in unicodedata.normalize("NFC", text)).strip()


def _harmless(char: str) -> str:
    kind = unicodedata.category(char)
    if kind[0] == "Z" or char in "\t\n\r\v\f":
        return " "
    if kind in ("Cc", "Cs", "Co", "Cn"):
        return "?"
    return "" if kind == "Cf" else char


def turns(text: str) -> bool:
    """Whether a text is read from the right, in part or as a whole."""
    return any(unicodedata.bidirectional(char) in RIGHT_TO_LEFT for char in text)


def escaped(text: str) -> str:
    """For HTML and SVG, in elements and in quoted attributes."""
    return html.escape(clean(text), quote=True)


def in_markdown(text: str) -> str:
    """For a line of Markdown or a cell of its tables: no mark of it acts, no address becomes a link."""
    plain = (
        clean(text).translate(_TURNED).replace("://", "\\://").replace("@", "\\@").replace("www.", "www\\.")
    )
    return f"\\{plain}" if plain[:1] in ("-", "+", "=") else plain


def in_cell(value: object) -> object:
    """For a cell of a CSV file: a text that a sheet would take for a formula gets an apostrophe before it."""
    if not isinstance(value, str):
        return value
    text = clean(value)
    return f"'{text}" if text.startswith(_FORMULA) else text
