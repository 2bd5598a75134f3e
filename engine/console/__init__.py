"""The one door for screens and commands: open a job or a log, submit an intent, ask for a view or a status.

May import everything in the engine; nothing in the engine imports it.
"""

from engine.console.ahead import check, choices, rehearse
from engine.console.compared import compare
from engine.console.ground import words
from engine.console.joined import join
from engine.console.kept import enter, replay_list, replay_text, returns, status
from engine.console.keys import own_keys_file, read_keys
from engine.console.learned import learn
from engine.console.papered import paper, write_paper
from engine.console.replayed import Replay, open_replay
from engine.console.reported import report, write_report
from engine.console.session import Session, open_rehearsal, open_session
from engine.console.verified import is_log, verify

__all__ = [
    "Replay",
    "Session",
    "check",
    "choices",
    "compare",
    "enter",
    "is_log",
    "join",
    "learn",
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
