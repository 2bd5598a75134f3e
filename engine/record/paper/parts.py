"""The parts of the sheet: title, queue, stamps, windows, blank lines, small print; sizes as `room` reckons them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.record.paper import room as r
from engine.record.paper.room import Part
from engine.record.report.markup import Markup, joined, line_of, tag
from engine.record.report.shown import NOTHING, Shown, Table, number
from engine.units import show_duration, show_mass

STROKES = ("water", "mixed", "tipped", "floated", "first trowel", "second trowel", "broomed", "edged")
READ = ("air", "slab", "bags", "water", "humidity", "wind", "sun")  # words of a notes line `reading`
READ_WIDTHS = (15.0, 12.0, 12.0, 12.0, 12.0, 15.5, 12.5, 9.0)
SIGNS = ("ready", "not yet", "stiff", "still moves")
SIGN_COLUMNS = ("time", "what", "which")
QUEUE = (
    ("pour", 7.0),
    ("where", 24.5),
    ("depth", 10.0),
    ("mix", 10.5),
    ("bags", 12.5),
    ("water", 14.5),
    ("packets", 7.5),
    ("finish", 6.0),
    ("clock", 7.5),
)
MOST_COLUMNS = 22  # numbers of windows side by side
LONG_CELL = 14  # letters
BLANK = Markup(" ")


def title(table: Table, spoken: Shown, side: int, of: int) -> Markup:
    """Over every side."""
    which = spoken.words("paper.side", n=side, of=of) if of > 1 else ""
    day = spoken.words("paper.under", date=table["date"], zone=table["time_zone"])
    return tag("div", tag("strong", line_of(table["job"])), tag("span", f"{day} {which}"), class_="title")


def _table(kind: str, head: Markup, rows: Sequence[Markup], above: Markup) -> Markup:
    return joined(above, tag("table", tag("thead", head), tag("tbody", *rows), class_=kind))


def _spaced(*parts: str) -> Markup:
    """Parts with a blank between them."""
    return Markup(BLANK.join(joined(part) for part in parts))


def _heading(text: str, told: str = "") -> Markup:
    return tag("h2", text, BLANK, tag("span", told)) if told else tag("h2", text)


def _head_row(names: Sequence[str], widths: Sequence[float] = ()) -> Markup:
    """Widths in per cent; none for columns of one width."""
    sized = [f"width: {width:g}%" for width in widths] if widths else [None for _ in names]
    return tag(
        "tr",
        *(tag("th", name, scope="col", style=wide) for name, wide in zip(names, sized, strict=True)),
    )


# the queue


def queue_part(table: Table, spoken: Shown) -> Part:
    """One row a pour, in order."""
    head = _head_row([spoken.words(f"paper.head.{name}") for name, _ in QUEUE], [width for _, width in QUEUE])
    rows = [
        (r.QUEUE_MM, tag("tr", *(tag("td", line_of(text)) for text in _queued(pour, spoken))))
        for pour in table["queue"]
    ]
    above = joined()
    return Part(r.QUEUE_HEAD_MM, rows, lambda own: _table("queue", head, own, above))


def _queued(pour: Table, spoken: Shown) -> tuple[str, ...]:
    lifts = spoken.words("paper.lifts", n=pour["lifts"]) if pour["lifts"] > 1 else ""
    return (
        pour["pour"],
        pour["where"] or NOTHING,
        f"{spoken.length(pour['depth_m'])} {lifts}".strip(),
        pour["mix"],
        _batches(pour, spoken),
        _water(pour, spoken),
        number(pour["packets_a_bag"]),
        spoken.says("finished", pour["finish"]),
        spoken.clock(pour["water_contact"]),
    )


def _batches(pour: Table, spoken: Shown) -> str:
    """`3 x 1`: batches and bags in each; where they differ each by itself."""
    if pour["shared_from"]:
        return spoken.words("paper.from", batch=pour["shared_from"])
    bags: list[float] = pour["bags_a_batch"]
    if len(set(bags)) == 1:
        return f"{len(bags)} × {number(bags[0])}"
    return " + ".join(number(n) for n in bags) or NOTHING


def _water(pour: Table, spoken: Shown) -> str:
    """`4.25 qt (3.75 qt to 4.75 qt)` without the unit said twice; ice is part of it."""
    water = pour["water_l_a_bag"]
    low, high = (spoken.water(water[f"{name}_l"]).split()[0] for name in ("low", "high"))
    ice = pour["ice_kg_a_bag"]
    of_it = f" {spoken.words('paper.ice', ice=show_mass(ice, spoken.system))}" if ice else ""
    return f"{spoken.water(water['target_l'])} ({low}–{high}){of_it}"


# the stamps


def stamp_part(table: Table, spoken: Shown, row_mm: float) -> Part:
    """One row a batch with a blank cell for each stamp; the words over them are those of a notes file."""
    used = {stamp["what"] for batch in table["batches"] for stamp in batch["stamps"]}
    strokes = [what for what in STROKES if what in used]
    head = _head_row(
        [spoken.words("paper.head.batch"), *strokes], [10.0, *(90.0 / max(len(strokes), 1) for _ in strokes)]
    )
    rows = [(row_mm, _batch_row(batch, strokes, spoken, row_mm)) for batch in table["batches"]]
    above = joined(
        _heading(spoken.words("paper.title.stamps"), spoken.words("paper.stamps")), _how(table, spoken)
    )
    return Part(r.STAMP_HEAD_MM, rows, lambda own: _table("stamps", head, own, above))


def _how(table: Table, spoken: Shown) -> Markup:
    """How the sheet is typed in: two lines, with a stamp of this very sheet."""
    found = (stamp for batch in table["batches"] for stamp in batch["stamps"] if stamp["what"] == "tipped")
    which = next((stamp["which"] for stamp in found), "P1.1")
    example = spoken.words("paper.how.example", which=which)
    head = spoken.words("paper.how.head")
    first = (
        spoken.words("paper.how.first"),
        tag("code", head),
        spoken.words("paper.how.line"),
        tag("code", example),
    )
    second = (spoken.words("paper.how.rest"), tag("code", spoken.words("paper.how.command")))
    return tag("p", _spaced(*first), tag("br"), _spaced(*second), class_="how")


def _batch_row(batch: Table, strokes: Sequence[str], spoken: Shown, row_mm: float) -> Markup:
    stamps = {stamp["what"]: stamp for stamp in batch["stamps"]}
    cells = (_cell(stamps.get(what), batch, spoken) for what in strokes)
    named = tag("th", batch["id"], tag("small", _mixed_of(batch, spoken)), scope="row")
    return tag("tr", named, *cells, style=f"height: {row_mm:g}mm")


def _mixed_of(batch: Table, spoken: Shown) -> str:
    """What goes into the vessel and which one; of a portion, where it comes from."""
    if batch["source"]:
        return spoken.words("paper.from", batch=batch["source"])
    return spoken.words(
        "paper.mixed_of",
        bags=number(batch["bags"]),
        packets=number(batch["packets_a_bag"] * batch["bags"]),
        station=batch["station"],
    )


def _cell(stamp: Table | None, batch: Table, spoken: Shown) -> Markup:
    """What is planned, small at the top: the name to type where it is not the row's, when to begin, and who."""
    if stamp is None:
        return tag("td", NOTHING)
    if stamp["below"]:
        return tag("td", f"↓ {stamp['below']}")
    which = stamp["which"] if stamp["value"] or stamp["which"] != batch["id"] else ""
    named = f"{which} {stamp['value']}".strip()
    at = spoken.clock(batch["water_contact"]) if stamp["what"] == "water" else _begins(stamp)
    text = " ".join(word for word in (named, at, stamp["who"]) if word)
    kind = "tight" if len(text) > LONG_CELL else None
    told = (tag("b", named),) if named else ()
    return tag("td", _spaced(*told, f"{at} {stamp['who']}"), class_=kind)


