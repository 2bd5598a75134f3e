"""The finished surface as read before and after, against the rules: what is within, what is over, what nobody looked at.

A verdict compares with a published limit and never allows anything: the local code decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from engine.job.handover import (
    CheckName,
    Direction,
    Lip,
    Spot,
    checks_for,
    existing_site_note,
    lip_verdict,
    ramp_size_verdicts,
    slope_table,
    straightedge_verdict,
)
from engine.job.limits import LIMITS, Verdict
from engine.job.model import Pour, Practice
from engine.job.slopes import Slope
from engine.job.steps import (
    flight_verdict,
    neighbour_verdict,
    nosing_verdicts,
    riser_verdicts,
    tread_verdicts,
)
from engine.pour import measured as m
from engine.pour.reckoning import Moment
from engine.words import Say, Words

Read = TypeVar("Read", m.LipRead, m.GapRead, m.SlopeRead)
Name = CheckName | Literal["nosing", "size of the run"]


@dataclass(frozen=True)
class CheckLine:
    """One reading: its verdict, or the word that was recorded. `before` is the same spot before the work."""

    name: Name
    spot: str
    word: str
    verdict: Verdict | None = None
    before: float | None = None
    past_aim: bool = False


@dataclass(frozen=True)
class HandOver:
    """A pour's checks. `missing` are those nobody has made after the work; `notes` are for the building authority."""

    lines: tuple[CheckLine, ...]
    missing: tuple[CheckName, ...]
    notes: tuple[Say, ...]

    @property
    def outside(self) -> tuple[CheckLine, ...]:
        """Readings that are not within their limit, slick or hollow ones, and those that cannot tell."""
        return tuple(line for line in self.lines if line.word not in ("within", "clear", "grips"))


def hand_over(moment: Moment, pour: Pour) -> HandOver:
    """The checks of a pour so far; the latest reading of a spot counts."""
    lines = tuple(_lines(moment, pour))
    made = {line.name for line in lines if line.word not in ("not sounded", "not felt")}
    return HandOver(
        lines=lines,
        missing=tuple(name for name in checks_for(pour) if name not in made),
        notes=tuple(_notes(moment, pour)),
    )


def _lines(moment: Moment, pour: Pour) -> Iterator[CheckLine]:
    practice = moment.job.practice
    yield from _slopes(moment, pour)
    for lip in _latest(moment, m.LipRead, pour):
        verdict = lip_verdict(Lip(lip.height_m, lip.upright_m, lip.bevel_run_m), practice)
        yield _measured("lip", lip.spot, verdict)
    for gap in _latest(moment, m.GapRead, pour):
        yield _measured("straightedge", gap.spot, straightedge_verdict(gap.gap_m, practice))
    yield from _steps(moment, pour, practice)
    yield from _judged(moment, pour)


def _latest(moment: Moment, kind: type[Read], pour: Pour, when: m.When = "after") -> tuple[Read, ...]:
    """The last reading of every spot, in the order in which the spots were first read."""
    found: dict[str, Read] = {}
    for body, _ in moment.day.recorded(kind, pour.id):
        if body.when == when:
            found[body.spot] = body
    return tuple(found.values())


def _slopes(moment: Moment, pour: Pour) -> Iterator[CheckLine]:
    before, after = (_latest(moment, m.SlopeRead, pour, when) for when in ("before", "after"))
    directions: tuple[tuple[Direction, CheckName], ...] = (
        ("running", "running slope"),
        ("cross", "cross slope"),
    )
    for direction, name in directions:
        rows = slope_table(
            _spots(before, direction), _spots(after, direction), pour.use, direction, moment.job.practice
        )
        for row in rows:
            yield CheckLine(name, row.spot, row.after.word, row.after, row.before, row.past_aim)


def _spots(read: tuple[m.SlopeRead, ...], direction: Direction) -> list[Spot]:
    """The spots at which a direction was read."""
    picked = [
        (one.spot, one.running, one.running_off)
        if direction == "running"
        else (one.spot, one.cross, one.cross_off)
        for one in read
    ]
    return [Spot(spot, Slope(ratio, off)) for spot, ratio, off in picked if ratio is not None]


def _measured(name: Name, spot: str, verdict: Verdict) -> CheckLine:
    return CheckLine(name, spot, verdict.word, verdict)


def _steps(moment: Moment, pour: Pour, practice: Practice) -> Iterator[CheckLine]:
    """Each riser or tread, then how alike they are."""
    latest = {body.of: body for body, _ in moment.day.recorded(m.StepsRead, pour.id) if body.when == "after"}
    for of, each in (("risers", riser_verdicts), ("treads", tread_verdicts)):
        read = latest.get(of)  # type: ignore[call-overload]
        if read is None:
            continue
        off_m = practice["surface.rule_accuracy"]
        for number, verdict in enumerate(each(read.sizes_m, practice, off_m), start=1):
            yield _measured(read.of, f"{number}", verdict)
        yield _measured(read.of, "neighbours", neighbour_verdict(read.sizes_m, practice, off_m))
        yield _measured(read.of, "flight", flight_verdict(read.sizes_m, practice, off_m))


def _judged(moment: Moment, pour: Pour) -> Iterator[CheckLine]:
    practice = moment.job.practice
    for nosing, _ in moment.day.recorded(m.NosingRead, pour.id)[-1:]:
        for spot, verdict in zip(
            ("radius", "projection"),
            nosing_verdicts(nosing.radius_m, nosing.projection_m, practice),
            strict=True,
        ):
            yield _measured("nosing", spot, verdict)
    for ramp, _ in moment.day.recorded(m.RampMeasured, pour.id)[-1:]:
        verdicts = ramp_size_verdicts(ramp.rise_m, ramp.clear_width_m, ramp.landing_m, practice)
        for spot, verdict in zip(("rise", "handrails", "clear width", "landing"), verdicts, strict=True):
            yield _measured("size of the run", spot, verdict)
    for heard, _ in moment.day.recorded(m.Sounded, pour.id)[-1:]:
        yield CheckLine("sounding", "", heard.heard)
    for felt, _ in moment.day.recorded(m.WetFelt, pour.id)[-1:]:
        yield CheckLine("wet feel", "", felt.felt)


def _notes(moment: Moment, pour: Pour) -> Iterator[Say]:
    """What the standard says of a ramp that is too steep on a site without room."""
    if pour.use != "ramp":
        return
    over = [
        line.verdict for line in _slopes(moment, pour) if line.name == "running slope" and line.word == "over"
    ]
    steepest = max((abs(verdict.value) for verdict in over if verdict), default=0.0)
    rises = [body.rise_m for body, _ in moment.day.recorded(m.RampMeasured, pour.id)]
    note = existing_site_note(steepest, rises[-1] if rises else 0.0, moment.job.practice)
    if note is not None:
        yield note


def hand_over_table(checks: HandOver, words: Words) -> dict[str, Any]:
    """As plain JSON values; lengths in metres, slopes as ratios."""
    return {
        "readings": [_line_table(line) for line in checks.lines],
        "missing": list(checks.missing),
        "notes": [words(note) for note in checks.notes],
    }


def _line_table(line: CheckLine) -> dict[str, Any]:
    verdict = line.verdict
    return {
        "check": line.name,
        "spot": line.spot,
        "word": line.word,
        "is_slope": verdict is not None and LIMITS[verdict.key] == "one in",
        "value": verdict.value if verdict else None,
        "limit": verdict.limit if verdict else None,
        "key": verdict.key if verdict else None,
        "before": line.before,
        "past_aim": line.past_aim,
    }
