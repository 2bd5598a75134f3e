"""A key file is read at the edge: `bagcall keys` prints those in force, and says every fault of a file in one run."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from tests.tui.days import TEXTS
from tui.actions import ACTIONS
from tui.cli import main
from tui.keyfile import CODE_SIGNS, NEEDED, SCREENS, keys_in_force, read_keymap
from tui.keymap import SIGNS, STANDARD, keymap
from tui.printed_keys import keys_table


@pytest.fixture(autouse=True)
def _no_own_keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BAGCALL_KEYS", raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "keys.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def faults(capsys: pytest.CaptureFixture[str], path: Path) -> list[str]:
    """What is said of a file that cannot be used."""
    assert main(["keys", str(path)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "Traceback" not in told.err
    return told.err.splitlines()


# what is printed


def test_the_keys_in_force_are_printed_as_a_key_file_that_gives_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["keys"]) == 0
    told = capsys.readouterr().out
    assert read_keymap(tomllib.loads(told), "") == STANDARD
    assert 'ready = ["r"]' in told
    assert 'help = ["?"]' in told
    lines = {line.partition(" =")[0]: line for line in told.partition("[planning]")[0].splitlines()}
    assert all(lines[action.id].endswith(f"# {TEXTS[f'action.{action.id}']}") for action in ACTIONS)
    assert main(["keys", str(written(tmp_path, told))]) == 0


def test_a_file_with_some_keys_is_printed_with_all_of_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = written(
        tmp_path,
        '[live]\nready = ["+", "к"]\nlook = []\n[replay]\nplay = ["space", "home"]\nstart = ["\\\\"]\n',
    )
    assert main(["keys", str(path)]) == 0
    told = capsys.readouterr().out
    assert str(path) in told.splitlines()[0]
    table = tomllib.loads(told)
    assert (table["live"]["ready"], table["live"]["look"], table["live"]["undo"]) == (
        ["+", "к"],
        [],
        ["backspace", "u"],
    )
    assert read_keymap(table, "") == keys_in_force(path)
    assert main(["keys", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"file": str(path), **table}


def test_a_key_may_be_given_by_its_sign_or_by_its_name(tmp_path: Path) -> None:
    by_name = keys_in_force(written(tmp_path, '[live]\nready = ["question_mark"]\nhelp = ["plus"]\n'))
    by_sign = keys_in_force(written(tmp_path, '[live]\nready = ["?"]\nhelp = ["+"]\n'))
    assert by_name == by_sign == keymap({"ready": ("question_mark",), "help": ("plus",)})


def test_two_actions_may_change_places(tmp_path: Path) -> None:
    keys = keys_in_force(written(tmp_path, '[live]\nready = ["n"]\nnot_yet = ["r"]\n'))
    assert (keys.live["n"].id, keys.live["R"].id) == ("ready", "not_yet")


def test_the_answer_to_a_question_may_be_the_key_of_another_action(tmp_path: Path) -> None:
    keys = keys_in_force(
        written(tmp_path, '[live]\nready = ["y"]\nrate = ["r"]\npackets = ["i"]\nlook = ["p"]\n')
    )
    assert keys.live["y"].id == "ready"


# where it is found


def test_without_a_file_the_programs_own_keys_are_in_force_and_the_place_for_a_file_is_named(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert keys_in_force(None) == STANDARD
    main(["keys"])
    assert str(Path("bagcall") / "keys.toml") in capsys.readouterr().out.splitlines()[0]


def test_a_file_in_the_users_folder_is_in_force_and_one_that_is_named_goes_before_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "own.toml"
    own.write_text('[live]\nready = ["+"]\n')
    monkeypatch.setenv("BAGCALL_KEYS", str(own))
    assert keys_in_force(None).keys["ready"] == ("plus",)
    named = written(tmp_path, '[live]\nready = ["="]\n')
    assert keys_in_force(named).keys["ready"] == ("equals_sign",)


def test_the_file_in_the_config_folder_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("platformdirs.user_config_path", lambda name, appauthor: tmp_path / name)  # noqa: ARG005
    (tmp_path / "bagcall").mkdir()
    written(tmp_path / "bagcall", '[live]\nready = ["+"]\n')
    assert keys_in_force(None).keys["ready"] == ("plus",)


@pytest.mark.parametrize("by", ["argument", "environment"])
def test_a_file_that_is_named_and_is_not_there_is_a_fault(
    by: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    missing = str(tmp_path / "none.toml")
    monkeypatch.setenv("BAGCALL_KEYS", missing if by == "environment" else "")
    assert main(["keys", *([missing] if by == "argument" else [])]) == 2
    assert capsys.readouterr().err.startswith(f"{missing}: file: a file that can be read")


# what is wrong with a file

# under [live]: the line, where the fault stands, and part of what is said
FAULTS: list[tuple[str, str, str]] = [
    ('ready = ["u"]', "live.ready[0]", "the key of undo"),
    ('ready = ["x"]\nrejected = ["x"]', "live.rejected[0]", "the key of ready"),
    ('advance = ["r"]', "live.advance[0]", "the key of ready"),
    ('ready = ["enter"]', "live.ready[0]", "the key of call"),
    ('ready = ["ſ"]', "live.ready[0]", "the key of skip"),  # its capital is S
    ('ready = ["r", "r"]', "live.ready[1]", "listed twice"),
    ('ready = ["?", "question_mark"]\nhelp = ["+"]', "live.ready[1]", "listed twice"),
    *((f'ready = ["{key}"]', "live.ready[0]", f"nearest known: {key.lower()}") for key in "ABCDFHR"),
    ('ready = ["escape"]', "live.ready[0]", "a slow line breaks"),
    *((f'ready = ["{SIGNS[name]}"]', "live.ready[0]", "a slow line breaks") for name in CODE_SIGNS),
    *((f'ready = ["{name}"]', "live.ready[0]", "a slow line breaks") for name in CODE_SIGNS),
    *(
        (f'ready = ["{key}"]', "live.ready[0]", "belong to terminals")
        for key in ("ctrl+r", "ctrl+j", "alt+r", "shift+tab", "f1", "F12", "super+x", "Ctrl+C")
    ),
    *((f'ready = ["{key}"]', "live.ready[0]", "the digits 1 to 9 stay") for key in "159"),
    ('assign = ["r"]', "live.assign", "the digits 1 to 9"),
    ("assign = []", "live.assign", "the digits 1 to 9"),
    ('ready = ["pageup"]', "live.ready[0]", "only under [replay]"),
    ('ready = ["spaec"]', "live.ready[0]", "nearest known: space"),
    ('ready = ["rr"]', "live.ready[0]", "one key"),
    ('ready = [""]', "live.ready[0]", "one key"),
    ('ready = [" "]', "live.ready[0]", "one key"),
    ('ready = ["\\u0000"]', "live.ready[0]", "one key"),
    ('ready = ["\\u0301"]', "live.ready[0]", "one key"),  # an accent by itself
    ('ready = ["混"]', "live.ready[0]", "one key"),  # two cells wide
    ('ready = ["ש"]', "live.ready[0]", "one key"),  # written from the right
    ("ready = [5]", "live.ready[0]", "5 given, one key"),
    ("ready = [true]", "live.ready[0]", "true given, one key"),
    ('ready = [["r"]]', "live.ready[0]", "one key"),
    ('ready = "r"', "live.ready", "a list of keys"),
    ("ready = 2026-01-01", "live.ready", "a list of keys"),
    ("ready = {key = 1}", "live.ready", "a list of keys"),
    ('raedy = ["r"]', "live.raedy", "nearest known: ready"),
    ('quit = ["y"]\nrate = []', "live.quit[0]", "answer its own question"),
    ('skip = ["y"]\nrate = []', "live.skip[0]", "answer its own question"),
    ('packets = ["h"]\nhalf_bag = []', "live.packets[0]", "answer its own question"),
    *((f"{name} = []", f"live.{name}", "cannot be left without") for name in NEEDED["live"]),
]


@pytest.mark.parametrize(("lines", "where", "why"), FAULTS)
def test_a_fault_is_told_with_its_place(
    lines: str, where: str, why: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = written(tmp_path, f"[live]\n{lines}\n")
    (told,) = faults(capsys, path)
    assert told.startswith(f"{path}: {where}: ")
    assert why in told


@pytest.mark.parametrize("name", NEEDED["replay"])
def test_a_replay_cannot_be_left_without_its_first_keys(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "cannot be left without" in faults(capsys, written(tmp_path, f"[replay]\n{name} = []\n"))[0]


def test_every_fault_is_told_in_one_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = '[live]\nready = ["u", "R", 5]\nadvnace = ["x"]\n[replay]\nplay = "space"\ngo = ["n"]\n[lvie]\nready = ["r"]\n'
    told = faults(capsys, written(tmp_path, text))
    assert len(told) == 7
    assert "nearest known: live" in told[0]


def test_keys_outside_a_section_are_told_where_they_belong(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert (
        "keys stand under [live], [planning], [aftercare] and [replay]"
        in faults(capsys, written(tmp_path, 'ready = ["r"]\n'))[0]
    )


# files meant to break a reader, and the place that is named
HOSTILE: list[tuple[str | bytes, str]] = [
    (b"\x00\xff\xfe\x80", "byte 1"),
    (b"", "file"),
    (b"\x1b[2J\x1b]0;title\x07", "line 1"),
    ("x = [" * 3000, "line 1"),
    ("[live]\n" + "ready = [\n" + "[\n" * 2000 + "]\n" * 2001, "file"),
    ("[live]\n[live]\n", "line 2"),
    ("[live]\nready = ['r']\nready = ['n']\n", "line 3"),
    ("live = 5\n", "live"),
    ("live = ['r']\nreplay = 'x'\n", "live"),
    ("[[live]]\nready = ['r']\n", "live"),
    ("[live.ready]\nkeys = ['r']\n", "live.ready"),
    ("[live]\n'\\u001b[2J' = ['r']\n", 'live."'),
    ("[live]\nready = [" + "'r'," * 900 + "]\n", "live.ready[1]"),
    ("[live]\nready = [" + "{}," * 900 + "]\n", "live.ready[0]"),
    ("[live]\nready = [" + "9" * 3000 + "]\n", "live.ready[0]"),
    (b"#" * 2_000_001, "file"),
]


@pytest.mark.parametrize(("text", "where"), HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_file_is_refused_in_sentences(
    text: str | bytes, where: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = written(tmp_path, text)
    told = faults(capsys, path)
    assert told[0].startswith(f"{path}: {where}")
    assert len(told) <= 301
    assert all(line.isprintable() for line in told)


def test_a_folder_in_its_place_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "not a file" in faults(capsys, tmp_path)[0]


# the other verbs


@pytest.mark.parametrize("verb", [["run"], ["rehearse"], ["replay", "day.jsonl"]], ids=lambda verb: verb[0])
def test_every_full_screen_takes_a_key_file(verb: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*verb, "--keys", "keys.toml"]) == 2  # no terminal here: no screen is opened
    assert "a full screen needs a terminal" in capsys.readouterr().err


def test_all_screens_can_be_written_out_whole() -> None:
    assert {screen: set(actions) for screen, actions in keys_table(STANDARD).items()} == {
        screen: {action.id.rpartition(".")[2] for action in actions} for screen, actions in SCREENS.items()
    }
