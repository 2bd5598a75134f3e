"""The emptiest app of the framework, the measure of a start: `python -m tests.bench.bare_app`."""

from __future__ import annotations

from textual.app import App, ComposeResult
from textual.widgets import Static


class BareApp(App[None]):
    """One line of text."""

    def compose(self) -> ComposeResult:
        yield Static("bare app")


if __name__ == "__main__":
    BareApp().run(mouse=False)
