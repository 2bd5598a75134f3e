"""What stood around the pours: weather, rate factor, openings, checks, deviations, changes, bags, notes."""

from __future__ import annotations

from collections.abc import Iterator

from engine.pour.told_measured import slope_text
from engine.record.report.curves import factor_line, weather_line
from engine.record.report.document import Block, Line, Points, Section
from engine.record.report.shown import NOTHING, Shown, Table, number
from engine.record.report.work import filled, grid, together
from engine.units import show_mass, show_speed

UNFINISHED = ("placing", "finishing")


def weather(table: Table, spoken: Shown) -> Section:
    """The line of the day and what was read."""
    names = ("time", "pour", "air", "slab", "humidity", "wind", "sky", "materials")
    rows = [_reading(read, spoken) for read in table["readings"]]
    return Section(
        spoken.word("title.weather"),
        (
            *weather_line(table, spoken),
            Line(spoken.word("text.weather")),
            *filled(spoken, spoken.word("caption.readings"), names, rows),
        ),
    )


def _reading(read: Table, spoken: Shown) -> tuple[str, ...]:
    sky = spoken.word("sun" if read["sun"] else "shade") if "sun" in read else NOTHING
    wind = show_speed(read["wind_m_s"], spoken.system) if "wind_m_s" in read else NOTHING
    damp = f"{read['humidity']:.0%}" if "humidity" in read else NOTHING
    materials = [
        f"{spoken.word(key)} {spoken.degrees(read[f'{key}_c'])}"
        for key in ("bags", "water", "mix", "surface")
        if f"{key}_c" in read
    ]
    if "ice_kg" in read:
        materials.append(f"{spoken.word('ice')} {show_mass(read['ice_kg'], spoken.system)}")
    return (
        spoken.clock(read["at"]),
        read["pour"] or spoken.word("site"),
        spoken.degrees(read.get("air_c")),
        spoken.degrees(read.get("slab_c")),
        damp,
        wind,
        sky,
        ", ".join(materials) or NOTHING,
    )


def factor(table: Table, spoken: Shown) -> Section:
    """Today's rate factor and the signs that taught it."""
    now = table["rate_factor"]
    told = spoken.words(
        "report.text.factor",
        value=f"{now['value']:.2f}",
        low=f"{now['low']:.2f}",
        high=f"{now['high']:.2f}",
        n=now["observations"],
    )
    rows = [
        (
            spoken.stamp(one["at"]),
            one["subject"],
            spoken.says("sign", one["word"]),
            spoken.says("step", one["pass"]),
            f"{one['value']:.2f}",
        )
        for one in table["rate_factor_through"]
        if one["word"]
    ]
    signs = grid(spoken, spoken.word("caption.signs"), ("time", "batch", "sign", "of", "factor"), rows)
    return Section(spoken.word("title.factor"), (Line(told), *factor_line(table, spoken), *signs))


def opening(table: Table, spoken: Shown) -> Section:
    """Reckoned, done and promised."""
    names = ["pour", "where", "feet", "wheels", "initial_set", "final_set", "opened"]
    rows = [_opening(pour, spoken) for pour in table["pours"] if pour["after"]]
    promised = [
        (
            ", ".join(one["pours"]),
            spoken.says("promise", one["open_to"]),
            spoken.clock(one["by"]),
            spoken.clock(one["expected"]),
            spoken.word("kept" if one["met"] else "not_kept"),
        )
        for one in table["targets"]
    ]
    return Section(
        spoken.word("title.opening"),
        (
            *grid(spoken, "", tuple(names), rows),
            *grid(
                spoken,
                spoken.word("caption.promised"),
                ("pours", "open_to", "by", "expected", "state"),
                promised,
            ),
            Line(spoken.words("caution.opening")),
        ),
    )


def _opening(pour: Table, spoken: Shown) -> tuple[str, ...]:
    opened = [
        " ".join(
            [
                spoken.says("promise", one["to"]),
                spoken.clock(one["at"]),
                *([one["who"]] if one.get("who") else []),
            ]
        )
        for one in pour["opened"]
    ]
    times = (spoken.clock(pour[key]) for key in ("feet", "wheels", "initial_set", "final_set"))
    none = spoken.word("not_finished" if pour["state"] in UNFINISHED else "not_opened")
    return pour["id"], pour["where"] or NOTHING, *times, ", ".join(opened) or none


def checks(table: Table, spoken: Shown) -> Section:
    """Holes before their first bag, then the finished surface before and after."""
    begun = [pour for pour in table["pours"] if pour["after"]]
    looked = any(pour["ready"]["ticked"] or pour["ready"]["soaked_min"] is not None for pour in begun)
    ready = [_ready(pour, spoken) for pour in begun] if looked else []
    told = [Line(spoken.word("text.no_ticks"))] if begun and not looked else []
    read = [
        (pour["id"], *_check(one, spoken)) for pour in table["pours"] for one in pour["checks"]["readings"]
    ]
    missing = together(
        (pour["id"], spoken.words("report.text.not_checked", missing=", ".join(pour["checks"]["missing"])))
        for pour in begun
        if pour["checks"]["missing"]
    )
    notes = [note for pour in table["pours"] for note in pour["checks"]["notes"]]
    return Section(
        spoken.word("title.checks"),
        (
            *told,
            *grid(
                spoken,
                spoken.word("caption.ready"),
                ("pour", "ticked", "not_ticked", "soaking", "stood"),
                ready,
            ),
            *grid(
                spoken,
                spoken.word("caption.surface"),
                ("pour", "check", "spot", "before", "after", "limit", "state"),
                read,
            ),
            *(Points((*missing, *notes)) for _ in [0] if missing or notes),
        ),
    )


