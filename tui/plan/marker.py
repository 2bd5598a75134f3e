"""Where the hands are on the plan screen: its page, the pour under the marker, its neighbours in the queue."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.scene import Scene

if TYPE_CHECKING:
    from engine.pour.plan_view import PlanRow

PAGES = ("queue", "takeoff", "cautions", "choices")
OVER = ("finishing", "curing", "open")


def page_of(scene: Scene) -> str:
    """The page turned to; empty while the plan screen is closed."""
    return PAGES[scene.desk.plan.page % len(PAGES)] if scene.desk.plan else ""


def rows(scene: Scene) -> tuple[PlanRow, ...]:
    """The pours in their order; none before there is a plan."""
    return scene.plan.rows if scene.plan else ()


def marked(scene: Scene) -> PlanRow | None:
    """The pour picked, else the first one not begun, else the first."""
    found = rows(scene)
    wanted = scene.desk.plan.picked if scene.desk.plan else ""
    chosen = next((one for one in found if one.id == wanted), None)
    return chosen or next((one for one in found if one.state == "queued"), next(iter(found), None))


def place_of(scene: Scene) -> int:
    """The marker's place in the queue."""
    one = marked(scene)
    return rows(scene).index(one) if one else 0


def earlier_than(scene: Scene) -> PlanRow | None:
    """The pour before which the marked one would come, one step earlier; pours that share a bag are one step."""
    found, place = rows(scene), place_of(scene)
    before = [one for one in found[:place] if one.state not in OVER and not one.shares]
    return before[-1] if before else None


def later_than(scene: Scene) -> tuple[PlanRow | None, bool]:
    """The pour before which it would come one step later (None: last), and whether there is such a step."""
    behind = [one for one in rows(scene)[place_of(scene) + 1 :] if one.state not in OVER and not one.shares]
    return (behind[1] if len(behind) > 1 else None, bool(behind))
