"""What only the whole job shows: ids that name something once, orders that can be kept, mixes that serve the finish.

Each check works on whatever parts were good, so that one bad line hides no other.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from engine.job.model import PASSES_OF, Job, Person, Pour, Skill, Station, Target
from engine.mix.card import MixCard
from engine.tables import BAD, Page, shown
from engine.units import show_mass

MOST_BAGS = (
    1000.0  # of one visit: more than any small crew mixes, and than can be planned while somebody waits
)
KG_PER_L = 1.0  # water, and the ice that is part of it


@dataclass(frozen=True)
class Parts:
    """A job under check: the table as read, the good values of its head and body, its cards (None: a bad one)."""

    table: Mapping[str, Any]
    head: Mapping[str, Any]
    body: Mapping[str, Any]
    cards: Mapping[str, MixCard | None]

    def rows(self, key: str) -> Iterator[tuple[str, Any]]:
        """Place and value of each good row."""
        for n, row in enumerate(self.body.get(key, ())):
            if row is not BAD:
                yield f"{key}[{n}]", row

    def ids(self, key: str) -> list[str]:
        """Ids as written, of bad rows as well: what refers to them is not to blame."""
        given = self.table.get(key)
        written = [row.get("id") for row in given if isinstance(row, dict)] if isinstance(given, list) else []
        return [one for one in written if isinstance(one, str)]

    def good_cards(self, key: str) -> list[MixCard]:
        """The cards that may fill a pour: the one it names, or any of the job's."""
        cards = [self.cards.get(key)] if key else list(self.cards.values())
        return [card for card in cards if card is not None]


def check(parts: Parts, page: Page) -> None:
    """Every fault of the whole, onto the page."""
    for one in CHECKS:
        one(parts, page)


def whole(job: Job, page: Page) -> None:
    """The same of a job that was put together, not read; a fault's place is where a job file would have it."""
    rows = ("pours", "people", "stations", "conditions", "targets")
    body = {key: getattr(job, key) for key in rows} | {"materials": job.materials}
    table: dict[str, Any] = {key: [vars(row) for row in body[key]] for key in rows}
    table["materials"] = {"ice": f"{job.materials.ice_kg:g} kg"}
    head = {"mixes": [card.key for card in job.mixes]}
    check(Parts(table, head, body, {card.key: card for card in job.mixes}), page)


def _mixes(parts: Parts, page: Page) -> None:
    for n, key in enumerate(parts.head.get("mixes", ())):
        if key in parts.head["mixes"][:n]:
            page.fault(f"job.mixes[{n}]", shown(key), "mixes whose files have different names")


def _ids(parts: Parts, page: Page) -> None:
    for key in ("people", "stations", "pours"):
        seen: set[str] = set()
        for place, row in parts.rows(key):
            if row.id in seen:
                page.fault(f"{place}.id", shown(row.id), f"an id that no other of the {key} has")
            seen.add(row.id)


def _conditions(parts: Parts, page: Page) -> None:
    for (_, before), (place, row) in itertools.pairwise(parts.rows("conditions")):
        if row.at <= before.at:
            given = shown(_raw(parts, place, "at"))
            page.fault(f"{place}.at", given, "a time after that of the row before")


def _raw(parts: Parts, place: str, key: str) -> Any:
    """What the file says at a key of a row."""
    table, _, n = place.rstrip("]").partition("[")
    return parts.table[table][int(n)][key]


def _crew(parts: Parts, page: Page) -> None:
    """Somebody for every kind of work, and hands enough for every station."""
    if "people" not in parts.body or BAD in parts.body["people"]:
        return
    people: list[Person] = [person for _, person in parts.rows("people")]
    able: dict[Skill, int] = {skill: sum(skill in p.does for p in people) for skill in get_args(Skill)}
    for skill, count in able.items():
        if not count:
            page.fault("people", "", f'somebody who does "{skill}": nobody on the list does')
    for place, station in parts.rows("stations"):
        if able["mix"]:
            _hands(place, station, able["mix"], page)


def _hands(place: str, station: Station, mixers: int, page: Page) -> None:
    if station.hands > mixers:
        page.fault(f"{place}.hands", str(station.hands), f"at most {mixers}: no more people mix")


def _ice(parts: Parts, page: Page) -> None:
    """Ice is part of the water of a bag."""
    materials = parts.body.get("materials")
    least_l = min((card.water.target_l for card in parts.good_cards("")), default=None)
    if materials is not None and least_l is not None and materials.ice_kg > least_l * KG_PER_L:
        given = shown(parts.table["materials"]["ice"])
        page.fault(
            "materials.ice",
            given,
            f"at most the water of a bag, {show_mass(least_l * KG_PER_L, 'us')} ({least_l * KG_PER_L:.2f} kg)",
        )


def _pour_mixes(parts: Parts, page: Page) -> None:
    for place, pour in parts.rows("pours"):
        if pour.mix and parts.cards and pour.mix not in parts.cards:
            page.fault(f"{place}.mix", shown(pour.mix), "a mix of the job", parts.cards, pour.mix)
        for card in parts.good_cards(pour.mix):
            _finish(place, pour, card, page)
            _packets(place, pour, card, page)


