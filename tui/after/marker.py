"""Where the hands are on the after screen: its page, the row under the marker, the pour that row speaks of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.scene import Scene

if TYPE_CHECKING:
    from engine.pour.after_view import CareRow, ChangeRow, CheckRow, VisitRow

    AnyRow = CareRow | CheckRow | ChangeRow | VisitRow

PAGES = ("cure", "checks", "changes", "visits")
Key = tuple[str, ...]


def page_of(scene: Scene) -> str:
    """The page turned to; empty while the after screen is closed."""
    return PAGES[scene.desk.after.page % len(PAGES)] if scene.desk.after else ""


def care_rows(scene: Scene) -> tuple[CareRow, ...]:
    return scene.after.care if scene.after else ()


def check_rows(scene: Scene) -> tuple[CheckRow, ...]:
    return scene.after.checks if scene.after else ()


def change_rows(scene: Scene) -> tuple[ChangeRow, ...]:
    return scene.after.changes if scene.after else ()


def visit_rows(scene: Scene) -> tuple[VisitRow, ...]:
    return scene.after.visits if scene.after else ()


def keys_of(scene: Scene) -> tuple[Key, ...]:
    """Each row of the page by what tells it from the others, the pour first where it has one."""
    page = page_of(scene)
    if page == "cure":
        return tuple((one.id,) for one in care_rows(scene))
    if page == "checks":
        return tuple((one.pour, one.name, one.spot) for one in check_rows(scene))
    if page == "changes":
        return tuple((one.pour, f"{one.at}") for one in change_rows(scene))
    return tuple((one.kind, *one.pours) for one in visit_rows(scene))


def place_of(scene: Scene) -> int:
    """The marker's place in the page's list: where the key picked holds furthest, else at the top."""
    keys = keys_of(scene)
    picked = scene.desk.after.picked if scene.desk.after else ()
    return max(range(len(keys)), key=lambda place: (_alike(keys[place], picked), -place), default=0)


def _alike(key: Key, picked: Key) -> int:
    """How many parts of two keys are the same, from the first on."""
    same = [one == other for one, other in zip(key, picked, strict=False)]
    return [*same, False].index(False)


def key_marked(scene: Scene) -> Key:
    """The key of the row under the marker; empty on an empty page."""
    keys = keys_of(scene)
    return keys[place_of(scene)] if keys else ()


def marked(scene: Scene) -> AnyRow | None:
    """The row under the marker."""
    rows: dict[str, tuple[AnyRow, ...]] = {
        "cure": care_rows(scene),
        "checks": check_rows(scene),
        "changes": change_rows(scene),
        "visits": visit_rows(scene),
    }
    found = rows.get(page_of(scene), ())
    return found[place_of(scene)] if found else None


def cared(scene: Scene) -> CareRow | None:
    """The pour of the marked row, if anything of it is in; none on the pages that are not about it."""
    if page_of(scene) not in ("cure", "checks"):
        return None
    pour = key_marked(scene)[:1]
    return next((one for one in care_rows(scene) if (one.id,) == pour), None)


def pour_marked(scene: Scene) -> str:
    """The pour that the marked row speaks of; empty where it speaks of several or none."""
    return "" if page_of(scene) == "visits" else "".join(key_marked(scene)[:1])
