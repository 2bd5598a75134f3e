"""How a sound gets out: the bell, or a program of the command line that can never hold the screen up."""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from engine.words import say
from tui.cli import main
from tui.sound.outlet import LONGEST_S, Outlet, Program
from tui.sound.ringing import Sound
from tui.verbs.verb import sound_options

COMMAND = ("player", "call.wav")
NOW = 1000.0


@dataclass
class Played:
    """A program that ends when the test says so."""

    code: int | None = None
    ended: int = 0

    def poll(self) -> int | None:
        return self.code

    def end(self) -> None:
        self.ended += 1


@dataclass
class Room:
    """An outlet, its bells counted and its programs made by hand."""

    command: tuple[str, ...] = COMMAND
    fault: Exception | None = None
    bells: int = 0
    started: list[tuple[tuple[str, ...], Sound]] = field(default_factory=list)
    running: list[Played] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.outlet = Outlet(self._bell, self.command, self._start)

    def _bell(self) -> None:
        self.bells += 1

    def _start(self, command: tuple[str, ...], sound: Sound) -> Played:
        if self.fault:
            raise self.fault
        self.started.append((command, sound))
        self.running.append(Played())
        return self.running[-1]


def test_without_a_command_the_bell_rings() -> None:
    room = Room(())
    assert room.outlet.play("late", NOW) is None
    assert (room.bells, room.started) == (1, [])


@pytest.mark.parametrize("sound", ["call", "due", "late"])
def test_the_command_is_told_what_kind_of_sound_it_is(sound: Sound) -> None:
    room = Room()
    assert room.outlet.play(sound, NOW) is None
    assert (room.bells, room.started) == (0, [(COMMAND, sound)])


def test_one_program_plays_at_a_time_and_the_bell_stands_in_meanwhile() -> None:
    room = Room()
    room.outlet.play("due", NOW)
    room.outlet.play("late", NOW + 2)
    assert (len(room.started), room.bells) == (1, 1)
    room.running[0].code = 0
    assert room.outlet.tend(NOW + 3) is None
    room.outlet.play("late", NOW + 4)
    assert (len(room.started), room.bells) == (2, 1)


def test_a_program_that_cannot_be_started_is_told_once_and_the_bell_rings_from_then_on() -> None:
    room = Room(fault=FileNotFoundError(2, "No such file or directory"))
    told = room.outlet.play("call", NOW)
    assert told == say("sound.failed", program="player", why="[Errno 2] No such file or directory")
    assert room.outlet.play("call", NOW + 5) is None
    assert room.bells == 2


def test_a_program_that_fails_is_told_once_and_the_bell_rings_at_once() -> None:
    room = Room()
    room.outlet.play("call", NOW)
    room.running[0].code = 3
    told = room.outlet.tend(NOW + 1)
    assert told == say("sound.failed", program="player", why=say("sound.code", n=3))
    assert room.bells == 1
    assert room.outlet.tend(NOW + 2) is None
    room.outlet.play("call", NOW + 5)
    assert (len(room.started), room.bells) == (1, 2)


@pytest.mark.parametrize("pace", [1.0, 10.0])
def test_a_program_is_ended_after_ten_seconds_of_the_ears(pace: float) -> None:
    room = Room()
    room.outlet.play("call", NOW, pace)
    assert room.outlet.tend(NOW + (LONGEST_S - 0.1) * pace) is None
    assert room.running[0].ended == 0
    told = room.outlet.tend(NOW + LONGEST_S * pace)
    assert told == say("sound.failed", program="player", why=say("sound.too_long"))
    assert room.running[0].ended == 1


def test_leaving_ends_what_still_plays() -> None:
    room = Room()
    room.outlet.play("call", NOW)
    room.outlet.close()
    room.outlet.close()
    assert room.running[0].ended == 1


@pytest.fixture
def script(tmp_path: Path) -> tuple[Path, Path]:
    """A program that writes down its arguments and the kind of sound, and the file it writes to."""
    path, out = tmp_path / "play.py", tmp_path / "played.txt"
    path.write_text(
        "import os, sys\n"
        f"open({str(out)!r}, 'w').write('|'.join([*sys.argv[1:], os.environ['BAGCALL_SOUND']]))\n"
    )
    return path, out


def test_a_real_program_gets_its_arguments_as_they_are_and_no_shell(script: tuple[Path, Path]) -> None:
    path, out = script
    program = Program((sys.executable, str(path), "; rm -rf .", "$HOME", "`id`", "*"), "late")
    assert program._process.wait(10) == 0
    assert program.poll() == 0
    assert out.read_text() == "; rm -rf .|$HOME|`id`|*|late"


@pytest.mark.skipif(sys.platform == "win32", reason="no process groups there")
def test_a_real_program_is_ended_with_what_it_started(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    both_hold_it = (
        "import os, signal; f = open(r'%s', 'w'); f.write('x'); f.flush(); os.fork(); signal.pause()"
    )
    program = Program((sys.executable, "-c", both_hold_it % pipe), "due")
    with pipe.open() as end:
        assert end.read(1) == "x"
        assert program.poll() is None
        program.end()
        assert end.read() == ""  # comes only once nobody holds the other end
    assert program.poll() == -9


def parsed(text: str) -> tuple[str, ...]:
    parser = argparse.ArgumentParser()
    sound_options(parser)
    command: tuple[str, ...] = parser.parse_args(["--sound-command", text]).sound_command
    return command


# what is typed, the words it becomes
COMMANDS = [
    ("paplay bell.wav", ("paplay", "bell.wav")),
    ("play 'my bell.wav' -q", ("play", "my bell.wav", "-q")),
    ("play bell.wav '; rm'", ("play", "bell.wav", "; rm")),
    ("play bell.wav; rm x", ("play", "bell.wav;", "rm", "x")),
    ("play $(id) `id` $HOME ~ *", ("play", "$(id)", "`id`", "$HOME", "~", "*")),
    ("play x | y > z && w", ("play", "x", "|", "y", ">", "z", "&&", "w")),
    ("play \u202e\x1b[31m", ("play", "\u202e\x1b[31m")),
]


@pytest.mark.parametrize(("text", "words"), COMMANDS)
def test_a_command_is_words_and_nothing_of_a_shell(text: str, words: tuple[str, ...]) -> None:
    assert parsed(text) == words


@pytest.mark.parametrize("text", ["", "   ", "''", "play 'bell", "play \\", "play a\0b"])
def test_a_command_that_is_none_is_refused_on_the_command_line(
    text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        parsed(text)
    assert ended.value.code == 2
    assert "--sound-command" in capsys.readouterr().err


def test_left_out_it_is_the_bell() -> None:
    parser = argparse.ArgumentParser()
    sound_options(parser)
    assert parser.parse_args([]).sound_command == ()


@pytest.mark.parametrize(
    ("verb", "door"), [(("run",), "start"), (("rehearse",), "rehearse"), (("board", "day.jsonl"), "board")]
)
def test_the_command_goes_from_the_command_line_to_the_screen(
    verb: tuple[str, ...], door: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: dict[str, object] = {}

    def screen(_job: Path | None, **options: object) -> int:
        asked.update(options)
        return 0

    monkeypatch.setattr(f"tui.start.{door}", screen)
    assert main([*verb, "--sound-command", "play '; rm' x"]) == 0
    assert asked["sound_command"] == ("play", "; rm", "x")
