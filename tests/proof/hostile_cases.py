"""Hostile files by kind: each case a folder of its own with the spoiled file in it, and the command lines that read it.

A case is known by its seed and number alone, so that every one can be made again.
"""

from __future__ import annotations

import copy
import functools
import json
import os
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

import tomli_w

from tests.proof.spoiling import chain, spoil_bytes, spoil_text, spoil_tree, weird

ROOT = Path(__file__).parents[2]
LIBRARY = ROOT / "tests" / "data" / "scenarios" / "library"
LOGS = (ROOT / "tests/data/logs/kinds-2.jsonl", ROOT / "tests/data/logs/kinds-1.jsonl")
ANSWERS = """name: School
units: us
time_zone: America/Chicago
date: 2026-05-04
start: 08:00
weather: 08:00 air 54 humidity 60 wind 3
weather: 12:00 air 60 humidity 50 wind 5 sun
patches: 24x18 2 2
patches: 30x18 2 2 1/4 small-stone
people: Lead place finish
people: MA mix place
bags: 12
packets: 4
"""
LABEL = """name: Own mix
kind: small stone
mass: 50 lb
yield: 0.43 ft^3
water_low: 3.75 qt
water_high: 4.75 qt
depth_min: 1 1/2 in
depth_max: 4 in
working_time: 3 min
at_temperature: 70 degF
feet: 1 h
strength: 1 h 800 psi
"""
SECRET = "root:x:0"  # of the file that no job may reach


@dataclass(frozen=True)
class Case:
    """A spoiled file and what is run on it, in the folder that holds it."""

    kind: str
    file: str
    runs: tuple[tuple[str, ...], ...]


@functools.cache
def _job() -> str:
    """Two pours of the library, few rows of weather: planned at once."""
    table = tomllib.loads((LIBRARY / "job.toml").read_text(encoding="utf-8"))
    table["pours"] = table["pours"][:2]
    table["conditions"] = table["conditions"][:8:3]
    table["targets"] = [{"pours": ["P1"], "open_to": "feet", "by": "15:00"}]
    table["deadlines"] = [{"what": "rain", "at": "16:00"}]
    table["practice"] = {"takeoff": {}, "learning.stiff_noise": 0.1}
    table["practice"] = {}
    return tomli_w.dumps(table)


def job_table() -> dict[str, Any]:
    """The good job, as a table of its own."""
    return tomllib.loads(_job())


@functools.cache
def _card() -> str:
    return (LIBRARY / "small-stone.toml").read_text(encoding="utf-8")


@functools.cache
def _practice() -> dict[str, Any]:
    return tomllib.loads((ROOT / "configs" / "practice.toml").read_text(encoding="utf-8"))


@functools.cache
def _keys() -> str:
    from tui.keymap import keymap
    from tui.printed_keys import keys_table

    table = keys_table(keymap({}))
    return tomli_w.dumps({name: rows for name, rows in table.items() if isinstance(rows, dict)})


def made(seed: int, number: int, folder: Path) -> Case:
    """The case of a number, its files written into an empty folder."""
    random = Random(f"{seed}/{number}")
    kind = KINDS[number % len(KINDS)]
    return MAKERS[kind](random, folder)


