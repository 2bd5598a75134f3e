"""A job filled in by hand: what is written reads again as the same facts, and nothing is lost or written over in silence.

No outside source: the reader that `check` uses is the judge of what is written.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace

import pytest
from form_ground import GROUND, LEAST, SAID, TODAY, VALUES
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.files import demo_job_path, read_job
from engine.job.model import Job
from engine.job.reader import TIMES, read_job_table
from engine.job.writing.answers import answers_of, read_answers
from engine.job.writing.drafted import draft_job
from engine.job.writing.questions import JOB_PAGES, Draft, questions
from engine.job.writing.reopened import form_of, lost
from engine.job.writing.table import job_table
from engine.job.writing.text import assumed_keys, file_text

INCH = 0.0254  # exact, NIST SP 811
LISTS = {question.key for question in questions(JOB_PAGES) if question.many}


def _draft(**more: tuple[str, ...]) -> tuple[Draft, Job]:
    draft, job = draft_job({**LEAST, **more}, GROUND, VALUES, TODAY)
    assert draft.faults == ()
    assert job is not None
    return draft, job


def _faults(**more: tuple[str, ...]) -> list[tuple[str, int, str]]:
    draft, job = draft_job({**LEAST, **more}, GROUND, VALUES, TODAY)
    assert job is None
    return [(fault.key, fault.line, fault.says) for fault in draft.faults]


def _text(draft: Draft) -> str:
    return file_text(draft.table, "form.job_head", draft.assumed, SAID)


def _read(text: str) -> Job:
    cards = {offer.key: offer.card for offer in GROUND.offers}
    job, problems = read_job_table(tomllib.loads(text), "job.toml", cards, VALUES, TODAY)
    assert problems == ()
    assert job is not None
    return job


def test_four_answers_make_a_job_that_reads_without_a_problem() -> None:
    draft, job = _draft()
    assert _read(_text(draft)) == job
    (pour,) = job.pours
    assert (pour.length_m, pour.width_m) == pytest.approx((24 * INCH, 18 * INCH))
    assert pour.depths_m == pytest.approx((2 * INCH, 1.75 * INCH, 2.25 * INCH))


def test_what_nobody_gave_is_the_demo_jobs_and_each_of_it_is_told() -> None:
    draft, job = _draft()
    demo = read_job(demo_job_path(), TODAY)
    assert (job.people, job.stations, job.times) == (demo.people, demo.stations, demo.times)
    told = {one.where for one in draft.assumed}
    assert told >= {
        "people",
        "stations",
        "job.units",
        "job.mixes",
        "conditions[0].humidity",
        "pours[0].finish",
    }
    assert told >= {f"times.{key}" for key in TIMES}
    assert all(SAID(one.said).startswith("assumed: ") for one in draft.assumed)
    assert list(assumed_keys(_text(draft))) == [one.where for one in draft.assumed]


def test_an_answer_is_never_told_as_assumed() -> None:
    before = {one.where for one in _draft()[0].assumed}
    draft, _ = _draft(people=("A mix", "B place finish"), times=("carry 50",), packets=("6",), units=("us",))
    gone = before - {one.where for one in draft.assumed}
    assert gone == {"people", "times.carry", "stock.packets", "job.units"}
    assert draft.table["times"]["carry"] == "50 s"


def test_no_more_stations_are_assumed_than_people_who_mix() -> None:
    assert len(_draft(people=("A mix", "B place finish"))[1].stations) == 1


@pytest.mark.parametrize(
    ("key", "line", "says"),
    [
        ("weather", "08:00 air 54 wnd 3", '"wnd" is not known here; nearest: wind'),
        ("weather", "08:00 air 54 air 55", '"air" is said twice'),
        ("weather", "08:00 air", 'a number is missing after "air"'),
        ("weather", "08:00 air 400", "air: "),
        ("weather", "8 o'clock air 54", '"8" is not known here'),
        ("weather", "28:75 air 54", "at: "),
        ("patches", "24x18", "depth readings are missing"),
        ("patches", "24 18 2 2", "the size is missing"),
        ("patches", "24x18 2 brom", "nearest: broom"),
        ("patches", "24x18 99", "out of reach"),
        ("patches", "24x18 2 before P9", "put the line above"),
        ("people", "A fly", '"fly" is not known here'),
        ("stations", "S1 bucket, 1 bag, 9 hands", "hands: "),
        ("times", "carrry 30 s", "nearest: carry"),
        ("times", "carry 30 lb", "a duration"),
        ("promises", "wheels", "the time is missing"),
        ("promises", "wheels by 15:00 P9", "the id of a pour"),
        ("promises", "boots by 15:00", '"boots" is not known here'),
        ("mixes", "small-ston", "nearest: small-stone"),
        ("units", "inches", "us or metric"),
        ("date", "5 November", "a date as year-month-day"),
        ("start", "nine", "a time of day"),
        ("time_zone", "Chicago", "an IANA time zone"),
        ("packets", "a few", "not a plain number"),
        ("bags", "fine 3 sanded", "each mix with its number"),
        ("bags_temperature", "50 lb", "a temperature"),
    ],
)
def test_a_line_that_cannot_be_used_says_what_is_wrong_where_it_stands(
    key: str, line: str, says: str
) -> None:
    ((question, number, told),) = _faults(**{key: ("", line)})
    assert (question, number) == (key, 1 if key in LISTS else number)
    assert says in told


def test_every_needed_answer_that_is_missing_is_named() -> None:
    draft, job = draft_job({}, GROUND, VALUES, TODAY)
    assert job is None
    assert {fault.key for fault in draft.faults} == {"name", "time_zone", "weather", "patches"}


def test_a_fault_stands_at_the_line_it_comes_from_though_lines_before_it_are_empty() -> None:
    found = _faults(patches=("", "P1 24x18 2", "", "P1 24x18 2"))
    assert [(key, line) for key, line, _ in found] == [("patches", 3)]
    assert "an id that no other" in found[0][2]


def test_plain_numbers_are_in_the_units_of_the_job() -> None:
    us, metric = (
        _draft()[1],
        _draft(units=("metric",), weather=("08:00 air 12",), patches=("600x450 50 45",))[1],
    )
    assert us.conditions[0].air_c == pytest.approx((54 - 32) / 1.8)
    assert metric.conditions[0].air_c == pytest.approx(12)
    assert metric.pours[0].length_m == pytest.approx(0.6)


def test_a_mix_is_named_on_a_patch_though_its_name_is_close_to_another_word() -> None:
    assert _draft(patches=("24x18 1.5 sanded sawn trowel",))[1].pours[0].mix == "sanded"


# --- any form ---------------------------------------------------------------------------------------------------------

IDS = st.sampled_from(["A", "Lead", "F", "M2", "Zo\u00eb"])
TENTHS = st.integers(10, 400).map(lambda n: n / 10)
WORDS_OF_WORK = st.lists(st.sampled_from(["mix", "place", "finish"]), unique=True, max_size=3)
PLACES = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), max_size=20)


@st.composite
def weather(draw: st.DrawFn) -> tuple[str, ...]:
    hours = sorted(draw(st.sets(st.integers(5, 20), min_size=1, max_size=4)))
    rows = []
    for hour in hours:
        parts = [f"{hour:02}:00", f"air {draw(st.integers(30, 100))}"]
        parts += draw(st.sampled_from([[], ["slab 60"], ["slab 14 degC"]]))
        parts += draw(st.sampled_from([[], ["humidity 55"], ["humidity 7.5%"]]))
        parts += draw(st.sampled_from([[], ["wind 4"], ["station 12 km/h"]]))
        rows.append(" ".join(parts + draw(st.sampled_from([[], ["sun"], ["shade"]]))))
    return tuple(rows)


@st.composite
def patches(draw: st.DrawFn) -> tuple[str, ...]:
    lines = []
    for n in range(draw(st.integers(1, 4))):
        size = f"{draw(TENTHS)}x{draw(TENTHS)}"
        size = draw(st.sampled_from([size, "3 ft x 2 ft 6 in", "2.5 ft2", "outline 0,0 24,0 24,18.5 0,18"]))
        depths = draw(st.sampled_from(["2", "1 3/4 2 2.25", "50 mm 55 mm"]))
        words = " ".join(
            draw(st.sets(st.sampled_from(["broom", "chipped", "ramp", "sanded", "packets 0.5"])))
        )
        where = draw(PLACES)
        lines.append(
            f"{draw(st.sampled_from(['', f'Q{n}']))} {size} {depths} {words}"
            + (f" at {where}" if where else "")
        )
    return tuple(lines)


@st.composite
def answers(draw: st.DrawFn) -> dict[str, tuple[str, ...]]:
    found = dict(LEAST) | {"weather": draw(weather()), "patches": draw(patches())}
    crew = tuple(
        f"{who} {' '.join(draw(WORDS_OF_WORK))}" for who in draw(st.lists(IDS, unique=True, max_size=3))
    )
    maybe = {
        "people": (*crew, "All") if crew else (),
        "stations": draw(
            st.sampled_from([(), ("S1",), ("S1 5 gal bucket, 1.5 bags", "S2 tub, 2 bags, 1 hand")])
        ),
        "times": draw(st.sampled_from([(), ("carry 35", "strike off 25 s"), ("first trowel 11",)])),
        "promises": draw(st.sampled_from([(), ("feet 15:00",), ("wheels by 26:30",)])),
        "bags": draw(st.sampled_from([(), ("fine 2 sanded 3.5 small-stone 9",)])),
        **{key: draw(st.sampled_from([(), (value,)])) for key, value in SINGLE.items()},
    }
    return found | {key: lines for key, lines in maybe.items() if lines}


SINGLE = {
    "units": "us",
    "date": "2026-12-01",
    "start": "09:15",
    "currency": "USD",
    "packets": "4.5",
    "vessels": "7",
    "bags_temperature": "61",
    "water_temperature": "15 degC",
    "mixes": "sanded, small-stone fine",
}


@settings(max_examples=60, deadline=None)
@given(answers())
def test_any_form_reads_without_a_problem_and_comes_back_whole(told: dict[str, tuple[str, ...]]) -> None:
    draft, job = draft_job(told, GROUND, VALUES, TODAY)
    assert draft.faults == ()
    assert job is not None
    text = _text(draft)
    assert _read(text) == job
    form = form_of(tomllib.loads(text), job, assumed_keys(text), GROUND)
    again, job_again = draft_job(answers_of(form), GROUND, VALUES, TODAY)
    assert again.faults == ()
    assert job_again is not None
    assert lost(job, job_again) == ()
    assert [one.where for one in again.assumed] == [one.where for one in draft.assumed]
    assert _text(again) == text


def test_the_words_of_a_form_are_all_in_the_catalogue() -> None:
    for question in questions(JOB_PAGES):
        assert f"form.ask.{question.key}" in SAID
        assert f"form.like.{question.key}" in SAID or f"form.like.us.{question.key}" in SAID


PIECES = st.sampled_from(
    [
        "24x18",
        "2",
        "1/0",
        "1 1/2",
        "air",
        "54",
        "sun",
        "08:00",
        "99:99",
        "P1",
        "at",
        "before",
        "packets",
        "1e400",
        "nan",
        "-5",
        "outline",
        "0,0",
        "24,0",
        "mix",
        "bag",
        "hands",
        "%",
        "ft2",
        "'",
        '"',
        "3 h",
        "#",
        "=",
        "\\",
        "½",
        "٣",
        "x",
        "feet",
        "by",
        "carry",
        "s/ft^2",
        "small-stone",
        "2026-02-30",
        "metric",
        "K",
        ".",
        "psi",
        "min",
    ]
)
ANY_TEXT = st.one_of(st.lists(PIECES, max_size=6).map(" ".join), st.text(max_size=20))


@settings(max_examples=150, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from([question.key for question in questions(JOB_PAGES)]),
        st.lists(ANY_TEXT, max_size=3).map(tuple),
        max_size=5,
    )
)
def test_whatever_is_typed_is_a_job_that_reads_or_faults_at_their_questions(
    told: dict[str, tuple[str, ...]],
) -> None:
    draft, job = draft_job({**LEAST, **told}, GROUND, VALUES, TODAY)
    assert (job is None) == bool(draft.faults)
    assert {fault.key for fault in draft.faults} <= {question.key for question in questions(JOB_PAGES)}
    if job is not None:
        assert _read(_text(draft)) == job


def test_every_assumption_of_the_catalogue_is_one_that_a_form_can_make() -> None:
    told = {
        "weather": ("air 54", "12:00 air 60"),
        "people": ("All",),
        "stations": ("S1",),
        "promises": ("feet 15:00",),
    }
    here = replace(GROUND, zone="America/Denver")
    own = replace(here, offers=tuple(replace(offer, shipped=False) for offer in here.offers))
    grounds = [
        (LEAST, here),
        ({**LEAST, **told, "time_zone": ()}, own),
        ({**LEAST, "weather": ("23:00 air 9",)}, own),
    ]
    demo = {**GROUND.demo, "conditions": [row | {"sun": True} for row in GROUND.demo["conditions"]]}
    grounds.append((LEAST, replace(here, demo=demo)))
    drafts = [draft_job(answers, ground, VALUES, TODAY)[0] for answers, ground in grounds]
    said = {one.said.key for draft in drafts for one in draft.assumed}
    known = SAID.keys()
    assert said == {key for key in known if key.startswith("form.assumed.")}


def test_a_value_changed_by_hand_counts_as_an_answer_though_the_head_still_calls_it_assumed() -> None:
    draft, _ = _draft()
    text = _text(draft).replace('carry = "25 s"', 'carry = "55 s"')
    form = form_of(tomllib.loads(text), _read(text), assumed_keys(text), GROUND)
    assert form.times == (("carry", "55 s"),)
    assert form.people == ()


def test_lines_and_form_say_the_same() -> None:
    told = {**LEAST, "stations": ("S1 5 gal bucket, 2 bags, 1 hand",), "people": ("A mix place finish",)}
    form = read_answers(told, ()).form
    assert read_answers(answers_of(form), ()).form == form
    assert job_table(form, GROUND) == job_table(read_answers(answers_of(form), ()).form, GROUND)
