"""The few files a page may load, by name: ours, and the terminal, its style and its font out of the package that ships them."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

NEEDED = ("textual_serve", "aiohttp", "segno")
OURS = {"page.js": "text/javascript", "page.css": "text/css"}
SHIPPED = {
    "textual.js": ("js/textual.js", "text/javascript"),
    "xterm.css": ("css/xterm.css", "text/css"),
    "font.ttf": ("fonts/RobotoMono-VariableFont_wght.ttf", "font/ttf"),
}

Statics = dict[str, tuple[Path, str]]  # by name: where it lies, what it is


def missing() -> tuple[str, ...]:
    """Packages of the extra that are not installed."""
    return tuple(name for name in NEEDED if find_spec(name) is None)


def statics() -> Statics:
    """Every file by the name a page asks for. Raises `FileNotFoundError` where the package has it no more."""
    own, shipped = Path(__file__).parent, _shipped()
    found = {name: (own / name, kind) for name, kind in OURS.items()}
    found |= {name: (shipped / place, kind) for name, (place, kind) in SHIPPED.items()}
    for path, _ in found.values():
        if not path.is_file():
            raise FileNotFoundError(
                2, "not in the package that should bring it: install the extra again", str(path)
            )
    return found


def _shipped() -> Path:
    spec = find_spec("textual_serve")
    folders = spec.submodule_search_locations if spec else None
    return Path(folders[0]) / "static" if folders else Path()