def _finish(place: str, pour: Pour, card: MixCard, page: Page) -> None:
    """Every pass of the finish needs a window; a float without one follows tip and first trowel."""
    for name in PASSES_OF[pour.finish]:
        if name != "float" and getattr(card.passes, name) is None:
            accepted = f"a finish that {card.key} has windows for: its card has no passes.{name}"
            page.fault(f"{place}.finish", shown(pour.finish), accepted)


def _packets(place: str, pour: Pour, card: MixCard, page: Page) -> None:
    most = card.retarder.packets[-1]
    if pour.packets is not None and pour.packets > most:
        page.fault(
            f"{place}.packets",
            f"{pour.packets:g}",
            f"at most {most:g} a bag, the most on the card of {card.key}",
        )


def _after(parts: Parts, page: Page) -> None:
    known = parts.ids("pours")
    pours: dict[str, Pour] = {pour.id: pour for _, pour in parts.rows("pours")}
    for place, pour in parts.rows("pours"):
        for n, first in enumerate(pour.after):
            if first not in known:
                page.fault(f"{place}.after[{n}]", shown(first), "the id of another pour", known, first)
            elif first in pours and pours[first].visit > pour.visit:
                accepted = f"a pour of the same visit or an earlier one: {first} is left for visit {pours[first].visit}"
                page.fault(f"{place}.after[{n}]", shown(first), accepted)
    _circles(pours, parts, page)


def _circles(pours: Mapping[str, Pour], parts: Parts, page: Page) -> None:
    """Each circle once, at the pour of it that comes first in the file."""
    told: set[str] = set()
    for place, pour in parts.rows("pours"):
        circle = _way_back(pour.id, pours)
        if circle and not told & set(circle):
            told |= set(circle)
            page.fault(f"{place}.after", " after ".join([*circle, pour.id]), "an order without a circle")


def _way_back(start: str, pours: Mapping[str, Pour]) -> list[str]:
    """The pours from one back to itself along `after`; empty where it leads nowhere."""
    ways, seen = [[start]], {start}
    while ways:
        way = ways.pop(0)
        for first in pours[way[-1]].after if way[-1] in pours else ():
            if first == start:
                return way
            if first not in seen:
                seen.add(first)
                ways.append([*way, first])
    return []


def _visits(parts: Parts, page: Page) -> None:
    pours = parts.body.get("pours", ())
    if pours and BAD not in pours and all(pour.visit > 1 for pour in pours):
        page.fault("pours", "", "at least one pour of this visit (visit = 1): all are left for later")


def _shared_bags(parts: Parts, page: Page) -> None:
    """A bag is shared with the pour just before in the queue, of one mix, one finish, one visit and one lift."""
    hosts = {pour.id: pour for _, pour in parts.rows("pours") if not pour.shares}
    before = ""
    for place, pour in parts.rows("pours"):
        if pour.shares and not _can_share(hosts.get(pour.shares), pour, before, parts):
            accepted = "the pour before it in the queue, which shares no bag itself; both of one mix, finish and visit, and in one lift"
            page.fault(f"{place}.shares", shown(pour.shares), accepted, hosts, pour.shares)
        before = pour.shares or pour.id


def _can_share(host: Pour | None, pour: Pour, before: str, parts: Parts) -> bool:
    if host is None or host.id != before:
        return False
    alike = (host.mix, host.finish, host.visit) == (pour.mix or host.mix, pour.finish, pour.visit)
    deepest_m = max(*host.depths_m, *pour.depths_m)
    return alike and all(deepest_m <= card.depth.max_m for card in parts.good_cards(host.mix))


def _targets(parts: Parts, page: Page) -> None:
    known = parts.ids("pours")
    for place, target in parts.rows("targets"):
        _target(place, target, known, page)


def _target(place: str, target: Target, known: list[str], page: Page) -> None:
    for n, pour in enumerate(target.pours):
        if pour not in known:
            page.fault(f"{place}.pours[{n}]", shown(pour), "the id of a pour", known, pour)


def _bags(parts: Parts, page: Page) -> None:
    """What all pours of this visit take by their volume alone; told at the largest."""
    takes = [
        (pour.area_m2 * pour.mean_depth_m / card.bag.yield_m3, place)
        for place, pour in parts.rows("pours")
        for card in parts.good_cards(pour.mix)[:1]
        if pour.visit == 1
    ]
    bags = sum(bags for bags, _ in takes)
    if bags > MOST_BAGS:
        accepted = (
            f"pours of at most {MOST_BAGS:g} bags in one visit, not {bags:.0f}: check sizes, depths and yield"
        )
        page.fault(max(takes)[1], "", accepted)


CHECKS: tuple[Callable[[Parts, Page], None], ...] = (
    _mixes,
    _ids,
    _conditions,
    _crew,
    _ice,
    _pour_mixes,
    _after,
    _visits,
    _shared_bags,
    _bags,
    _targets,
)
