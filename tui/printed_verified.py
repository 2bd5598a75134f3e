"""A log put to the test, as text: whole or not, which lines break it, what that means, what is odd."""

from __future__ import annotations

from collections.abc import Iterator

from tui.speech import Table, points


def verified_text(found: Table) -> str:
    """What `check LOG` prints without `--json`."""
    return "\n".join(_lines(found))


def _lines(found: Table) -> Iterator[str]:
    rehearsed = "REHEARSAL, a made-up day: " if found["rehearsal"] else ""
    of = f", {found['job']}, {found['date']}" if found["job"] else ""
    answer = "whole" if found["whole"] else "NOT WHOLE"
    yield f"{rehearsed}{found['log']}: {answer}, {_count(found['lines'], 'line')}{of}"
    yield from points(_origin(one) for one in found["joined"])
    yield from points(f"line {one['line']}: {one['what']}" for one in found["breaks"])
    if found["means"]:
        yield ""
        yield from points([found["means"]])
    if found["remarks"]:
        yield ""
        yield "odd, but no fault of the log:"
        yield from points(f"line {one['line']}: {one['what']}" for one in found["remarks"])
    if found["set_aside"]:
        yield ""
        yield from points(f"a torn end was set aside earlier: {path}" for path in found["set_aside"])
    yield ""
    yield from points(found["cautions"])


def _origin(one: Table) -> str:
    """Which lines came from a log that was joined."""
    spans = (f"{run['line']} to {run['line'] + run['lines'] - 1}" for run in one["runs"])
    return f"joined at line {one['line']}: lines {', '.join(spans)} are those of {one['log']}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
