"""How an intent becomes what is written: the registry of rules, and who is meant where nobody is named."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol, TypeVar, cast

from engine.job.model import Skill
from engine.pour import intents as i
from engine.pour.body import Body
from engine.pour.reckoning import Moment
from engine.pour.targets import Refusal
from engine.words import say


class Crew(Protocol):
    """Who is meant where nobody was named, and what the plan chose where nothing was said."""

    def who(self, kind: str, pour: str, batch: str = "") -> str: ...
    def station(self, pour: str, mixer: str) -> str: ...
    def packets(self, pour: str) -> float: ...
    def called_pour(self) -> str: ...


@dataclass(frozen=True)
class Deed:
    """What is to be written: the payload, who did it, whether that is only assumed, and when if not now."""

    body: Body
    who: str = ""
    assumed: bool = False
    at: float | None = None


T = TypeVar("T", bound=i.Intent)
Deeds = tuple[Deed, ...]
Rule = Callable[[Moment, Any, Crew], Deeds]
RULES: dict[type[i.Intent], Rule] = {}


def rule(kind: type[T]) -> Callable[[Callable[[Moment, T, Crew], Deeds]], Callable[[Moment, T, Crew], Deeds]]:
    """Register the rule of an intent."""

    def register(function: Callable[[Moment, T, Crew], Deeds]) -> Callable[[Moment, T, Crew], Deeds]:
        RULES[kind] = cast(Rule, function)
        return function

    return register


def person(moment: Moment, named: str, skill: Skill | None, meant: Callable[[], str]) -> tuple[str, bool]:
    """Who did it, and whether that is assumed: `meant` is asked where nobody is named.

    Raises `Refusal` for a name the crew does not have.
    """
    if named:
        if named not in (person.id for person in moment.job.people):
            raise Refusal(
                say("refusal.no_person", who=named, known=", ".join(p.id for p in moment.job.people))
            )
        return named, False
    if planned := meant():
        return planned, True
    able = (
        p.id
        for p in moment.day.crew()
        if (skill is None or skill in p.does) and p.id not in moment.day.away()
    )
    return next(able, ""), True


def after_water(moment: Moment, subject: str, water_at: float) -> None:
    """Raises `Refusal` for a sign in the very moment of water contact: nothing can have hardened yet."""
    if moment.at <= water_at:
        raise Refusal(say("refusal.too_soon", subject=subject))
