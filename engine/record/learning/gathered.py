"""Many logs together: what they tell of each mix and of the crew, and what keeps them from being learned from together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from engine.errors import Problem
from engine.mix.card import MixCard
from engine.plain import to_plain
from engine.record.learning.claims import MixFindings, mix_findings
from engine.record.learning.crew import crew_findings, mixing_finding, spans_of
from engine.record.learning.findings import Finding
from engine.record.learning.seen import LoggedDay, Seen, signs_of
from engine.tables import flat


@dataclass(frozen=True)
class Learning:
    """What logs tell, oldest log first. `crew` are carry and strokes."""

    days: tuple[LoggedDay, ...]
    mixes: tuple[MixFindings, ...]
    crew: tuple[Finding, ...]

    def told(self) -> tuple[Finding, ...]:
        """The findings that a learned file keeps."""
        every = (*(one for mix in self.mixes for one in mix.findings), *self.crew)
        return tuple(one for one in every if one.learned is not None)


def learned_from(days: Iterable[LoggedDay]) -> Learning:
    """What the logs tell; `unfit` has found nothing against them. Raises `ValueError` for no log at all."""
    days = tuple(sorted(days, key=lambda day: day.job.start))
    if not days:
        raise ValueError("there is no log to learn from")
    seen = [one for number, day in enumerate(days) for one in signs_of(day, number)]
    spans = [span for number, day in enumerate(days) for span in spans_of(day, number)]
    latest = days[-1].job
    cards = {card.key: card for day in days for card in day.job.mixes}
    mixes = []
    for key, card in cards.items():
        own = [one for one in seen if one.clock.card.key == key]
        day_sd = latest.practice["learning.prior_sd"]
        mixing = mixing_finding(spans, key, card.mixing_s)
        mixes.append(mix_findings(card, _one_card(card, own), len(days), day_sd, latest.units, mixing))
    return Learning(days, tuple(mixes), crew_findings(spans, [day.job.times for day in days]))


def _one_card(card: MixCard, signs: Iterable[Seen]) -> list[Seen]:
    """The signs on one and the same card: another price or mark in an older log changes nothing."""
    return [replace(seen, clock=replace(seen.clock, card=card)) for seen in signs]


def unfit(days: Sequence[LoggedDay], made_up: bool) -> tuple[Problem, ...]:
    """What keeps logs from being learned from together; `made_up`: rehearsals are asked for."""
    return (*_twice(days), *_mixed_with_made_up(days, made_up), *_other_cards(days))


def _twice(days: Sequence[LoggedDay]) -> Iterator[Problem]:
    first: dict[tuple[object, ...], str] = {}
    for day in days:
        mark = (day.opened, day.job.name)
        if mark in first:
            yield Problem(day.name, "log", "", f"a day given once: it is the same as in {first[mark]}")
        first.setdefault(mark, day.name)


def _mixed_with_made_up(days: Sequence[LoggedDay], made_up: bool) -> Iterator[Problem]:
    for day in days:
        if day.made_up and not made_up:
            yield Problem(
                day.name, "line 1", "a rehearsal", "a working day; --made-up learns from rehearsals alone"
            )
        if made_up and not day.made_up:
            yield Problem(day.name, "line 1", "a working day", "a rehearsal, as --made-up asks for")


def _other_cards(days: Sequence[LoggedDay]) -> Iterator[Problem]:
    first: dict[str, tuple[MixCard, str]] = {}
    for day in days:
        for card in day.job.mixes:
            known, where = first.setdefault(card.key, (card, day.name))
            if differ := _differences(card, known):
                accepted = (
                    f"the card it is in {where}; they differ in {', '.join(differ)}: learn from them apart"
                )
                yield Problem(day.name, "line 1", f"another card called {card.key}", accepted)


def _differences(one: MixCard, other: MixCard) -> list[str]:
    """Keys of the cards that differ, but for what no clock reads."""
    tables = [flat(to_plain(_bare(card)), lambda _: True) for card in (one, other)]
    return sorted(key for key in {*tables[0], *tables[1]} if tables[0].get(key) != tables[1].get(key))


def _bare(card: MixCard) -> MixCard:
    return replace(card, name="", sources=(), bag=replace(card.bag, price=None))
