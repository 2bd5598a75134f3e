"""The door the screen knocks on; `engine.console` opens it, tests stand a made-up day behind it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from engine.clock import Stamp
from engine.pour.after_view import AfterView
from engine.pour.asked import Done, Refused, Told
from engine.pour.intents import Intent
from engine.pour.plan_view import PlanView
from engine.pour.views import LiveView, PlanWanted
from engine.words import Say, Words

if TYPE_CHECKING:
    from engine.pour.around.ways_out import WaysOut


class Session(Protocol):
    """One job being worked. Times are log time, seconds since 1970 UTC."""

    @property
    def read_only(self) -> bool: ...
    @property
    def log_path(self) -> str: ...
    @property
    def pours(self) -> tuple[str, ...]:
        """Every pour of the queue, in its order."""
        ...

    @property
    def kept_seq(self) -> int:
        """The highest line flushed to disk."""
        ...

    @property
    def trouble(self) -> Say | None:
        """What is wrong with the disk, while it is."""
        ...

    @property
    def pace(self) -> float:
        """How many times faster than the hands its clock runs; 1 on a working day."""
        ...

    def now(self) -> float:
        """Log time."""
        ...

    def view(self, at: float | None = None) -> LiveView:
        """What the live screen draws, on the plan of now; after a line that plan is made first."""
        ...

    def glance(self) -> LiveView:
        """As the view, but at once: on the plan at hand, which may be of the line before."""
        ...

    def plan_wanted(self) -> PlanWanted:
        """Whether the plan at hand is an old one, and whether a new one takes longer than a key may wait."""
        ...

    def replan(self) -> None:
        """Make the plan that glances stand on; may run on another thread."""
        ...

    def plan_page(self) -> PlanView:
        """What the plan screen draws beside the view, on the plan at hand."""
        ...

    def after_page(self) -> AfterView:
        """What the after screen draws beside the view."""
        ...

    def choices_asked(self, said: Words) -> str:
        """What `tui.plan.weigh` needs to lay choices of this day side by side, in the words of a language."""
        ...

    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Done | Refused:
        """Ask for something, as of the moment of its key press."""
        ...

    def pressed(self, event_time: float) -> Stamp:
        """The moment of a key press; `event_time` is the monotonic time of its delivery."""
        ...

    def ways_out(self) -> WaysOut:
        """Up to three ways out of the trouble the day is in; takes up to a tenth of a second."""
        ...

    def reading(self, line: str, pour: str = "") -> Intent | Refused | Told:
        """A line such as `air 53 sun wind 6` in the job's units, as an intent; or the answer to a question."""
        ...

    def on_kept(self, callback: Callable[[int], None]) -> None:
        """Be told, on the writer's thread, of each line that reached the disk."""
        ...

    def answer_banners(self) -> None:
        """The foreman has seen the warnings of the view."""
        ...

    def close(self) -> tuple[int, ...]:
        """Flush and release the log; the numbers of lines that could not be kept."""
        ...
