"""What the screen stands on at one moment: the day's view, what the hands have on the go, and what is on disk."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING

from tui.desk import Desk

if TYPE_CHECKING:
    from engine.pour.after_view import AfterView
    from engine.pour.plan_view import PlanView
    from engine.pour.views import LiveView, QueueRow, Row
    from engine.words import Say
    from tui.plan.choices import Choices
    from tui.sound.ringing import Standing


@dataclass(frozen=True)
class Pick:
    """Something the marker can stand on: a running row, or a pour of the queue that has none."""

    key: str
    pour: str
    row: Row | None
    queue: QueueRow | None


@dataclass(frozen=True)
class Scene:
    """Painters and actions look at this and at nothing else."""

    view: LiveView
    now: float
    desk: Desk = field(default_factory=Desk)
    kept_seq: int = 0
    trouble: Say | None = None
    read_only: bool = False
    plan: PlanView | None = None  # while the plan screen is open
    choices: Choices | None = None  # as far as they are weighed
    after: AfterView | None = None  # while the after screen is open

    @cached_property
    def picks(self) -> tuple[Pick, ...]:
        """Running rows by urgency, then the pours of the queue that have no row."""
        by_id = {pour.id: pour for pour in self.view.queue}
        running = tuple(Pick(row.key, row.pour, row, by_id.get(row.pour)) for row in self.view.rows)
        busy = {row.pour for row in self.view.rows}
        waiting = tuple(Pick(pour.id, pour.id, None, pour) for pour in self.view.queue if pour.id not in busy)
        return running + waiting

    @cached_property
    def selected(self) -> Pick | None:
        """Where the marker stands: on what is asked about, on what was picked, else on the most urgent row."""
        wanted = self.desk.ask.key if self.desk.ask else self.desk.picked
        chosen = next((pick for pick in self.picks if pick.key == wanted), None) if wanted else None
        return chosen or self.followed

    @cached_property
    def followed(self) -> Pick | None:
        """Where the marker stands by itself: the most urgent row, else the pour that is called."""
        if self.view.rows:
            return self.picks[0]
        return next((pick for pick in self.picks if pick.pour == self.view.call.pour), None)

    @property
    def row(self) -> Row | None:
        """The running row under the marker."""
        return self.selected.row if self.selected else None

    @property
    def queue(self) -> QueueRow | None:
        """The pour under the marker, as the queue tells it."""
        return self.selected.queue if self.selected else None

    @property
    def called(self) -> Row | None:
        """A bag called and still dry."""
        return next((row for row in self.view.rows if row.step.kind == "water"), None)

    @property
    def banners(self) -> tuple[Say, ...]:
        """What stays until it is answered, the disk first."""
        told = (self.trouble,) if self.trouble else ()
        return tuple(say for say in (*told, *self.view.banners) if say not in self.desk.answered)

    @property
    def alarms(self) -> tuple[Standing, ...]:
        """What presses and is not answered, worst first."""
        return self.desk.ringing.shown

    @property
    def muted_s(self) -> float:
        """Seconds for which no sound is made; infinity until it is turned on, 0 with sound on."""
        return max(0.0, self.desk.muted_until - self.now)

    @property
    def banner_rows(self) -> int:
        """Rows that banners ask for, the mark of a day that is no working one among them."""
        return len(self.banners) + (self.view.mark is not None)

    @property
    def clock_runs(self) -> bool:
        """Whether any batch is under way."""
        return any(row.batches for row in self.view.rows)


def settled(scene: Scene) -> Scene:
    """The scene without what is over by now; a warning that went and comes again is a new one."""
    first = scene.followed.key if scene.followed else ""
    desk = scene.desk.settled(first, scene.now)
    standing = {scene.trouble, *scene.view.banners}
    return replace(scene, desk=replace(desk, answered=desk.answered & standing))
