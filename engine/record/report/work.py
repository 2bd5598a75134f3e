"""What was poured: pours at a glance, every bag, the time lines, and the passes on both clocks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from engine.record.report.document import Block, Grid, Line, Section
from engine.record.report.shown import NOTHING, Shown, Table, number
from engine.record.report.timeline import day_line, pour_lines
from engine.units import show_area

AT_THE_TIP = {"tip": "tipped"}  # what a gap runs from, by the step that ends there


def grid(
    spoken: Shown, caption: str, names: tuple[str, ...], rows: Sequence[tuple[str, ...]]
) -> Iterator[Grid]:
    """A table under the report's words for its columns; none where there is no row."""
    if rows:
        yield Grid(tuple(spoken.word(f"head.{name}") for name in names), tuple(rows), caption)


def filled(
    spoken: Shown, caption: str, names: Sequence[str], rows: Sequence[tuple[str, ...]]
) -> Iterator[Grid]:
    """The same without the columns in which nothing stands."""
    kept = [n for n in range(len(names)) if any(row[n] != NOTHING for row in rows)]
    yield from grid(
        spoken, caption, tuple(names[n] for n in kept), [tuple(row[n] for n in kept) for row in rows]
    )


def together(told: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """What is the same of several pours said once: `P1, P2: ...`."""
    pours: dict[str, list[str]] = {}
    for pour, text in told:
        pours.setdefault(text, []).append(pour)
    return tuple(f"{', '.join(names)}: {text}" for text, names in pours.items())


def poured(table: Table, spoken: Shown) -> Section:
    """One row a pour."""
    names = ("pour", "where", "finish", "mix", "size", "bags", "lots", "water_first", "stroke_last", "state")
    rows = [_poured(pour, table, spoken) for pour in table["pours"]]
    return Section(spoken.word("title.poured"), tuple(grid(spoken, "", names, rows)))


def _poured(pour: Table, table: Table, spoken: Shown) -> tuple[str, ...]:
    batches = [one for one in table["batches"] if one["pour"] == pour["id"] and one["passes"]]
    lots = dict.fromkeys(one["lot"] for one in batches if one["lot"])
    waters = [one["water_contact"] for one in batches]
    ends = [one["finished"] for one in batches if one["finished"]]
    depth_m = sum(pour["depths_m"]) / len(pour["depths_m"])
    return (
        pour["id"],
        pour["where"] or NOTHING,
        spoken.says("finished", pour["finish"]),
        pour["mix"],
        f"{show_area(pour['area_m2'], spoken.system)}, {spoken.length(depth_m)}",
        spoken.words("report.of", n=number(sum(one["bags"] for one in batches)), all=pour["bags_taken_off"]),
        ", ".join(lots) or NOTHING,
        spoken.clock(min(waters, key=spoken.at, default=None)),
        spoken.clock(max(ends, key=spoken.at, default=None)),
        spoken.says("pour", pour["state"]),
    )


def bags(table: Table, spoken: Shown) -> Section:
    """One row a batch, those lost as well where the table has them."""
    names = ["batch", "mix", "bags", "packets", "lot", "water_used", "water_in", "mixed", "tipped"]
    names += ["stations"] if table["version"] == "full" else []
    rows = [_bag(one, table, spoken) for one in table["batches"] if one["water_contact"]]
    warm = ("batch", "air", "slab", "bags_c", "water_c", "mix_c")
    degrees = [_warm(one, spoken) for one in table["batches"] if one["water_contact"]]
    trials = [_trial(one, spoken) for one in table["trials"]]
    return Section(
        spoken.word("title.bags"),
        (
            *grid(spoken, "", tuple(names), rows),
            *grid(spoken, spoken.word("caption.warm"), warm, degrees),
            *grid(
                spoken,
                spoken.word("caption.trials"),
                ("trial", "mix", "packets", "water_in", "stiff"),
                trials,
            ),
        ),
    )


def _bag(one: Table, table: Table, spoken: Shown) -> tuple[str, ...]:
    low, high = (spoken.water(value) for value in one["water_label_l"])
    used = spoken.water(one["water_used_l"])
    told = (
        f"{used}, {one['water_used']}"
        if one["water_used"]
        else spoken.words("report.label", low=low, high=high)
    )
    cells = [
        one["id"] + (f" ({spoken.word('lost')})" if one["stage"] == "lost" else ""),
        one["mix"],
        number(one["bags"]),
        number(one["packets"]),
        one["lot"] or NOTHING,
        told,
        *(spoken.stamp(one[key]) for key in ("water_contact", "mixed", "tipped")),
    ]
    if table["version"] == "full":
        cells.append(", ".join(name for name in (one["station"], one["who"]) if name) or NOTHING)
    return tuple(cells)


def _warm(one: Table, spoken: Shown) -> tuple[str, ...]:
    return one["id"], *(spoken.degrees(one[key]) for key in ("air_c", "slab_c", "bags_c", "water_c", "mix_c"))


def _trial(one: Table, spoken: Shown) -> tuple[str, ...]:
    return (
        one["id"],
        one["mix"],
        number(one["packets"]),
        spoken.stamp(one["water_contact"]),
        spoken.stamp(one["stiff"]),
    )


def time_lines(table: Table, spoken: Shown) -> Section:
    """The day, then each pour with its windows."""
    whole = tuple(day_line(table, spoken))
    lost = any(one["stage"] == "lost" for one in table["batches"])
    names = ("day_line", *(["lost_line"] if lost else []), "pour_line")
    legend = [Line(" ".join(spoken.word(f"text.{name}") for name in names))]
    blocks: list[Block] = [*legend, *whole] if whole else []
    for pour in table["pours"]:
        blocks += pour_lines(pour, [one for one in table["batches"] if one["pour"] == pour["id"]], spoken)
    return Section(spoken.word("title.time_line"), tuple(blocks))


def both_clocks(table: Table, spoken: Shown) -> Section:
    """Every pass: where it stood in its window, on our clock and on that of the trade."""
    names = [
        "batch",
        "pass",
        "stamp",
        "may_start",
        "late",
        "word",
        "age",
        "age_due",
        "set_age",
        "gap",
        "since",
        "gap_due",
    ]
    names += ["who"] if table["version"] == "full" else []
    rows = [_pass(one["id"], done, table, spoken) for one in table["batches"] for done in one["passes"]]
    reference = ", ".join(dict.fromkeys(spoken.degrees(mix["reference_c"]) for mix in table["mixes"]))
    told = spoken.words("report.text.both_clocks", reference=reference)
    return Section(
        spoken.word("title.both_clocks"), (Line(told), *grid(spoken, "", tuple(names), rows)) if rows else ()
    )


def _pass(batch: str, done: Table, table: Table, spoken: Shown) -> tuple[str, ...]:
    window = done["window"] or {}
    age_min = done["set_age_min"]
    cells = [
        batch,
        spoken.word(f"pass.{done['pass']}"),
        spoken.stamp(done["done"]),
        spoken.stamp(window.get("open")),
        spoken.stamp(window.get("late")),
        _word(done, spoken),
        spoken.lasts(done["age_from_water_s"]),
        spoken.lasts(done["due_age_from_water_s"]),
        NOTHING if age_min is None else spoken.lasts(age_min * 60.0),
        spoken.lasts(done["gap_s"]),
        spoken.says("step", AT_THE_TIP.get(done["gap_from"], done["gap_from"])) if done["done"] else NOTHING,
        spoken.lasts(done["due_gap_s"]),
    ]
    return tuple([*cells, done["who"] or NOTHING] if table["version"] == "full" else cells)


def _word(done: Table, spoken: Shown) -> str:
    """Where the stamp lay, or what stands in place of one."""
    if done["skipped"]:
        return spoken.word("skipped")
    if done["done"] is None:
        return spoken.word("no_stamp")
    outside_s = done["outside_s"]
    if outside_s is None:
        return NOTHING
    if outside_s:
        key = "early_by" if outside_s < 0.0 else "late_by"
        return spoken.words(f"report.{key}", by=spoken.lasts(abs(outside_s)))
    return spoken.word(f"within.{done['state']}")
