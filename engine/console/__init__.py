"""The one door for screens and commands: open a job or a log, submit an intent, ask for a view or a status.

May import everything in the engine; nothing in the engine imports it. What stands behind a door is loaded when the door
is first used, so that a screen opens without the report and the rehearsal.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from engine.console.ahead import check, choices, rehearse
    from engine.console.answered import answers_from, fill
    from engine.console.compared import compare
    from engine.console.following import Following, open_following
    from engine.console.ground import words
    from engine.console.joined import join
    from engine.console.kept import enter, replay_list, replay_text, returns, status
    from engine.console.keys import own_keys_file, read_keys
    from engine.console.labelled import new_card
    from engine.console.learned import learn
    from engine.console.papered import paper, write_paper
    from engine.console.replayed import Replay, open_replay
    from engine.console.reported import report, write_report
    from engine.console.session import Session, open_rehearsal, open_session
    from engine.console.side_by_side import choices_answered
    from engine.console.verified import is_log, verify
    from engine.console.written import new_job

_BEHIND = {
    "ahead": (
        "check",
        "choices",
        "rehearse",
    ),
    "answered": (
        "answers_from",
        "fill",
    ),
    "compared": ("compare",),
    "following": (
        "Following",
        "open_following",
    ),
    "ground": ("words",),
    "joined": ("join",),
    "kept": (
        "enter",
        "replay_list",
        "replay_text",
        "returns",
        "status",
    ),
    "keys": (
        "own_keys_file",
        "read_keys",
    ),
    "labelled": ("new_card",),
    "learned": ("learn",),
    "papered": (
        "paper",
        "write_paper",
    ),
    "replayed": (
        "Replay",
        "open_replay",
    ),
    "reported": (
        "report",
        "write_report",
    ),
    "session": (
        "Session",
        "open_rehearsal",
        "open_session",
    ),
    "side_by_side": ("choices_answered",),
    "verified": (
        "is_log",
        "verify",
    ),
    "written": ("new_job",),
}
_MODULE = {name: module for module, names in _BEHIND.items() for name in names}


def __getattr__(name: str) -> object:
    if name not in _MODULE:
        raise AttributeError(f"{__name__} has no door {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULE[name]}"), name)


__all__ = [
    "Following",
    "Replay",
    "Session",
    "answers_from",
    "check",
    "choices",
    "choices_answered",
    "compare",
    "enter",
    "fill",
    "is_log",
    "join",
    "learn",
    "new_card",
    "new_job",
    "open_following",
    "open_rehearsal",
    "open_replay",
    "open_session",
    "own_keys_file",
    "paper",
    "read_keys",
    "rehearse",
    "replay_list",
    "replay_text",
    "report",
    "returns",
    "status",
    "verify",
    "words",
    "write_paper",
    "write_report",
]
