"""Elements of HTML and SVG as text that is escaped unless it is markup already: nothing slips through unescaped."""

from __future__ import annotations

from engine.record.report.harmless import escaped, turns

VOID = frozenset({"meta", "br"})


class Markup(str):
    """Text that stands in a page as it is."""

    __slots__ = ()


def tag(name: str, /, *inside: str, **attributes: object) -> Markup:
    """An element; `class_` and `stroke_width` are written `class` and `stroke-width`, None leaves one out."""
    given = "".join(
        f' {_spelled(key)}="{escaped(str(value))}"' for key, value in attributes.items() if value is not None
    )
    if name in VOID:
        return Markup(f"<{name}{given} />")
    return Markup(f"<{name}{given}>{joined(*inside)}</{name}>")


def _spelled(key: str) -> str:
    return key.rstrip("_").replace("_", "-") if key != "viewBox" else key


def joined(*parts: str) -> Markup:
    """Parts one after the other, those that are no markup escaped."""
    return Markup("".join(part if isinstance(part, Markup) else Markup(escaped(part)) for part in parts))


def line_of(text: str) -> Markup:
    """A text by itself; one read from the right keeps to itself, so that it turns nothing around it."""
    return tag("bdi", text) if turns(text) else Markup(escaped(text))
