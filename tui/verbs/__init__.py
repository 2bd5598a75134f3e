"""The verbs of the command line, in the order in which `--help` lists them; a module for each kind of work.

May import the console's door and the printers; no screen and no engine before it is needed.
"""

from tui.verbs.ahead import CHECK, CHOICES
from tui.verbs.board import BOARD
from tui.verbs.compare import COMPARE
from tui.verbs.drive import REHEARSE, RUN
from tui.verbs.join import JOIN
from tui.verbs.kept import ENTER, REPLAY, RETURNS, STATUS
from tui.verbs.keys import KEYS
from tui.verbs.learn import LEARN
from tui.verbs.new import CARD, NEW
from tui.verbs.paper import PAPER
from tui.verbs.report import REPORT
from tui.verbs.serve import SERVE
from tui.verbs.verb import BAD, NO

VERBS = (
    NEW,
    CARD,
    CHECK,
    CHOICES,
    REHEARSE,
    RUN,
    BOARD,
    SERVE,
    STATUS,
    REPLAY,
    RETURNS,
    REPORT,
    PAPER,
    COMPARE,
    LEARN,
    ENTER,
    JOIN,
    KEYS,
)

__all__ = ["BAD", "NO", "VERBS"]