def put(folder: Path, name: str, text: str | bytes) -> None:
    (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass"))


def spoiled(good: str, random: Random) -> str | bytes:
    """A TOML text spoiled in its values, its lines or its bytes."""
    way = random.random()
    if way < 0.65:
        table = tomllib.loads(good)
        for _ in range(random.choice((1, 1, 1, 2, 5))):
            spoil_tree(table, random)
        try:
            return tomli_w.dumps(table)
        except (TypeError, ValueError, RecursionError):
            pass
    return spoil_text(good, random) if way < 0.9 else spoil_bytes(good.encode(), random)


def _check(random: Random) -> tuple[tuple[str, ...], ...]:
    more = random.choice(
        ((), ("--hours",), ("--json",), ("--safety", "--load"), ("--mix-temperature", "60 degF"))
    )
    also = (("paper", "job.toml", "-o", "p.html"),) if random.random() < 0.2 else ()
    return (("check", "job.toml", *more, "--language", random.choice(("en", "es"))), *also)


def _spoiled_job(random: Random, folder: Path) -> Case:
    put(folder, "small-stone.toml", _card())
    text = (
        _many_pours(random) if random.random() < 0.02 else _ambitious(random) if random.random() < 0.3 else ""
    )
    put(folder, "job.toml", text or spoiled(_job(), random))
    return Case("job", "job.toml", _check(random))


def _many_pours(random: Random) -> str:
    """More pours than anybody digs, or so many that come after each other in a circle."""
    table = job_table()
    pours = [dict(table["pours"][0], id=f"P{n}") for n in range(random.choice((12, 100, 101, 5000)))]
    if random.random() < 0.5:
        for n, pour in enumerate(pours):
            pour["after"] = [f"P{(n + 1) % len(pours)}", "P0", f"P{n}"][: random.randrange(1, 4)]
    return tomli_w.dumps({**table, "pours": pours})


def _ambitious(random: Random) -> str:
    """A job that is read, at the edge of what may be said."""
    table = job_table()
    ways: tuple[Callable[[], object], ...] = (
        lambda: table["pours"][0].update(length="100 m", width="5 m"),
        lambda: table["pours"][0].update(length="0.01 m", width="0.05 m", depths=["0.001 m"]),
        lambda: table["pours"][0].update(depths=["1 m"]),
        lambda: table["times"].update(rinse="3600 s", load="3600 s", carry="0 s"),
        lambda: table["times"].update(float="20000 s/m^2"),
        lambda: [row.update(air="-50 degC") for row in table["conditions"]],
        lambda: [row.update(air="60 degC", humidity=0, wind="50 m/s", sun=True) for row in table["conditions"]],
        lambda: table["conditions"].__setitem__(slice(1, None), []),
        lambda: [row.update(humidity=random.choice((0, 100))) for row in table["conditions"]],
        lambda: table["stock"].update(bags=0, packets=0, vessels=0),
        lambda: table["job"].update(start=random.choice(("00:00", "47:59", "23:59:59"))),
        lambda: table["job"].update(time_zone=random.choice(("Pacific/Apia", "Asia/Kathmandu", "UTC"))),
        lambda: table["job"].update(date=weird(random)),
        lambda: table.update(targets=[{"pours": ["P1"], "open_to": "wheels", "by": "00:00"}]),
        lambda: table.update(deadlines=[{"what": "rain", "at": "00:00"}, {"what": "dark", "at": "47:59"}]),
        lambda: table.update(materials={"bags": "90 degC", "water": "0 degC", "ice": "1 kg"}),
        lambda: table["pours"][1].update(finish="float", packets=2, after=["P1"], visit=2),
        lambda: table["pours"][1].update(shares="P1"),
        lambda: table["stations"][0].update(bags_per_batch=20, hands=2),
        lambda: table.update(people=[{"id": "A", "does": ["mix", "place", "finish"]}]),
        lambda: table["pours"][0].update(slab="0.01 m", carried="suspended", steel_bare="100 %", use="ramp"),
    )  # fmt: skip
    for way in random.sample(ways, random.randrange(1, 5)):
        way()
    return tomli_w.dumps(table)


def _spoiled_card(random: Random, folder: Path) -> Case:
    put(folder, "job.toml", _job())
    put(folder, "small-stone.toml", spoiled(_card(), random))
    return Case("card", "small-stone.toml", _check(random))


def _practice_of_job(random: Random, folder: Path) -> Case:
    """Practice stands in a job, dotted or nested."""
    table, entries = job_table(), _flat(_practice())
    chosen = {}
    for key in random.sample(sorted(entries), random.choice((1, 1, 2, 20))):
        within = entries[key].get("within")
        ends = [*within, entries[key]["value"]] if isinstance(within, list) else [entries[key]["value"]]
        chosen[key] = random.choice((*ends, weird(random), 0, 1, 10000, "0 s", "100 degC"))
    table["practice"] = (
        chosen
        if random.random() < 0.7
        else {key.split(".")[0]: {key.split(".", 1)[1]: v} for key, v in chosen.items()}
    )
    put(folder, "small-stone.toml", _card())
    put(folder, "job.toml", tomli_w.dumps(table))
    return Case("practice", "job.toml", _check(random))


def _flat(table: dict[str, Any], above: str = "") -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for key, value in table.items():
        if isinstance(value, dict) and "value" not in value:
            found |= _flat(value, f"{above}{key}.")
        elif isinstance(value, dict):
            found[f"{above}{key}"] = value
    return found


def _named_files(random: Random, folder: Path) -> Case:
    """A job that reaches for files outside its folder, or for none at all."""
    outside, inside = folder / "outside", folder / "site"
    (outside / "deep").mkdir(parents=True)
    inside.mkdir()
    put(outside, "card.toml", f'name = "{SECRET}"\n')
    os.symlink(outside / "card.toml", inside / "link.toml")
    os.symlink(outside, inside / "away")
    os.symlink(inside / "round.toml", inside / "round.toml")
    os.symlink("/etc/passwd", inside / "passwd.toml")
    os.mkfifo(inside / "pipe.toml")
    put(inside, "small-stone.toml", _card())
    table = job_table()
    names = ("../../etc/passwd", "/etc/passwd", str(outside / "card.toml"), "../outside/card.toml", "link.toml",
             "away/card.toml", "round.toml", "passwd.toml", "pipe.toml", ".", "..", "./", "small-stone.toml/x", "/dev/zero",
             "../mixes/../outside/card.toml", "mixes/../../outside/card.toml", "\u2025/x", "a\\..\\b", "%2e%2e/x", "~/x",
             "small-stone.toml\u200b", "x" * 200, "/proc/self/environ", "job.toml", "//etc/passwd", "CON")  # fmt: skip
    table["job"][random.choice(("mixes", "learned"))] = random.sample(names, random.randrange(1, 4))
    put(inside, "job.toml", tomli_w.dumps(table))
    return Case("named files", "job.toml", (("check", "site/job.toml"),))


def _notes(random: Random, folder: Path) -> Case:
    put(folder, "small-stone.toml", _card())
    put(folder, "job.toml", _job())
    good = (LIBRARY / "notes.csv").read_text(encoding="utf-8").split("\n")
    good = [line for line in good if ",P3" not in line and ",S" not in line]
    text: str | bytes = "\n".join(good)
    for _ in range(random.choice((1, 1, 3))):
        text = spoil_text(text, random) if isinstance(text, str) else text
    if random.random() < 0.5 and isinstance(text, str):
        text = _cells(text, random)
    if random.random() < 0.2:
        text = spoil_bytes(text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text, random)
    put(folder, "notes.csv", text)
    return Case(
        "notes",
        "notes.csv",
        (("enter", "job.toml", "notes.csv", "-o", "day.jsonl"), *_of_log(random, "day.jsonl", 1)),
    )


def _cells(text: str, random: Random) -> str:
    """A cell of a row changed."""
    lines = text.split("\n")
    n = random.randrange(len(lines))
    cells = lines[n].split(",")
    cells[random.randrange(len(cells))] = str(weird(random))
    return "\n".join([*lines[:n], ",".join(cells), *lines[n + 1 :]])


def _key_file(random: Random, folder: Path) -> Case:
    put(folder, "keys.toml", spoiled(_keys(), random))
    return Case("keys", "keys.toml", (("keys", "keys.toml", *random.choice(((), ("--json",)))),))


def _answers(random: Random, folder: Path) -> Case:
    verb, good = random.choice((("new", ANSWERS), ("new", ANSWERS), ("card", LABEL)))
    text: str | bytes = good
    for _ in range(random.choice((1, 1, 2, 4))):
        lines = str(text).split("\n")
        n = random.randrange(len(lines))
        key = lines[n].partition(":")[0]
        said = random.choice((weird(random), other(lines[n], random), other(lines[n], random)))
        text = (
            "\n".join([*lines[:n], f"{key}: {said}", *lines[n + 1 :]])
            if random.random() < 0.6
            else spoil_text(str(text), random)
        )
    text = spoil_bytes(str(text).encode("utf-8", "surrogatepass"), random) if random.random() < 0.1 else text
    put(folder, "answers.txt", text)
    return Case(
        "answers",
        "answers.txt",
        ((verb, "new.toml", "--from", "answers.txt", *random.choice(((), ("--json",)))),),
    )


def other(line: str, random: Random) -> str:
    """The words of an answer in another order, some of them twice, one of them changed."""
    words = line.partition(":")[2].split()
    random.shuffle(words)
    return " ".join(
        [*words, random.choice(("1e308", "-1", "x" * 300, "2x2", "0x0", "9999999x1", "sun", "{0}"))]
    )


@functools.cache
def _records(name: Path) -> str:
    lines = [json.loads(line) for line in name.read_text(encoding="utf-8").splitlines()]
    return json.dumps([{key: value for key, value in line.items() if key != "hash"} for line in lines])


def _broken_log(random: Random, folder: Path) -> Case:
    """A log whose chain tells that something happened to it."""
    put(folder, "day.jsonl", spoil_bytes(random.choice(LOGS).read_bytes(), random))
    return Case("broken log", "day.jsonl", _of_log(random, "day.jsonl", 2))


def _forged_log(random: Random, folder: Path) -> Case:
    """A log under a chain of its own that holds, with lines that say anything."""
    records = json.loads(_records(random.choice(LOGS)))
    for _ in range(random.choice((1, 1, 1, 2, 4))):
        random.choice(FORGERIES)(records, random)
    _renumbered(records, random)
    put(folder, "day.jsonl", chain(records))
    return Case("forged log", "day.jsonl", _of_log(random, "day.jsonl", 3))


def _renumbered(records: list[Any], random: Random) -> None:
    """Numbers that follow, and lines spoken of by their new ones."""
    new = {
        record["seq"]: seq
        for seq, record in enumerate(records, start=1)
        if isinstance(record.get("seq"), int)
    }
    for seq, record in enumerate(records, start=1):
        data = record.get("data")
        if isinstance(data, dict) and isinstance(data.get("seq"), int) and random.random() < 0.95:
            data["seq"] = new.get(data["seq"], data["seq"])
        if random.random() < 0.999:
            record["seq"] = seq


def _in_line(records: list[Any], random: Random) -> None:
    spoil_tree(random.choice(records[1:]).setdefault("data", {}), random, dates=False)


def _in_head(records: list[Any], random: Random) -> None:
    spoil_tree(random.choice(records), random, dates=False)


def _in_job(records: list[Any], random: Random) -> None:
    spoil_tree(records[0]["data"], random, dates=False)


def _line_gone(records: list[Any], random: Random) -> None:
    del records[random.randrange(1, len(records))]


def _line_moved(records: list[Any], random: Random) -> None:
    one = records.pop(random.randrange(1, len(records)))
    records.insert(random.randrange(1, len(records)), one)


def _line_again(records: list[Any], random: Random) -> None:
    records.insert(random.randrange(1, len(records)), copy.deepcopy(random.choice(records[1:])))


def _kind_of_other(records: list[Any], random: Random) -> None:
    random.choice(records[1:])["kind"] = random.choice(records)["kind"]


def _sign_of_no_pass(records: list[Any], random: Random) -> None:
    """A sign for a pass that the card may lack, or of a batch that is not there."""
    record = copy.deepcopy(random.choice(records[1:]))
    name = random.choice(("float", "first_trowel", "second_trowel", "broom", "edge", None))
    word = random.choice(("ready", "not yet", "stiff", "still moves"))
    subject = random.choice(("T1", "R1.1", "W1.1", "P1.1", "nobody"))
    record |= {"kind": "sign seen", "v": 1, "data": {"word": word, "subject": subject, "name": name}}
    records.insert(random.randrange(1, len(records) + 1), record)


def _time(records: list[Any], random: Random) -> None:
    record = random.choice(records)
    way = random.randrange(4)
    if way == 0:
        record["at"] = random.choice((0.0, -1e9, 1e308, 1e11, 2.6e11, record.get("at", 0) or 0.0))
        record["how"] = "shifted"
    elif way == 1:
        record["boot"] = random.choice((0, -1e308, 1e308, 10**30, 1e12))
    elif way == 2:
        record["wall"] = random.choice(
            ("0001-01-01T00:00:00Z", "9999-12-31T23:59:59.999999Z", "1970-01-01T00:00:00Z", "x")
        )
    else:
        record["mark"] = random.choice(("", "boot-2", "\x1b[31m"))


FORGERIES: tuple[Callable[[list[Any], Random], None], ...] = (
    _in_line, _in_line, _in_line, _in_head, _in_job, _in_job, _line_gone, _line_moved, _line_again, _kind_of_other,
    _sign_of_no_pass, _time,
)  # fmt: skip


def _of_log(random: Random, log: str, count: int) -> tuple[tuple[str, ...], ...]:
    verbs = (
        ("check", log),
        ("status", log),
        ("status", log, "--at", "09:30"),
        ("status", log, "--json"),
        ("replay", "--text", log),
        ("replay", "--json", log),
        ("report", log, "-o", "r.html"),
        ("report", log, "-o", "r.md", "--client"),
        ("report", log, "-o", "r.csv", "--at", "10:00"),
        ("report", log, "-o", "r.json"),
        ("returns", log),
        ("returns", log, "-o", "r.ics"),
        ("compare", log, log),
        ("compare", f"{log}:P1", f"{log}:P2"),
        ("learn", log, "-o", "l.toml", "--made-up"),
        ("learn", log),
        ("join", log, "other.jsonl", "-o", "joined.jsonl"),
        ("opened", log),
        ("opened", log),
    )
    return tuple(random.sample(verbs, count))


MAKERS: dict[str, Callable[[Random, Path], Case]] = {
    "job": _spoiled_job,
    "card": _spoiled_card,
    "practice": _practice_of_job,
    "named files": _named_files,
    "notes": _notes,
    "keys": _key_file,
    "answers": _answers,
    "broken log": _broken_log,
    "forged log": _forged_log,
}
KINDS = (
    "job", "forged log", "card", "forged log", "practice", "notes", "forged log", "keys", "answers", "broken log",
    "job", "named files", "answers",
)  # fmt: skip