def _begins(stamp: Table) -> str:
    return show_duration(stamp["end_s"] if stamp["what"] in ("mixed", "tipped") else stamp["start_s"])


# the windows


def window_parts(table: Table, spoken: Shown) -> Iterator[Part]:
    """A table for each mix; one that is too wide in several, its doses shared out."""
    windows = table["windows"]
    told = spoken.words(
        "paper.windows",
        start=spoken.clock(windows["from"]),
        end=spoken.clock(windows["until"]),
        low=spoken.degrees(windows["low_c"]),
        high=spoken.degrees(windows["high_c"]),
    )
    above = _heading(spoken.words("paper.title.windows"), told)
    for mix in windows["mixes"]:
        doses = [dose["packets_a_bag"] for dose in mix["rows"][0]["doses"]]
        at_once = max(1, MOST_COLUMNS // (1 + 3 * len(mix["passes"])))
        for first in range(0, len(doses), at_once):
            yield _window_part(mix, slice(first, first + at_once), above, spoken)
            above = joined()


def _window_part(mix: Table, doses: slice, above: Markup, spoken: Shown) -> Part:
    """All rows as one, so that no table of windows is torn."""
    rows = [_window_row(row, mix["passes"], doses, spoken) for row in mix["rows"]]
    shown_doses = mix["rows"][0]["doses"][doses]
    head = _window_head(mix, [dose["packets_a_bag"] for dose in shown_doses], spoken)
    head_mm = r.WINDOW_HEAD_MM + (r.WINDOW_TITLE_MM if above else 0.0)
    whole = _table("windows", head, rows, above)
    return Part(head_mm, [(len(rows) * r.WINDOW_MM, whole)], lambda own: joined(*own))


def _window_head(mix: Table, packets: Sequence[float], spoken: Shown) -> Markup:
    """The mix and each dose; under it what its numbers are of."""
    across = 1 + 3 * len(mix["passes"])
    doses = (
        tag("th", _dosed(n, mix["mix"], spoken), colspan=across, class_="dose", scope="colgroup")
        for n in packets
    )
    each = (
        tag("th", spoken.words("paper.head.workable"), class_="dose"),
        *(tag("th", spoken.word(f"pass.{name}"), colspan=3, class_="pass") for name in mix["passes"]),
    )
    corner = tag("th", spoken.warmth_unit, style="width: 6%", rowspan=2)
    return joined(tag("tr", corner, *doses), tag("tr", *(cell for _ in packets for cell in each)))


def _dosed(packets: float, mix: str, spoken: Shown) -> str:
    if not packets:
        return spoken.words("paper.no_dose", mix=mix)
    return spoken.words("paper.dose", mix=mix, packets=number(packets))


def _window_row(row: Table, passes: Sequence[str], doses: slice, spoken: Shown) -> Markup:
    cells = [tag("td", f"{spoken.warmth(row['temperature_c']):.0f}")]
    for dose in row["doses"][doses]:
        cells.append(tag("td", minutes(dose["workable_until_s"]), class_="dose"))
        for name in passes:
            window = dose["passes"][name]
            cells += [
                tag("td", minutes(window[f"{key}_s"]), class_=kind)
                for key, kind in (("open", "pass"), ("due", "due"), ("late", None))
            ]
    return tag("tr", *cells, class_="day" if row["of_the_day"] else None)


def minutes(value_s: float | None) -> str:
    """`61:05`: minutes go on past the hour."""
    if value_s is None:
        return NOTHING
    whole, left = divmod(int(value_s + 0.5), 60)
    return f"{whole}:{left:02}"


# blank lines and small print


def line_part(table: Table, spoken: Shown, lines: int) -> Part:
    """Readings on the left, what surface and mix say on the right; as many blank lines for each."""
    readings = _table(
        "readings",
        _head_row(["time", *READ], READ_WIDTHS),
        [_reading_row(table["readings"], spoken, n == 0) for n in range(lines)],
        _heading(spoken.words("paper.title.readings"), _reading_told(table["readings"], spoken)),
    )
    blank = tag("tr", *(tag("td") for _ in SIGN_COLUMNS * 2))
    signs = _table(
        "signs",
        _head_row(SIGN_COLUMNS * 2, [18.0, 17.0, 15.0] * 2),
        [blank] * lines,
        _heading(spoken.words("paper.title.signs"), spoken.words("paper.signs", words=", ".join(SIGNS))),
    )
    both = tag("div", tag("div", readings), tag("div", signs), class_="lines")
    return Part(r.LINE_HEAD_MM, [(lines * r.LINE_MM, both)], joined_rows)


def joined_rows(rows: Sequence[Markup]) -> Markup:
    return joined(*rows)


def _reading_told(readings: Table, spoken: Shown) -> str:
    return spoken.words("paper.readings", again=show_duration(readings["again_after_s"]))


def _reading_row(readings: Table, spoken: Shown, first: bool) -> Markup:
    """The unit to type in every cell, in the first row with what is forecast."""
    warm, speed = ("degF", "mph") if spoken.system == "us" else ("degC", "km/h")
    wind = readings["wind_m_s"] / (0.44704 if spoken.system == "us" else 1.0 / 3.6)
    values = {
        **{name: (f"{spoken.warmth(readings[f'{name}_c']):.0f}", warm) for name in READ[:4]},
        "humidity": (f"{readings['humidity'] * 100.0:.0f}", "%"),
        "wind": (f"{wind:.0f}", speed),
        "sun": ("yes" if readings["sun"] else "no", ""),
    }
    told = (f"{value if first else ''} {unit}".strip() for value, unit in (values[name] for name in READ))
    return tag(
        "tr",
        *(tag("td", tag("small", text)) for text in (spoken.words("paper.forecast") if first else "", *told)),
    )


def shown_reasons(table: Table, spoken: Shown) -> str:
    """Why the plan does not hold; nothing where it does."""
    if table["feasible"]:
        return ""
    return " ".join((spoken.words("paper.not_feasible"), *table["reasons"]))


def caution_text(table: Table, spoken: Shown) -> str:
    return " • ".join((*table["cautions"], spoken.words("paper.label_first")))


def text_part(text: str, kind: str) -> Iterator[Part]:
    """Small print in one piece; none where there is nothing to say."""
    if text:
        block = tag("p", line_of(text), class_=kind)
        yield Part(r.TEXT_HEAD_MM, [(r.text_mm(text), block)], joined_rows)
