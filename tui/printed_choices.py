"""Choices side by side as text."""

from __future__ import annotations

from collections.abc import Iterator

from tui.speech import Speech, Table, points, speech

HEAD = (
    f"{'change':<30}{'last stroke':>12}{'min':>5}{'least slack':>12}{'days missed':>13}{'cost':>9}  opening"
)
FOOT = (
    "Days are made up: work 25 % off either way, setting 20 %. Slack is the least time left to any window on the middle one "
    "of them, or of the plan where none is rehearsed. Cost is what is bought. *: no plan found holds every window."
)


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
    yield _help(found["helps_most"])
    yield from points(found["packets"])
    for row in found["choices"]:
        if row["kind"] in ("as_planned", "packets"):
            yield from _more(row, spoken)
    yield from points([FOOT])


def _row(row: Table, spoken: Speech) -> str:
    missed = "-" if row["missed_share"] is None else f"{row['missed_share']:.0%} of {row['days']}"
    cost = "-" if row["cost"] is None else f"{row['cost']:.2f}"
    slack_s = row["slack_s"] if row["usual_slack_s"] is None else row["usual_slack_s"]
    slack = f"{round(slack_s / 60, 1) + 0.0:.1f} min"
    star = " " if row["windows_held"] else "*"
    return (
        f"{row['text']:<30}{spoken.clock(row['end']):>12}{row['length_s'] / 60:>5.0f}"
        f"{slack:>12}{missed:>13}{cost:>9}{star} {_opens(row['targets'])}"
    ).rstrip()


def _opens(targets: list[Table]) -> str:
    """The promise with the least room, or one that is not kept."""
    unknown = [target for target in targets if target["margin_s"] is None]
    if not targets or unknown:
        return "NOT KEPT" if unknown else ""
    least_s = min(target["margin_s"] for target in targets)
    hours, minutes = divmod(int(abs(least_s) // 60), 60)
    room = f"{hours} h {minutes} min" if hours else f"{minutes} min"
    return f"{room} {'early' if least_s >= 0 else 'LATE'}"


def _help(best: Table | None) -> str:
    if best is None:
        return "no single change helps"
    longer = f"{abs(best['longer_s']) / 60:.0f} min {'longer' if best['longer_s'] > 0 else 'shorter'}"
    if best["missed_share"] is None:
        return f"helps most: {best['text']}: {longer}"
    before, after = (f"{best[key]:.0%}" for key in ("missed_share_before", "missed_share"))
    return f"helps most: {best['text']}: days missed {before} before, {after} with it; {longer}"


def _more(row: Table, spoken: Speech) -> Iterator[str]:
    """What is missed on most days; when packets begin to hurt: the hour after which a promised pour opens too late."""
    if row["most_missed"]:
        yield f"{row['text']}: {row['most_missed']['text']}"
    waters = ", ".join(
        f"{one['pour']} {'before the start' if one['latest_water'] < row['start'] else spoken.clock(one['latest_water'])}"
        for one in row["last_waters"]
    )
    if waters:
        yield f"{row['text']}: last water for the promised opening: {waters}"
