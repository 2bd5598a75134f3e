"""Opens the live screen: the terminal first, then the frame, then the files."""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from engine.console.following import Following
    from engine.console.written import Sheet
    from engine.words import Words
    from tui.keymap import Keymap
    from tui.session import Session

BAD = 2
WITHOUT = "without one, use bagcall check, enter, status and replay --text"
TAKEN = ("C.UTF-8", "C.utf8", "UTF-8")  # what Python may put into LC_CTYPE by itself
PLAIN_TERMINALS = ("", "dumb", "unknown")


def start(
    job: Path | None,
    *,
    log: Path | None,
    fresh: bool,
    look: str,
    ascii_only: bool,
    keys: Path | None = None,
    sound_command: tuple[str, ...] = (),
    language: str = "en",
) -> int:
    """Run the console on a job; its exit code. Files are read once the frame is painted."""

    def opened(said: Words) -> Session:
        from engine.console import open_session

        return open_session(job, said, log=log, fresh=fresh)

    return _shown(opened, job or log, look, ascii_only, keys, sound_command, language)


def rehearse(
    job: Path | None,
    *,
    speed: float,
    seed: int,
    crewed: bool,
    log: Path | None,
    look: str,
    ascii_only: bool,
    keys: Path | None = None,
    sound_command: tuple[str, ...] = (),
    language: str = "en",
) -> int:
    """Run a made-up day on the live screen; its exit code."""

    def opened(said: Words) -> Session:
        from engine.console import open_rehearsal

        return open_rehearsal(job, said, speed=speed, seed=seed, crewed=crewed, log=log)

    return _shown(opened, job or log, look, ascii_only, keys, sound_command, language)


def replay(log: Path, *, look: str, ascii_only: bool, keys: Path | None = None, language: str = "en") -> int:
    """Show a log on the live screen at any moment of it; its exit code."""
    ascii_only = ascii_only or not _blocks_here()
    said = _ready(language, ascii_only)
    if said is None:
        return BAD
    from engine.console import open_replay
    from tui.replay.app import run_replay

    read_keys = _reader(keys)
    return run_replay(
        lambda: open_replay(log), log.stem, said, look=look, ascii_only=ascii_only, read_keys=read_keys
    )


def board(
    log: Path,
    *,
    look: str,
    ascii_only: bool,
    keys: Path | None = None,
    sound_command: tuple[str, ...] = (),
    language: str = "en",
) -> int:
    """Show the call board of a log while it is written elsewhere; its exit code."""
    ascii_only = ascii_only or not _blocks_here()
    said = _ready(language, ascii_only)
    if said is None:
        return BAD
    from tui.following import run_board

    def opened() -> Following:
        from engine.console import open_following

        return open_following(log, said)

    return run_board(opened, log.stem, said, look, ascii_only, _reader(keys), sound_command)


def form(
    opened: Callable[[Words], Sheet], *, look: str, ascii_only: bool, language: str
) -> tuple[str, ...] | None:
    """Fill a form in; the files written, None where the terminal cannot draw it."""
    ascii_only = ascii_only or not _blocks_here()
    said = _ready(language, ascii_only)
    if said is None:
        return None
    from tui.forms.app import run_form

    return run_form(opened(said), said, look, ascii_only)


def _shown(
    opened: Callable[[Words], Session],
    named: Path | None,
    look: str,
    ascii_only: bool,
    keys: Path | None = None,
    sound_command: tuple[str, ...] = (),
    language: str = "en",
) -> int:
    """The frame at once, where the terminal can draw it; the session is opened behind it."""
    ascii_only = ascii_only or not _blocks_here()
    said = _ready(language, ascii_only)
    if said is None:
        return BAD
    from tui.app import run

    title = named.stem if named else "bagcall"
    read_keys = _reader(keys)
    return run(lambda: opened(said), title, said, look, ascii_only, read_keys, sound_command)


def _reader(keys: Path | None) -> Callable[[], Keymap]:
    """Reads the key file, once the frame is painted."""

    def read() -> Keymap:
        from tui.keyfile import keys_in_force

        return keys_in_force(keys)

    return read


def _ready(language: str, ascii_only: bool) -> Words | None:
    """The words, not yet read, where the terminal can draw a full screen; None, and why not on stderr, where it cannot."""
    if unfit := unfit_terminal(sys.stdin.isatty() and sys.stdout.isatty(), os.environ.get("TERM", "")):
        print(unfit, file=sys.stderr)
        return None
    os.environ["ESCDELAY"] = "300"  # a broken arrow key on a slow link must not come in as three keys
    from engine.words import Words

    return Words(functools.partial(_texts, language, ascii_only))


def _texts(language: str, ascii_only: bool) -> Mapping[str, str]:
    """Read behind the first paint: it shows no words yet."""
    from engine.job.files import read_words
    from engine.words import without_accents

    texts = read_words(language)
    return without_accents(texts) if ascii_only else texts


def unfit_terminal(interactive: bool, term: str) -> str:
    """Why a full screen cannot be drawn here; empty where it can."""
    if not interactive:
        return f"a full screen needs a terminal; {WITHOUT}"
    if term in PLAIN_TERMINALS:
        return f"this terminal (TERM={term or 'not set'}) cannot draw a full screen; {WITHOUT}"
    return ""


def _blocks_here() -> bool:
    """Whether block signs may be sent to this terminal."""
    if sys.platform == "win32":
        return _is_unicode(sys.stdout.encoding)
    return carries_blocks(os.environ, sys.stdout.encoding, assumed=bool(sys.flags.utf8_mode))


def carries_blocks(environment: Mapping[str, str], encoding: str, *, assumed: bool) -> bool:
    """Whether locale and output encoding have block signs.

    `assumed`: Python found the plain C locale and took UTF-8 instead (PEP 538, PEP 540); the `LC_CTYPE` it then sets
    says nothing of the terminal.
    """
    told = [environment.get(name, "") for name in ("LC_ALL", "LC_CTYPE", "LANG")]
    if assumed and told[1] in TAKEN:
        told[1] = ""
    spoken = next(filter(None, told), "")
    return _is_unicode(spoken.partition("@")[0].rpartition(".")[2]) and _is_unicode(encoding)


def _is_unicode(encoding: str) -> bool:
    return encoding.casefold().replace("-", "").replace("_", "") in ("utf8", "cp65001")
