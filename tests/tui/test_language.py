"""Which language is spoken: asked for, else by the locale of messages (POSIX.1-2017, 8.2: LC_ALL, then LC_MESSAGES, then LANG)."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.job.files import demo_job_path
from engine.job.model import UnitSystem
from engine.pour.asked import Refused
from engine.pour.intents import TakeReading
from engine.record.spoken import SPANISH, reading
from tui.cli import main
from tui.verbs import VERBS
from tui.verbs.verb import language_here

LOCALES = [
    ({}, "en"),
    ({"LANG": "es_MX.UTF-8"}, "es"),
    ({"LANG": "es"}, "es"),
    ({"LANG": "es@euro"}, "es"),
    ({"LANG": "en_US.UTF-8"}, "en"),
    ({"LANG": "est_EE.UTF-8"}, "en"),
    ({"LANG": "C"}, "en"),
    ({"LC_MESSAGES": "es_US.UTF-8", "LANG": "en_US.UTF-8"}, "es"),
    ({"LC_ALL": "en_US.UTF-8", "LC_MESSAGES": "es_US.UTF-8", "LANG": "es_US.UTF-8"}, "en"),
    ({"LC_ALL": "", "LC_MESSAGES": "", "LANG": "es_ES.UTF-8"}, "es"),
    ({"LC_CTYPE": "es_MX.UTF-8", "LANG": "en_US.UTF-8"}, "en"),
]


@pytest.mark.parametrize(("environment", "language"), LOCALES)
def test_the_locale_of_messages_chooses(environment: dict[str, str], language: str) -> None:
    assert language_here(environment) == language


@pytest.mark.parametrize("verb", VERBS, ids=lambda verb: verb.name)
def test_every_verb_takes_a_language_and_names_those_it_knows(
    verb: object, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main([verb.name, "--language", "fr"])  # type: ignore[attr-defined]
    assert left.value.code == 2
    assert "fr: one of en, es" in capsys.readouterr().err


def _load_list(capsys: pytest.CaptureFixture[str], *more: str) -> str:
    main(["check", str(demo_job_path()), "--load", *more])
    return capsys.readouterr().out


def test_what_is_asked_for_beats_the_locale(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("LC_ALL", raising=False)
    monkeypatch.setenv("LC_MESSAGES", "es_MX.UTF-8")
    assert "llanas de acero" in _load_list(capsys)
    assert "steel trowels" in _load_list(capsys, "--language", "en")


READINGS = [
    ("air 53 sun wind 6", "aire 53 sol viento 6"),
    ("slab 49 shade humidity 60 %", "losa 49 sombra humedad 60 %"),
    ("bags 62 water 58 mix 66", "sacos 62 agua 58 mezcla 66"),
    ("surface 71 ice 2 station 9", "superficie 71 hielo 2 estación 9"),
    ("slab 12 C sunny", "losa 12 °C soleado"),
]


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize(("english", "spanish"), READINGS)
def test_a_reading_typed_in_spanish_is_the_reading_typed_in_english(
    english: str, spanish: str, units: UnitSystem
) -> None:
    said = reading(spanish, "P2", units)
    assert isinstance(said, TakeReading)
    assert said == reading(english, "P2", units)


@pytest.mark.parametrize("word", sorted(SPANISH))
def test_every_spanish_word_is_taken_and_named_in_a_refusal(word: str) -> None:
    said = reading(f"{word} 5", "", "metric")
    flags = ("sol", "soleado", "sombra", "nublado")
    assert isinstance(said, Refused) == (word in flags)
    wrong = reading("qqqq 5", "", "us")
    assert isinstance(wrong, Refused)
    assert word in dict(wrong.reason.values)["near"]  # type: ignore[operator]


def test_the_word_that_was_typed_stands_in_the_refusal() -> None:
    wrong = reading("losa", "", "us")
    assert isinstance(wrong, Refused)
    assert dict(wrong.reason.values) == {"word": "losa"}
