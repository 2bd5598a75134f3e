"""Choices side by side as text."""

from __future__ import annotations

from collections.abc import Iterator

from tui.speech import Speech, Table, points, speech

HEAD = f"{'change':<34}{'last stroke':>12}{'minutes':>9}{'least slack':>13}{'days missed':>13}  promises"


def choices_text(found: Table) -> str:
    """What `choices` prints without `--json`."""
    return "\n".join(_lines(found, speech(found)))


def days_text(found: Table) -> str:
    """What `rehearse --days` prints without `--json`."""
    missing = ", ".join(f"{kind} on {days}" for kind, days in found["days_missing"].items()) or "none"
    return (
        f"{found['job']}: {found['clean_share']:.0%} of {found['days']} made-up days without a missed window\n"
        f"days with a miss, by limit: {missing}; batches lost: {found['lost_batches']}\n"
        f"mean length {found['mean_length_s'] / 60:.0f} min, longest {found['longest_s'] / 60:.0f} min"
    )


def _lines(found: Table, spoken: Speech) -> Iterator[str]:
    yield found["job"]
    yield HEAD
    for row in found["choices"]:
        yield _row(row, spoken)
    yield ""
    best = found["helps_most"]
    yield f"helps most: {best['text']}" if best else "no single change helps"
    yield from points(found["packets"])
    yield "Days are made up: work 25 % off either way, setting 20 %. Slack is the least time left to any window."


def _row(row: Table, spoken: Speech) -> str:
    missed = "-" if row["missed_share"] is None else f"{row['missed_share']:.0%} of {row['days']}"
    broken = [target for target in row["targets"] if not target["met"]]
    kept = "" if not row["targets"] else "NOT KEPT" if broken else "kept"
    cannot = "  a window is missed as planned" if not row["feasible"] else ""
    return (
        f"{row['text']:<34}{spoken.clock(row['end']):>12}{row['length_s'] / 60:>9.0f}"
        f"{_slack(row['slack_s']):>13}{missed:>13}  {kept}{cannot}"
    )


def _slack(seconds: float) -> str:
    return f"{seconds / 60:.1f} min"
