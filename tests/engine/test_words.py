"""Counts and words of the engine in their sentences.

Plural categories: Unicode CLDR, supplemental/plurals.xml, cardinal samples of en (one: 1; other: 0, 2~16, 100, 1000,
0.0~1.5 ...) and es (one: 1, 1.0; other: 0, 2~16, 100, 1000, 0.0~0.9, 1.1~1.6 ...), from memory. Bare fractions are no
numbers of CLDR: that a part of one thing is one is common practice, no source.
"""

from __future__ import annotations

import re

import pytest

from engine.errors import BadInput
from engine.job.files import read_words
from engine.words import Words, amount, plural, say, without_accents

ENGLISH, SPANISH = Words(read_words("en")), Words(read_words("es"))

# a number of bags, how it is written, in English, in Spanish
COUNTS = [
    (0.0, "0", "0 bags", "0 sacos"),
    (0.5, "1/2", "1/2 bag", "1/2 saco"),
    (1.0, "1", "1 bag", "1 saco"),
    (1.5, "1 1/2", "1 1/2 bags", "1 1/2 sacos"),
    (2.0, "2", "2 bags", "2 sacos"),
    (2.5, "2 1/2", "2 1/2 bags", "2 1/2 sacos"),
    (11.0, "11", "11 bags", "11 sacos"),
    (21.0, "21", "21 bags", "21 sacos"),
    (101.0, "101", "101 bags", "101 sacos"),
    (0.75, "0.75", "0.75 bags", "0.75 sacos"),
    (1.25, "1.25", "1.25 bags", "1.25 sacos"),
]
CLDR_ONE = ("1",)
CLDR_OTHER = (
    "0",
    *map(str, range(2, 17)),
    "21",
    "31",
    "100",
    "101",
    "1000",
    "0.1",
    "0.9",
    "1.1",
    "1.5",
    "1.6",
)


@pytest.mark.parametrize(("count", "written", "english", "spanish"), COUNTS)
def test_a_count_of_bags_reads_right_in_both_languages(
    count: float, written: str, english: str, spanish: str
) -> None:
    assert amount(count) == written
    assert ENGLISH.counted("count.bag", written) == english
    assert SPANISH.counted("count.bag", written) == spanish


def test_whole_and_decimal_numbers_fall_where_cldr_puts_them() -> None:
    assert {plural(count) for count in CLDR_ONE} == {"one"}
    assert {plural(count) for count in CLDR_OTHER} == {"other"}


@pytest.mark.parametrize(
    ("count", "category"), [("+1", "one"), ("-1", "one"), ("+2", "other"), ("3/4", "one")]
)
def test_a_sign_before_a_count_changes_nothing(count: str, category: str) -> None:
    assert plural(count) == category


@pytest.mark.parametrize(
    ("said", "english", "spanish"),
    [
        (say("line.dose_set", pour="P2", packets="1"), "P2: 1 packet per bag", "P2: 1 sobre por saco"),
        (say("line.dose_set", pour="P2", packets="1/2"), "P2: 1/2 packet per bag", "P2: 1/2 sobre por saco"),
        (say("stock.mix", mix="sanded", bags="1"), "sanded: 1 bag", "sanded: 1 saco"),
        (say("replay.paced", pace="1"), "at the pace of the clock", "al paso del reloj"),
        (say("replay.paced", pace="10"), "10 times the pace", "10 veces el paso del reloj"),
    ],
)
def test_a_sentence_takes_the_form_that_its_count_asks_for(said: object, english: str, spanish: str) -> None:
    assert ENGLISH(said).startswith(english)  # type: ignore[arg-type]
    assert SPANISH(said).startswith(spanish)  # type: ignore[arg-type]


NOUNS = "bags|packets|lines|bytes|signs|steps|lifts|passes|minutes|days|pours|batches|vessels|hours|strokes|answers"
# more than one by their nature, or counted in a list of their own
ALWAYS_MANY = {"explained.no_crew", "ask.packets"}


def test_no_sentence_counts_with_a_noun_that_cannot_change() -> None:
    texts = read_words("en")
    bare = [key for key, text in texts.items() if re.search(rf"\{{\w+\}} (?:{NOUNS})\b", text)]
    assert [key for key in bare if not key.startswith("count.") and key not in ALWAYS_MANY] == []


@pytest.mark.parametrize(
    ("said", "spanish"),
    [
        (say("line.stroke_done", batches="P2.1", stroke="first_trowel"), "P2.1: primera llana, hecho"),
        (say("line.stroke_done", batches="P2.1", stroke="first trowel"), "P2.1: primera llana, hecho"),
        (say("line.batch_lost", batch="P2.1", why="stiff edge"), "P2.1 perdida: orilla"),
        (say("line.batch_lost", batch="P2.1", why="el perro"), "P2.1 perdida: el perro"),
        (say("answer.not_ticked", pour="P3", missing="sound, clean"), "P3, sin marcar: firme, limpio."),
    ],
)
def test_words_of_the_engine_are_said_in_the_language_and_a_persons_own_are_left(
    said: object, spanish: str
) -> None:
    assert SPANISH(said) == spanish  # type: ignore[arg-type]


def test_a_sentence_within_a_sentence_is_said_in_the_same_language() -> None:
    inner = say("read.and", first=say("read.air", value="53 °F"), then=say("read.sun", value=""))
    assert ENGLISH(say("line.reading_taken", values=inner)) == "read: air 53 °F, sun"
    assert SPANISH(say("line.reading_taken", values=inner)) == "leído: aire 53 °F, sol"


def test_texts_are_read_when_the_first_is_asked_for() -> None:
    asked: list[int] = []

    def read() -> dict[str, str]:
        asked.append(1)
        return {"a": "b"}

    words = Words(read)
    assert asked == []
    assert words("a") + words("a") == "bb"
    assert asked == [1]


def test_accents_go_and_english_stays_as_it_is() -> None:
    assert without_accents({"k": "¿señal, última, más?"}) == {"k": "senal, ultima, mas?"}


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(BadInput, match="en, es"):
        read_words("fr")
