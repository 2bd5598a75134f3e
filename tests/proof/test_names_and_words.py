"""Nothing in a file is executed or obeyed: places of sentences in a user's text stay text, and paths stay on the site."""

from __future__ import annotations

import ast
import json
import os
from pathlib import Path

import pytest
import tomli_w

from tests.proof.hostile_cases import LIBRARY, job_table
from tui.cli import main

ROOT = Path(__file__).parents[2]
BRACES = "{x.__class__} {0} {} {name:bag} %s ${x}"
WHERE = "where " + BRACES
IDS = {
    "P1": "{}",
    "P2": "{0!r}",
    "MA": "{who}",
    "MB": "%(x)s",
    "Lead": "{0}",
    "F": "{x:bag}",
    "S1": "{n:bag}",
    "S2": "{{}}",
}
CARD = "{0!r}"
NOTES = """time,what,which,who,value
08:30:00,reading,,,air=43 degF; slab=42 degF
08:40:00,trial,{0!r},,0
08:47:00,trial stiff,,,
08:50:00,soaked,{},,
08:52:00,lot,{0!r},,{lot}
09:00:00,water,{},{who},
09:02:00,mixed,{}.1,,
09:02:30,tipped,{}.1,,
09:04:00,floated,{},{x:bag},
09:05:00,note,{},,"note BRACES"
09:06:00,rejected,{},,"why BRACES"
09:12:00,first trowel,{},{x:bag},
09:14:00,away,,{0},
09:15:00,vessel lost,{n:bag},,"vessel BRACES"
09:16:00,water,{0!r},%(x)s,
09:17:00,lost,{0!r}.1,,"lost BRACES"
09:18:00,back,,{0},
09:20:00,second trowel,{},{x:bag},
""".replace("BRACES", BRACES)
TEXTS = ("{x.__class__}", "{0}", "{}", "{name:bag}", "%s", "${x}")
INSIDES = ("<class", "<built-in", "<function", "__main__", "Traceback")


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A job with such texts in every field that is free, and the log of its day."""
    table = json.loads(json.dumps(job_table(), default=str))
    table["job"] |= {"name": "job " + BRACES, "date": job_table()["job"]["date"], "currency": "{c}"}
    table["job"]["mixes"] = [f"{CARD}.toml"]
    for pour in table["pours"]:
        pour |= {"where": WHERE, "id": IDS[pour["id"]], "mix": CARD}
    for row in (*table["people"], *table["stations"]):
        row["id"] = IDS[row["id"]]
    for station in table["stations"]:
        station["vessel"] = "vessel " + BRACES[:30]
    table["targets"] = [{"pours": ["{}"], "open_to": "feet", "by": "09:00"}]
    card = (LIBRARY / "small-stone.toml").read_text(encoding="utf-8")
    card = card.replace("Small-stone rapid mix (example)", "card " + BRACES)
    (tmp_path / f"{CARD}.toml").write_text(card, encoding="utf-8")
    (tmp_path / "job.toml").write_text(tomli_w.dumps(table), encoding="utf-8")
    (tmp_path / "notes.csv").write_text(NOTES, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert main(["enter", "job.toml", "notes.csv", "-o", "day.jsonl"]) == 0
    return tmp_path


VERBS = (
    ("check", "job.toml", "--hours"),
    ("check", "job.toml", "--safety", "--load", "--language", "es"),
    ("check", "job.toml", "--json"),
    ("check", "day.jsonl"),
    ("paper", "job.toml", "-o", "p.html"),
    ("status", "day.jsonl"),
    ("status", "day.jsonl", "--json", "--at", "09:10"),
    ("status", "day.jsonl", "--language", "es"),
    ("replay", "day.jsonl", "--text"),
    ("replay", "day.jsonl", "--text", "--language", "es"),
    ("report", "day.jsonl", "-o", "r.html"),
    ("report", "day.jsonl", "-o", "r.md", "--language", "es"),
    ("report", "day.jsonl", "-o", "r.csv"),
    ("report", "day.jsonl", "-o", "r.json", "--client"),
    ("returns", "day.jsonl", "-o", "r.ics"),
    ("learn", "day.jsonl"),
    ("compare", "day.jsonl", "day.jsonl"),
)


@pytest.mark.parametrize("verb", VERBS, ids=" ".join)
def test_places_of_sentences_in_a_users_text_stay_text(
    verb: tuple[str, ...], site: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert main(list(verb)) in (0, 1)
    out, err = capsys.readouterr()
    written = (site / verb[verb.index("-o") + 1]).read_text(encoding="utf-8") if "-o" in verb else ""
    assert not err
    assert not [one for one in INSIDES if one in out + written]


def test_the_texts_are_all_there_in_the_list_of_lines(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert site.exists()
    assert main(["replay", "day.jsonl", "--text"]) == 0
    found = capsys.readouterr().out
    for text in TEXTS:
        assert text in found
    for one in ("note", "why", "lost", "vessel"):
        assert f"{one} {BRACES}" in found


def test_no_line_of_the_program_executes_what_it_reads() -> None:
    """No `eval`, `exec` or `compile`, no pickles, no shell; templates are the catalogue's alone."""
    called, modules = set(), set()
    for path in [*(ROOT / "engine").rglob("*.py"), *(ROOT / "tui").rglob("*.py")]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                called.add(node.func.id)
            if isinstance(node, ast.Call):
                assert not [
                    k for k in node.keywords if k.arg == "shell" and getattr(k.value, "value", True)
                ], path
            if isinstance(node, ast.Import):
                modules |= {alias.name for alias in node.names}
            if isinstance(node, ast.ImportFrom):
                modules.add(node.module or "")
    assert not called & {"eval", "exec", "compile", "__import__", "breakpoint"}
    assert not modules & {"pickle", "marshal", "shelve", "dill", "yaml", "xml.etree.ElementTree"}


OUTSIDE = (
    "../../etc/passwd",
    "../outside/card.toml",
    "/etc/passwd",
    "link.toml",
    "away/card.toml",
    "mixes/../../outside/card.toml",
    "../mixes/../outside/card.toml",
    "../mixes/link.toml",
    "round.toml",
    "..",
)


@pytest.mark.parametrize("entry", OUTSIDE)
@pytest.mark.parametrize("key", ["mixes", "learned"])
def test_a_job_reads_no_file_outside_its_site(
    key: str, entry: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    outside, inside, mixes = tmp_path / "outside", tmp_path / "site", tmp_path / "mixes"
    for folder in (outside, inside, mixes):
        folder.mkdir()
    (outside / "card.toml").write_text('name = "not to be shown"\n', encoding="utf-8")
    for link, leads in (
        (inside / "link.toml", outside / "card.toml"),
        (inside / "away", outside),
        (mixes / "link.toml", outside / "card.toml"),
        (inside / "round.toml", inside / "round.toml"),
    ):
        os.symlink(leads, link)
    good = (LIBRARY / "small-stone.toml").read_text(encoding="utf-8")
    (inside / "small-stone.toml").write_text(good, encoding="utf-8")
    table = job_table()
    table["job"][key] = ["small-stone.toml", entry] if key == "mixes" else [entry]
    (inside / "job.toml").write_text(tomli_w.dumps(table), encoding="utf-8")
    assert main(["check", str(inside / "job.toml")]) == 2
    err = capsys.readouterr().err
    place = f"job.{key}[{1 if key == 'mixes' else 0}]"
    assert f"{place}: " in err
    assert "a path in the job's own folder, below it, or in a folder `mixes` beside it" in err
    assert "not to be shown" not in err
    assert "root:" not in err
