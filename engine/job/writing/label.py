"""A mix card from what a bag's label says; all the rest stands as assumed or as practice, marked so and told.

Assumed are the values of the shipped card of the same kind, where nothing more careful is at hand: a working time counts
from the water, a retarder nobody names is none, nothing opens before a day is over, no strength is made up.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, get_args

from engine import tables, units
from engine.errors import Problem
from engine.job.writing.proportion import STEP_S, duration, passes_table, stages
from engine.job.writing.questions import LABEL_PAGES, Answers, Assumed, Draft, Fault, missing, one, told
from engine.mix.card import Kind, MixCard, WorkingFrom
from engine.mix.reader import read_mix
from engine.mix.retarder import stretch
from engine.words import say

Table = dict[str, Any]
KINDS: tuple[Kind, ...] = get_args(Kind)
PLACES = {  # of the plain quantities: question, key of the card
    "mass": "bag.mass",
    "yield": "bag.yield",
    "water_low": "water.low",
    "water_high": "water.high",
    "depth_min": "depth.min",
    "depth_max": "depth.max",
    "largest_stone": "depth.largest_stone",
    "mixing_time": "mixing.time",
    "at_temperature": "clock.reference_temperature",
    "working_time": "clock.working_time",
    "initial_set": "clock.initial_set",
    "final_set": "clock.final_set",
    "feet": "opening.feet",
    "wheels": "opening.wheels",
}
OF_KEY = {place: question for question, place in PLACES.items()} | {
    "bag.price": "price",
    "water.target": "water_low",
    "clock.working_time_from": "working_from",
}
OF_TABLE = {
    "passes": "working_time",
    "retarder": "packets_most",
    "strength": "strength",
    "clock": "working_time",
}
_STRENGTH = re.compile(r"(.+?) +([0-9.]+ *[A-Za-z]+)")


@dataclass(frozen=True)
class Shelf:
    """What stands in where a label is silent: the shipped card of each kind, and the hours before anything opens."""

    cards: Mapping[str, MixCard]
    tables: Mapping[str, Mapping[str, Any]]
    opens_s: float


@dataclass
class Made:
    """A card being made: its table, the mark of every value, what was assumed, what is wrong."""

    answers: Answers
    shelf: Shelf
    kind: str
    table: Table = field(default_factory=dict)
    sources: dict[str, str] = field(default_factory=dict)
    assumed: list[Assumed] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    @property
    def like(self) -> MixCard:
        """The shipped card of the kind."""
        return self.shelf.cards[self.kind]

    def put(self, place: str, value: Any, mark: str) -> None:
        """A value at a dotted key, and where it comes from."""
        name, _, key = place.partition(".")
        if key:
            self.table.setdefault(name, {})[key] = value
        else:
            self.table[name] = value
        self.sources[place] = mark

    def assume(self, place: str, value: Any, sentence: str, mark: str = "assumed", **values: object) -> None:
        """A value that no label said."""
        self.put(place, value, mark)
        self.tell(place, sentence, **{"value": value, **values})

    def tell(self, place: str, sentence: str, **values: object) -> None:
        self.assumed.append(Assumed(place, say(f"form.presumed.{sentence}", **values)))

    def shipped(self, place: str) -> Any:
        """What the shipped card of the kind writes there."""
        name, _, key = place.partition(".")
        table = self.shelf.tables[self.kind].get(name)
        return table.get(key) if key and table else table

    def measured(self, place: str, dimension: units.Dimension) -> float | None:
        """What a quantity already put comes to; None where it is not there or cannot be read."""
        name, _, key = place.partition(".")
        text = self.table.get(name, {}).get(key)
        try:
            return None if text is None else units.parse(text, dimension)
        except ValueError:
            return None


def draft_card(answers: Answers, key: str, shelf: Shelf) -> tuple[Draft, MixCard | None]:
    """The draft of a card, and the card it will be read as; none where there is a fault."""
    kind = one(answers, "kind").casefold()
    made = Made(
        answers, shelf, kind if kind in KINDS else "sanded", faults=list(missing(LABEL_PAGES, answers))
    )
    made.table |= {"name": one(answers, "name"), "kind": kind}
    for part in (_bag, _water, _depth, _clock, _sets, _passes, _retarder, _heat, _strength, _opening):
        part(made)
    table = made.table | {"sources": made.sources}
    card, problems = read_mix(table, key, "")
    faults = _faults(made.faults, problems)
    return Draft(table, tuple(made.assumed), faults), None if faults else card


def _said(made: Made, question: str) -> bool:
    """Put what the label says; whether it says anything."""
    if text := one(made.answers, question):
        made.put(PLACES[question], text, "label")
    return bool(text)


def _bag(made: Made) -> None:
    _said(made, "mass")
    _said(made, "yield")
    if price := one(made.answers, "price"):
        try:
            made.put("bag.price", float(price), "label")
        except ValueError:
            made.faults.append(Fault("price", 0, "a plain number, such as 19.50"))


def _water(made: Made) -> None:
    """Least and most as told; aimed at is the middle. One amount alone is both."""
    _said(made, "water_low")
    low = one(made.answers, "water_low")
    if not _said(made, "water_high") and low:
        made.assume("water.high", low, "one_water")
    least, most = made.measured("water.low", "water"), made.measured("water.high", "water")
    unit = re.search(r"[A-Za-z]+$", low)
    if least is not None and most is not None and unit:
        middle = max(least, (least + most) / 2) / units.parse(f"1 {unit[0]}", "water")
        made.assume("water.target", f"{middle:.6g} {unit[0]}", "target")
    made.table["water"] = _ordered(made.table.get("water", {}), ("low", "target", "high"))


def _ordered(table: Table, keys: tuple[str, ...]) -> Table:
    return {key: table[key] for key in keys if key in table}


def _depth(made: Made) -> None:
    for question in ("depth_min", "depth_max"):
        _said(made, question)
    if not _said(made, "largest_stone") and made.kind == "small stone":
        made.assume("depth.largest_stone", made.shipped("depth.largest_stone"), "shipped_stone")
    if not _said(made, "mixing_time"):
        made.assume("mixing.time", made.shipped("mixing.time"), "shipped_mixing")


def _clock(made: Made) -> None:
    if not _said(made, "at_temperature"):
        place = "clock.reference_temperature"
        made.assume(place, made.shipped(place), "shipped_temperature")
    place = "clock.activation_energy"
    made.assume(place, made.shipped(place), "shipped_energy")
    _said(made, "working_time")
    counted: WorkingFrom = "water contact"
    if said := one(made.answers, "working_from"):
        made.put("clock.working_time_from", said.casefold(), "label")
    else:
        made.assume("clock.working_time_from", counted, "from_water")


def _workable_s(made: Made) -> float | None:
    """Set age at which the mix stiffens, from the water on."""
    working_s, mixing_s = (made.measured(key, "duration") for key in ("clock.working_time", "mixing.time"))
    if working_s is None or mixing_s is None:
        return None
    return working_s + (mixing_s if made.table["clock"]["working_time_from"] == "end of mixing" else 0.0)


def _sets(made: Made) -> None:
    """Sets that no label says: in the proportion of the shipped card to the working time, or to the set that is said."""
    told_initial, told_final = _said(made, "initial_set"), _said(made, "final_set")
    workable_s, like = _workable_s(made), made.like.setting
    initial_s, final_s = (made.measured(f"clock.{key}", "duration") for key in ("initial_set", "final_set"))
    if not told_initial and workable_s is not None and (final_s is not None or not told_final):
        initial_s = _rounded(workable_s * like.initial_set_s / made.like.workable_s)
        initial_s = initial_s if final_s is None else max(workable_s, min(initial_s, final_s))
        made.assume("clock.initial_set", duration(initial_s), "initial_set")
    if not told_final and initial_s is not None:
        made.assume(
            "clock.final_set",
            duration(_rounded(initial_s * like.final_set_s / like.initial_set_s)),
            "final_set",
        )


def _rounded(seconds: float) -> float:
    return max(STEP_S, round(seconds / STEP_S) * STEP_S)


def _passes(made: Made) -> None:
    workable_s = _workable_s(made)
    initial_s, final_s = (made.measured(f"clock.{key}", "duration") for key in ("initial_set", "final_set"))
    if workable_s is None or initial_s is None or final_s is None:
        return
    initial_s = max(workable_s, initial_s)  # the reader names what falls; windows never do
    windows = passes_table(made.like, stages(workable_s, initial_s, max(initial_s, final_s)))
    made.put("passes", windows, "practice")
    for name, window in windows.items():
        made.tell(
            f"passes.{name}", "window", what=say(f"form.time.{name}"), due=window["due"], lost=window["lost"]
        )


def _retarder(made: Made) -> None:
    """The stretch of practice up to the most that the label allows, and never past what is known of any."""
    said = one(made.answers, "packets_most")
    if not said:
        made.tell("retarder", "no_retarder")
        return
    try:
        most = float(said)
    except ValueError:
        made.faults.append(Fault("packets_most", 0, "a plain number of packets a bag, such as 2"))
        return
    known = made.like.retarder
    top = min(most, known.packets[-1])
    if not 0 <= most <= 20:
        made.faults.append(Fault("packets_most", 0, "0 to 20 packets a bag"))
    elif top > 0:
        points = [*(packets for packets in known.packets if packets < top), top]
        stretches = [round(stretch(known, packets), 6) for packets in points]
        made.put(
            "retarder", {"packets": [_plain(point) for point in points], "stretch": stretches}, "practice"
        )
        made.tell("retarder", "stretch", most=f"{top:g}", stretch=f"{stretches[-1]:g}")
        if top < most:
            made.tell("retarder.packets", "packets_cut", said=f"{most:g}", most=f"{top:g}")


def _plain(value: float) -> float | int:
    """A whole number without its point."""
    return int(value) if value == int(value) else value


def _heat(made: Made) -> None:
    heat = made.shipped("heat")
    made.put("heat", heat, "assumed")
    made.tell("heat", "heat", rise=heat["rise"], age=heat["age"])


def _strength(made: Made) -> None:
    ages: list[str] = []
    values: list[str] = []
    for number, line in told(made.answers, "strength"):
        if found := _STRENGTH.fullmatch(line):
            ages.append(found[1])
            values.append(found[2])
        else:
            made.faults.append(Fault("strength", number, "an age, then a strength: 3 h 1500 psi"))
    if ages:
        made.put("strength", {"age": ages, "value": values}, "label")
    else:
        made.tell("strength", "no_strength")


def _opening(made: Made) -> None:
    """Where one of the two is silent, the other or a day bounds it, whichever is later for wheels, earlier for feet."""
    feet, wheels = _said(made, "feet"), _said(made, "wheels")
    day_s = made.shelf.opens_s
    if not feet:
        wheels_s = made.measured("opening.wheels", "duration")
        opens = duration(day_s) if wheels_s is None or wheels_s >= day_s else one(made.answers, "wheels")
        made.assume("opening.feet", opens, "feet", "practice")
    if not wheels:
        feet_s = made.measured("opening.feet", "duration")
        opens = duration(day_s) if feet_s is None or feet_s <= day_s else made.table["opening"]["feet"]
        made.assume("opening.wheels", opens, "wheels", "practice")


def _faults(own: list[Fault], problems: tuple[Problem, ...]) -> tuple[Fault, ...]:
    """Those of the answers first, then the first of the card at each question.

    What is only missing because something else could not be read is not told as well.
    """
    found = list(own)
    for problem in sorted(problems, key=_is_missing):
        key = _question(problem.where)
        if key not in {fault.key for fault in found} and not (found and _is_missing(problem)):
            given = f"{problem.given} given, " if problem.given else ""
            near = f"; nearest: {problem.nearest}" if problem.nearest else ""
            found.append(Fault(key, 0, f"{given}{problem.accepted}{near}"))
    return tuple(found)


def _is_missing(problem: Problem) -> bool:
    return not problem.given and problem.accepted.startswith("missing")


def _question(where: str) -> str:
    """The question that a key path of the card comes from."""
    plain = re.sub(r"\[[0-9]+\]", "", where)
    return OF_KEY.get(plain) or OF_TABLE.get(plain.partition(".")[0]) or plain.rpartition(".")[2]


def label_of(table: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    """The answers that a card's own marks call the label's, or does not mark at all."""
    marks = tables.flat(table.get("sources", {}), lambda _: True)
    found: dict[str, tuple[str, ...]] = {"name": (table["name"],), "kind": (table["kind"],)}
    for question, place in (
        *PLACES.items(),
        ("working_from", "clock.working_time_from"),
        ("price", "bag.price"),
    ):
        name, _, key = place.partition(".")
        value = table.get(name, {}).get(key)
        if value is not None and marks.get(place, marks.get(name, "label")) == "label":
            found[question] = (str(value),)
    if retarder := table.get("retarder"):
        found["packets_most"] = (f"{retarder['packets'][-1]:g}",)
    if strength := table.get("strength"):
        pairs = zip(strength["age"], strength["value"], strict=True)
        found["strength"] = tuple(f"{age} {value}" for age, value in pairs)
    return found