def _ready(pour: Table, spoken: Shown) -> tuple[str, ...]:
    ready = pour["ready"]
    soaked = "" if ready["soaked_min"] is None else f", {ready['soaked_min']:.0f} min"
    return (
        pour["id"],
        spoken.says("tick", ", ".join(ready["ticked"])),
        spoken.says("tick", ", ".join(ready["missing"])),
        f"{spoken.says('soak', ready['soak'])}{soaked}" if soaked else spoken.word("no_stamp"),
        spoken.word("clean_again" if ready["clean_again"] else "in_time")
        if "clean" in ready["ticked"]
        else NOTHING,
    )


def _check(one: Table, spoken: Shown) -> tuple[str, ...]:
    def amount(key: str) -> str:
        if one[key] is None:
            return NOTHING
        return slope_text(one[key]) if one["is_slope"] else spoken.length(one[key])

    aim = f", {spoken.word('past_aim')}" if one["past_aim"] else ""
    values = (amount(key) for key in ("before", "value", "limit"))
    word = spoken.says("limit", one["word"])
    return spoken.says("check", one["check"]), one["spot"] or NOTHING, *values, f"{word}{aim}"


def deviations(table: Table, spoken: Shown) -> Section:
    rows = [(spoken.stamp(one["at"]), one["pour"] or NOTHING, one["text"]) for one in table["deviations"]]
    told = [] if rows else [Line(spoken.word("text.no_deviation"))]
    causes = [Line(one["text"]) for one in table.get("causes", ())]
    listed = grid(spoken, "", ("time", "pour", "what"), rows)
    return Section(spoken.word("title.deviations"), (*told, *listed, *causes))


def changes(table: Table, spoken: Shown) -> Section:
    """Change orders; prices where the table has them."""
    priced = table["version"] == "full"
    names = ["time", "pour", "reason", "depths_before", "depths_after", "bags", "agreed_by"]
    rows = [_change(one, table, spoken) for one in table["changes"]]
    blocks: list[Block] = [*grid(spoken, "", tuple([*names, "price"] if priced else names), rows)]
    return Section(spoken.word("title.changes"), tuple(blocks or [Line(spoken.word("text.no_change"))]))


def _change(one: Table, table: Table, spoken: Shown) -> tuple[str, ...]:
    depths = (
        ", ".join(spoken.length(depth) for depth in one[key]) for key in ("depths_before_m", "depths_m")
    )
    bags = ", ".join(
        spoken.words("report.bags_change", mix=bag["mix"], before=bag["before"], after=bag["after"])
        for bag in one["bags"]
    )
    agreed = one["agreed_by"] or spoken.word("not_agreed")
    price = [f"{one['price']:g} {table['currency']}".strip()] if "price" in one else []
    return (spoken.clock(one["at"]), one["pour"], one["reason"], *depths, bags or NOTHING, agreed, *price)


def bags_used(table: Table, spoken: Shown) -> Section:
    """The take-off against what went out of the stack."""
    causes = "beyond" in (table["used"] or [{}])[0]
    names = ["mix", "taken_off", "planned_so_far", "used", *(["beyond"] if causes else [])]
    rows = [_used(one, table, spoken) for one in table["used"]]
    weighed = [
        (
            one["mix"],
            show_mass(one["mass_kg"], spoken.system),
            f"{one['off']:+.1%}",
            spoken.says("limit", one["word"]),
        )
        for one in table.get("stock", {}).get("weighed", [])
    ]
    return Section(
        spoken.word("title.used"),
        (
            *grid(spoken, "", tuple(names), rows),
            *grid(spoken, spoken.word("caption.weighed"), ("mix", "mass", "off", "state"), weighed),
        ),
    )


def _used(one: Table, table: Table, spoken: Shown) -> tuple[str, ...]:
    taken = sum(pour["bags_taken_off"] for pour in table["pours"] if pour["mix"] == one["mix"])
    cells = [one["mix"], f"{taken}", number(one["planned_so_far"]), number(one["used"])]
    if "beyond" in one:
        causes = [
            f"{spoken.says('beyond', cause)} {bags:+g}" for cause, bags in one["beyond"].items() if bags
        ]
        cells.append(", ".join(causes) or NOTHING)
    return tuple(cells)


def notes(table: Table, spoken: Shown) -> Iterator[Section]:
    """Only where somebody wrote one."""
    rows = [
        (spoken.clock(one["at"]), one["where"] or spoken.word("site"), one["text"]) for one in table["notes"]
    ]
    if rows:
        yield Section(spoken.word("title.notes"), tuple(grid(spoken, "", ("time", "pour", "note"), rows)))
