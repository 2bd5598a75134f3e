"""What is printed where the board is served: the link and its code, for whom, what to beware of."""

from __future__ import annotations

from textwrap import fill

from engine.words import Say, Words, say
from tui.serve.access import Access
from tui.serve.code import code_of
from tui.serve.limits import SEATS
from tui.serve.place import Place

ROOM = 79


def lines(name: str, place: Place, access: Access, said: Words, *, coded: bool) -> tuple[str, ...]:
    """What is printed once it is served: the link, its code, the cautions."""
    link = place.link(access.word)
    code = code_of(link) if coded and not place.only_here else ()
    told = (said(sentence) for sentence in sentences(name, place, link))
    return (*code, *(fill(text, ROOM, break_long_words=False, break_on_hyphens=False) for text in told))


def sentences(name: str, place: Place, link: str) -> tuple[Say, ...]:
    """Where, for whom, and what to beware of."""
    reach = say("serve.here") if place.only_here else say("serve.care")
    return say("serve.link", log=name, link=link), say("serve.seats", n=SEATS), reach, say("serve.end")
