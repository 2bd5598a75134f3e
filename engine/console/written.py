"""A job file filled in by hand: what is there already, what answers come to, and the writing of it.

Written whole or not at all, through a file beside it that then takes its name; never over a file unasked.
"""

from __future__ import annotations

import contextlib
import datetime
import os
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol
from zoneinfo import ZoneInfo

from engine.clock import Clock
from engine.console.ahead import plan_table
from engine.console.ground import date_on_site
from engine.errors import BadInput, Problem
from engine.job.files import (
    configs_folder,
    demo_job_path,
    read_job,
    read_text,
    read_toml,
    shipped_practice,
)
from engine.job.model import Job
from engine.job.patch_line import FOLLOWED, WORDS
from engine.job.practice import Value
from engine.job.writing.answers import answers_of
from engine.job.writing.drafted import draft_job
from engine.job.writing.questions import JOB_PAGES, Answers, Draft, Page
from engine.job.writing.reopened import form_of, lost
from engine.job.writing.table import Ground, Offer
from engine.job.writing.text import assumed_keys, file_text, has_more_remarks
from engine.mix.reader import read_mix
from engine.tables import printable
from engine.units import show_clock
from engine.words import Words

MOST_CARDS = 100  # looked at in a folder
PART = ".part"


@dataclass(frozen=True)
class Verdict:
    """What `check` says of a draft, in sentences; `good`: yes."""

    good: bool
    sentences: tuple[str, ...]


class Sheet(Protocol):
    """A form over one file: what it asks, what is known already, and what answers come to."""

    @property
    def path(self) -> Path: ...
    @property
    def kind(self) -> str:
        """`job` or `card`."""
        ...

    @property
    def pages(self) -> tuple[Page, ...]: ...
    @property
    def answers(self) -> Answers:
        """Those that the file holds already."""
        ...

    @property
    def over(self) -> bool:
        """Whether there is a file that writing would replace."""
        ...

    def draft(self, answers: Answers) -> Draft:
        """At once, at every key."""
        ...

    def verdict(self, answers: Answers) -> Verdict:
        """Of a draft without a fault; may take a second."""
        ...

    def write(self, answers: Answers, over: bool = False) -> tuple[str, ...]:
        """The files written. Raises `BadInput` and `OSError`; then nothing is."""
        ...


@dataclass(frozen=True)
class Opened:
    """A file as it stood when the form was opened: its bytes, None where there was none."""

    path: Path
    before: bytes | None

    def check(self, over: bool) -> None:
        """Raises `BadInput` where writing would take something away unasked or unseen."""
        now = self.path.read_bytes() if self.path.exists() else None
        if now is not None and not over:
            raise _refused(self.path, "there is something here already; it is not written over unasked")
        if over and now != self.before:
            raise _refused(self.path, "somebody changed this file meanwhile; open it again")


def put_whole(path: Path, text: str) -> None:
    """The text as the file's, by a file beside it that is flushed first: half a file is never seen. Raises `OSError`."""
    target = path.resolve()
    part = target.with_name(target.name + PART)
    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else None
    with part.open("x", encoding="utf-8", newline="\n") as stream:
        try:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        except BaseException:
            part.unlink()
            raise
    if mode is not None:
        part.chmod(mode)
    os.replace(part, target)


@dataclass(frozen=True)
class JobSheet:
    """A job file. Made by `new_job`."""

    opened: Opened
    ground: Ground
    values: tuple[Value, ...]
    today: datetime.date
    said: Words
    answers: Answers
    kind: str = "job"
    pages: tuple[Page, ...] = JOB_PAGES

    @property
    def path(self) -> Path:
        return self.opened.path

    @property
    def over(self) -> bool:
        return self.opened.before is not None

    def draft(self, answers: Answers) -> Draft:
        return self._draft(answers)[0]

    def _draft(self, answers: Answers) -> tuple[Draft, Job | None]:
        return draft_job(answers, self.ground, self.values, self.today)

    def verdict(self, answers: Answers) -> Verdict:
        draft, job = self._draft(answers)
        if job is None:
            raise faulty(self.path, draft)
        plan = plan_table(job, self.said)
        bags = ", ".join(f"{count} {mix}" for mix, count in plan["buy"]["bags"].items())
        to_buy = self.said("form.bags_to_buy", bags=bags)
        if not plan["feasible"]:
            reasons = [*(one["text"] for one in plan["impossible"]), *plan["reasons"], ""]
            return Verdict(False, (self.said("form.verdict_bad", reason=reasons[0]), to_buy))
        finish = datetime.datetime.fromisoformat(plan["finish"]).timestamp()
        told = self.said("form.verdict_good", finish=show_clock(finish, job.zone))
        return Verdict(True, (told, to_buy))

    def write(self, answers: Answers, over: bool = False) -> tuple[str, ...]:
        draft, job = self._draft(answers)
        if job is None:
            raise faulty(self.path, draft)
        self.opened.check(over)
        copies = tuple(_copied(self.path, draft, self.ground))
        put_whole(self.path, file_text(draft.table, "form.job_head", draft.assumed, self.said))
        return (str(self.path), *copies)


