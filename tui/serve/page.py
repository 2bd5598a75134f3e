"""The pages a viewer gets, and the heads that keep them to themselves. Everything comes from this machine."""

from __future__ import annotations

from html import escape
from importlib.resources import files

from engine.words import Say, Words, say
from tui.looks import BLACK, LOOKS
from tui.serve.place import Place

AGAIN_S = 20  # until a page without a seat asks again
SENTENCES = {
    "began": say("serve.began"),
    "gone": say("serve.gone"),
    "full": say("serve.full"),
    "unread": say("serve.unread"),
    "script": say("serve.script"),
    "old": say("serve.old"),
}


def board_page(place: Place, title: str, look: str, said: Words, language: str) -> str:
    """The page with the board."""
    texts = {name: said(sentence) for name, sentence in SENTENCES.items()}
    texts["seen"] = said(say("serve.seen", clock="{clock}"))
    ground = LOOKS[look]["text"].paper or BLACK
    socket = f"ws://{place.host}/ws"
    return _filled("page.html", title=title, ground=ground, socket=socket, language=language, **texts)


def told_page(sentence: Say, title: str, said: Words, language: str, *, again: str = "") -> str:
    """A page with a sentence. `again`: what to load next and when, as `0;url=/` or seconds."""
    refresh = f'<meta http-equiv="refresh" content="{escape(again)}">\n' if again else ""
    page = _filled("told.html", title=title, sentence=said(sentence), language=language, again="{again}")
    return page.replace("{again}", refresh)


def _filled(name: str, **texts: str) -> str:
    template = (files("tui.serve") / name).read_text(encoding="utf-8")
    return template.format(**{name: escape(text) for name, text in texts.items()})


def heads(place: Place) -> dict[str, str]:
    """Of every answer: nothing from elsewhere, in nobody's frame."""
    policy = (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; font-src 'self'; img-src data:; "
        f"connect-src 'self' ws://{place.host}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )
    return {
        "Content-Security-Policy": policy,
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Server": "board",
    }
