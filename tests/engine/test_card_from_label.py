"""A mix card from what a bag's label says: it reads, it marks what no label said, and it tells each of it.

The proportion of passes and sets to the working time is that of the shipped example cards (practice, no source). Stretch of
the retarder: the shipped cards. The day before anything opens: `opening.next_day` of the practice (TxDOT, Concrete Repair
Manual 2021, class "next day").
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.console.labelled import new_card, shelf
from engine.errors import BadInput
from engine.job.files import configs_folder, read_words
from engine.job.writing.label import draft_card, label_of
from engine.job.writing.proportion import duration, scaled
from engine.job.writing.questions import LABEL_PAGES, Draft, questions
from engine.job.writing.reopened import lost
from engine.job.writing.text import file_text
from engine.mix.card import MixCard
from engine.mix.reader import read_mix
from engine.words import Words

SAID = Words(read_words("en"))
SHELF = shelf()
LABEL = {
    "name": ("Own mix",),
    "kind": ("small stone",),
    "mass": ("50 lb",),
    "yield": ("0.43 ft^3",),
    "water_low": ("3.75 qt",),
    "water_high": ("4.75 qt",),
    "depth_min": ("1.5 in",),
    "depth_max": ("4 in",),
    "working_time": ("3 min",),
    "working_from": ("end of mixing",),
    "feet": ("1 h",),
    "wheels": ("2 h",),
}
MIXES = sorted((configs_folder() / "mixes").glob("*.toml"))


def _draft(**more: tuple[str, ...]) -> tuple[Draft, MixCard]:
    draft, card = draft_card({**LABEL, **more}, "own", SHELF)
    assert draft.faults == ()
    assert card is not None
    return draft, card


def _read(draft: Draft) -> MixCard:
    table = tomllib.loads(file_text(draft.table, "form.card_head", draft.assumed, SAID))
    card, problems = read_mix(table, "own", "own.toml")
    assert problems == ()
    assert card is not None
    return card


@pytest.mark.parametrize("path", MIXES, ids=lambda path: path.stem)
def test_the_label_of_a_shipped_card_gives_that_card_again(path: Path) -> None:
    """Sets, passes, retarder and heat come out of the proportion, to the nearest 5 s, where the label is silent."""
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    shipped, _ = read_mix(table, "own", path.name)
    assert shipped is not None
    label = {key: lines for key, lines in label_of(table).items() if key not in ("initial_set", "final_set")}
    draft, card = draft_card(label, "own", SHELF)
    assert draft.faults == ()
    assert card is not None
    assert all(place.startswith("sources") for place in lost(shipped, card))


def test_what_the_label_says_is_marked_so_and_the_rest_is_not() -> None:
    draft, card = _draft()
    marks = dict(card.sources)
    assert {marks[key] for key in ("bag.mass", "bag.yield", "water.low", "clock.working_time")} == {"label"}
    assert marks["passes"] == "practice"
    assert {marks[key] for key in ("clock.activation_energy", "clock.initial_set", "heat")} == {"assumed"}
    unsaid = {key for key, mark in marks.items() if mark != "label"}
    told = {one.where for one in draft.assumed}
    assert all(any(where.startswith(key) for where in told) for key in unsaid)


def test_every_presumption_is_a_sentence_that_begins_with_its_mark() -> None:
    draft, _ = _draft(packets_most=("3",), water_high=())
    assert all(SAID(one.said).startswith(("assumed: ", "practice: ")) for one in draft.assumed)


def test_every_presumption_of_the_catalogue_is_one_that_a_label_can_call_for() -> None:
    needed = {q.key for q in questions(LABEL_PAGES) if q.needed}
    least = {key: lines for key, lines in LABEL.items() if key in needed}
    drafts = [draft_card(answers, "own", SHELF)[0] for answers in (least, {**least, "packets_most": ("3",)})]
    said = {one.said.key for draft in drafts for one in draft.assumed}
    known = SAID.keys()
    assert said == {key for key in known if key.startswith("form.presumed.")}


def test_water_is_aimed_at_in_the_middle() -> None:
    assert _draft()[0].table["water"] == {"low": "3.75 qt", "target": "4.25 qt", "high": "4.75 qt"}


def test_one_amount_of_water_is_least_and_most() -> None:
    water = _draft(water_high=())[1].water
    assert water.low_l == water.target_l == water.high_l


def test_a_working_time_counts_from_the_water_unless_the_label_says_otherwise() -> None:
    assert _draft(working_from=())[1].workable_s == 180
    assert _draft()[1].workable_s == 270


def test_sets_that_the_label_says_stand_and_the_passes_follow_them() -> None:
    """By hand: the last quarter of the way from end of working to initial set on the known card, and on this one.

    Known: working 270 s, initial set 720 s, final 1200 s; first trowel lost at 450 s, which is 180/450 of the way. Here
    270 s, 1440 s: 270 + 0.4 x 1170 = 738 s, to the nearest 5 s 740 s.
    """
    card = _draft(initial_set=("24 min",), final_set=("40 min",))[1]
    assert (card.setting.initial_set_s, card.setting.final_set_s) == (1440, 2400)
    assert card.passes.first_trowel.lost_s == 740


def test_retarder_goes_as_far_as_the_label_and_never_past_what_is_known() -> None:
    assert _draft()[1].retarder.packets == (0,)
    assert _draft(packets_most=("1.5",))[1].retarder.stretch == pytest.approx((1, 2, 2.4))
    assert _draft(packets_most=("2",))[1].retarder.stretch == (1, 2, 2.8)
    draft, card = _draft(packets_most=("4",))
    assert card.retarder.packets == (0, 1, 2)
    assert "retarder.packets" in {one.where for one in draft.assumed}


def test_nothing_opens_before_a_day_is_over_where_the_label_is_silent() -> None:
    opening = _draft(feet=(), wheels=())[1].opening
    assert (opening.feet_s, opening.wheels_s) == (86400, 86400)
    assert _draft(wheels=())[1].opening.wheels_s == 86400
    assert _draft(feet=())[1].opening.feet_s == 7200
    assert _draft(feet=("30 h",), wheels=())[1].opening.wheels_s == 30 * 3600


def test_no_strength_is_made_up() -> None:
    assert _draft()[1].strength.age_s == ()
    assert _draft(strength=("3 h 1500 psi", "28 day 5000 psi"))[1].strength.age_s == (3 * 3600, 28 * 86400)


@pytest.mark.parametrize(
    ("key", "line", "where", "says"),
    [
        ("mass", "50", "mass", "a mass needs a unit"),
        ("yield", "43 ft^3", "yield", "a volume"),
        ("yield", "0.043 ft^3", "yield", "a yield at which bag and water weigh"),
        ("kind", "gravel", "kind", "one of"),
        ("water_high", "3 qt", "water_high", "not less than target"),
        ("depth_max", "1 in", "depth_max", "more than min"),
        ("largest_stone", "2 in", "largest_stone", "not larger than min"),
        ("working_time", "3", "working_time", "a duration needs a unit"),
        ("working_from", "start", "working_from", "one of"),
        ("initial_set", "2 min", "initial_set", "not less than working_time"),
        ("final_set", "2 min", "final_set", "not less than initial_set"),
        ("mixing_time", "long", "mixing_time", "a duration"),
        ("packets_most", "two", "packets_most", "a plain number"),
        ("packets_most", "nan", "packets_most", "0 to 20"),
        ("price", "dear", "price", "a plain number"),
        ("wheels", "30 min", "wheels", "not less than feet"),
        ("strength", "1500 psi", "strength", "an age, then a strength"),
        ("strength", "3 h 1500 lb", "strength", "a strength"),
    ],
)
def test_what_cannot_be_used_is_named_at_its_question(key: str, line: str, where: str, says: str) -> None:
    draft, card = draft_card({**LABEL, key: (line,)}, "own", SHELF)
    assert card is None
    assert [(fault.key, says in fault.says) for fault in draft.faults] == [(where, True)]


def test_every_needed_answer_that_is_missing_is_named() -> None:
    draft, card = draft_card({}, "own", SHELF)
    assert card is None
    assert {fault.key for fault in draft.faults} == {q.key for q in questions(LABEL_PAGES) if q.needed}


@settings(max_examples=80, deadline=None)
@given(
    kind=st.sampled_from(["no aggregate", "sanded", "small stone"]),
    working_s=st.integers(10, 7200),
    counted=st.sampled_from([(), ("end of mixing",), ("water contact",)]),
    sets=st.tuples(st.integers(0, 7200), st.integers(0, 7200)),
    given_sets=st.tuples(st.booleans(), st.booleans()),
    packets=st.sampled_from([(), ("0",), ("0.5",), ("2",), ("6",)]),
)
def test_any_label_gives_a_card_that_reads_and_comes_back_whole(
    kind: str,
    working_s: int,
    counted: tuple[str, ...],
    sets: tuple[int, int],
    given_sets: tuple[bool, bool],
    packets: tuple[str, ...],
) -> None:
    initial_s = working_s + 90 + sets[0]
    more = {
        "kind": (kind,),
        "working_time": (f"{working_s} s",),
        "working_from": counted,
        "packets_most": packets,
    }
    more |= {"initial_set": (f"{initial_s} s",)} if given_sets[0] else {}
    more |= {"final_set": (f"{initial_s + sets[1]} s",)} if given_sets[1] else {}
    draft, card = _draft(**more)
    assert _read(draft) == card
    again, card_again = draft_card(label_of(draft.table), "own", SHELF)
    assert again.faults == ()
    assert card_again is not None
    assert lost(card, card_again) == ()


def test_ages_run_along_straight_lines_and_times_are_written_as_on_a_label() -> None:
    assert scaled(135, (0, 270, 720), (0, 540, 720)) == 270
    assert scaled(495, (0, 270, 720), (0, 540, 720)) == 630
    assert [duration(seconds) for seconds in (0, 45, 285, 7200, 3725)] == [
        "0 s",
        "45 s",
        "4 min 45 s",
        "2 h",
        "1 h 2 min 5 s",
    ]


def test_the_words_of_the_label_are_all_in_the_catalogue() -> None:
    for question in questions(LABEL_PAGES):
        assert f"form.ask.{question.key}" in SAID
        assert f"form.like.{question.key}" in SAID


def test_a_card_is_written_opened_again_and_mended(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    new_card(path, SAID).write(LABEL)
    sheet = new_card(path, SAID)
    assert sheet.answers == LABEL
    with pytest.raises(BadInput, match="not written over unasked"):
        sheet.write(LABEL)
    sheet.write({**LABEL, "mixing_time": ("2 min",)}, over=True)
    assert new_card(path, SAID).answers["mixing_time"] == ("2 min",)


def test_a_card_with_windows_of_its_own_is_not_rewritten(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    new_card(path, SAID).write(LABEL)
    text = path.read_text(encoding="utf-8").replace('due = "4 min 45 s"', 'due = "5 min"')
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match="would lose it"):
        new_card(path, SAID)