def new_job(path: Path, said: Words, clock: Clock | None = None) -> JobSheet:
    """The form over a job file: empty, or with what the file holds.

    Raises `BadInput` for a place where nothing can be written, and for a file of which the form would lose something.
    """
    opened = standing(path)
    today, values = date_on_site(clock), shipped_practice()
    job = read_job(path, today) if opened.before else None
    ground = _ground(path, job, values)
    sheet = JobSheet(opened, ground, values, today, said, {})
    return sheet if job is None else _reopened(sheet, job)


def _reopened(sheet: JobSheet, job: Job) -> JobSheet:
    path, text = sheet.path, read_text(sheet.path)
    form = form_of(read_toml(path), job, assumed_keys(text), sheet.ground)
    answers = answers_of(form)
    draft, again = sheet._draft(answers)
    if again is None:
        raise faulty(path, draft)
    keys = lost(job, again)
    refuse_to_lose(path, keys, text, file_text(draft.table, "form.job_head", draft.assumed, sheet.said))
    return replace(sheet, answers=answers)


def refuse_to_lose(path: Path, keys: Iterable[str], text: str, written: str) -> None:
    """Raises `BadInput` naming each key, and the remarks, that a file would lose by being written anew."""
    remarks = ("remarks (#)",) if has_more_remarks(text, written) else ()
    why = "this form cannot say it and would lose it; change the file by hand, or name another file"
    if found := [Problem(str(path), key, "", why) for key in (*keys, *remarks)]:
        raise BadInput(found)


def standing(path: Path) -> Opened:
    """What is there already. Raises `BadInput` where no such file can be."""
    if path.suffix != ".toml":
        raise _refused(path, "a name that ends in .toml")
    if not path.resolve().parent.is_dir():
        raise _refused(path, "a folder that is there: make it first")
    if not path.exists():
        return Opened(path, None)
    if path.is_file() and not path.stat().st_size:
        return Opened(path, b"")
    read_text(path)
    return Opened(path, path.read_bytes())


def _refused(path: Path, why: str) -> BadInput:
    return BadInput([Problem(str(path), "file", "", why)])


def faulty(path: Path, draft: Draft) -> BadInput:
    return BadInput(
        [
            Problem(str(path), f"{fault.key}, line {fault.line + 1}", "", printable(fault.says))
            for fault in draft.faults
        ]
    )


def _ground(path: Path, job: Job | None, values: tuple[Value, ...]) -> Ground:
    """The mixes a file names first, then those within reach of it, then the shipped examples under other names."""
    offers: dict[str, Offer] = {}
    broken: dict[str, str] = {}
    if job is not None:
        entries = read_toml(path)["job"]["mixes"]
        offers = {
            card.key: Offer(card.key, entry, card) for entry, card in zip(entries, job.mixes, strict=True)
        }
    folder = path.resolve().parent
    for place in ("", "mixes/", "../mixes/"):
        for file in _cards_in(folder / place):
            _offer(file, place, offers, broken, shipped=False)
    for file in _cards_in(configs_folder() / "mixes"):
        if file.stem not in broken:
            _offer(file, "mixes/", offers, broken, shipped=True)
    least = {value.key: value.number for value in values}["loadout.least_vessels"]
    return Ground(
        read_toml(demo_job_path()), int(least), tuple(offers.values()), machine_zone(), tuple(broken.items())
    )


def _cards_in(folder: Path) -> list[Path]:
    """Files that may be cards, by name; those whose name a patch's line could not say are left out."""
    try:
        files = sorted(folder.glob("*.toml"))[:MOST_CARDS]
    except OSError:
        return []
    return [file for file in files if _named(file.stem)]


def _named(key: str) -> bool:
    plain = key.replace("-", "").replace("_", "")
    return plain.isalnum() and plain.isascii() and key not in (*WORDS, *FOLLOWED)


def _offer(
    file: Path, place: str, offers: dict[str, Offer], broken: dict[str, str], *, shipped: bool
) -> None:
    """Add a card to those within reach; one that was meant to be a card and cannot be read is kept with its reason."""
    if file.stem in offers:
        return
    try:
        table = read_toml(file)
    except BadInput:
        return
    card, problems = read_mix(table, file.stem, f"{place}{file.name}")
    if card is not None:
        offers[file.stem] = Offer(file.stem, f"{place}{file.name}", card, shipped)
    elif "clock" in table:
        broken.setdefault(file.stem, problems[0].sentence())


def _copied(path: Path, draft: Draft, ground: Ground) -> Iterator[str]:
    """Copies the examples that the job names to where it names them; what is there stays."""
    for offer in ground.offers:
        target = path.resolve().parent / offer.entry
        if offer.shipped and offer.entry in draft.table["job"]["mixes"] and not target.exists():
            target.parent.mkdir(exist_ok=True)
            put_whole(target, read_text(configs_folder() / "mixes" / target.name))
            yield str(path.parent / offer.entry)


def machine_zone() -> str:
    """The IANA name of the machine's zone; empty where the machine does not say."""
    named = os.environ.get("TZ", "").lstrip(":")
    _, _, linked = os.path.realpath("/etc/localtime").partition("zoneinfo/")
    for name in (named, linked):
        with contextlib.suppress(KeyError, ValueError, OSError):
            if name and ZoneInfo(name).key == name:
                return name
    return ""
