"""What the foreman wants, before it is known whether the day allows it. `which` is a pour or a batch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from engine.job.model import Finish, OpenTo, Skill
from engine.pour.body import Body
from engine.pour.events import Cover, ReadingTaken, StrokeName
from engine.pour.replanned import Parts

if TYPE_CHECKING:
    from engine.job.patch_line import Patch


@dataclass(frozen=True)
class Intent:
    """Something asked for; each kind below is one."""


@dataclass(frozen=True)
class Advance(Intent):
    """Do the suggested next step of a row (a batch, or a pour finished whole)."""

    key: str
    who: str = ""


@dataclass(frozen=True)
class CallBag(Intent):
    """Call the next bag: for a pour, or for the one the call names."""

    pour: str = ""
    who: str = ""


@dataclass(frozen=True)
class AddWater(Intent):
    """Water contact for a pour; `packets` per bag if not as planned; a half bag where `half`."""

    pour: str
    who: str = ""
    packets: float | None = None
    half: bool = False
    station: str = ""


@dataclass(frozen=True)
class StampMixed(Intent):
    batch: str
    who: str = ""


@dataclass(frozen=True)
class StampTipped(Intent):
    """A batch tipped; with `source`, part of a shared batch tipped into the pour `which`."""

    which: str
    who: str = ""
    source: str = ""


@dataclass(frozen=True)
class StampStroke(Intent):
    name: StrokeName
    which: str
    who: str = ""


@dataclass(frozen=True)
class SkipNext(Intent):
    """The next pass of a pour or batch will not be done; a pour not begun is left for a later visit."""

    which: str


@dataclass(frozen=True)
class SeeReady(Intent):
    which: str


@dataclass(frozen=True)
class SeeNotYet(Intent):
    which: str


@dataclass(frozen=True)
class SeeStiff(Intent):
    which: str


@dataclass(frozen=True)
class SeeStillMoves(Intent):
    which: str


@dataclass(frozen=True)
class ForgetSign(Intent):
    """The sign of this number, counted as the signs of the day were pressed, shall not count."""

    number: int


@dataclass(frozen=True)
class FreezeFactor(Intent):
    """Keep today's rate factor as it is, whatever is seen."""


@dataclass(frozen=True)
class FreeFactor(Intent):
    """Learn again, from what was seen meanwhile as well."""


@dataclass(frozen=True)
class LoseBatch(Intent):
    which: str
    why: str = ""


@dataclass(frozen=True)
class RejectBag(Intent):
    pour: str = ""
    why: str = ""


@dataclass(frozen=True)
class LoseVessel(Intent):
    station: str = ""
    why: str = ""


@dataclass(frozen=True)
class SoakPour(Intent):
    pour: str


@dataclass(frozen=True)
class CoverPour(Intent):
    pour: str
    cover: Cover = "sheet"


@dataclass(frozen=True)
class UncoverPour(Intent):
    pour: str


@dataclass(frozen=True)
class OpenPour(Intent):
    pour: str
    to: OpenTo = "feet"
    who: str = ""


@dataclass(frozen=True)
class CorrectPackets(Intent):
    batch: str
    packets: float


@dataclass(frozen=True)
class MarkAway(Intent):
    person: str


@dataclass(frozen=True)
class MarkBack(Intent):
    person: str


@dataclass(frozen=True)
class Assign(Intent):
    """Put a person on the next step of a row; on a pour not begun, on `work` of it or (empty) on what they do first."""

    person: str
    key: str
    work: Skill | Literal[""] = ""


@dataclass(frozen=True)
class SplitPour(Intent):
    """Stop at a joint: the filled share stays, the rest becomes a pour of its own. None: the share of bags tipped.

    A pour not begun is made two, None: halves.
    """

    pour: str
    share: float | None = None


@dataclass(frozen=True)
class SetDose(Intent):
    """Packets per bag of a pour's coming bags; None: as the plan chooses."""

    pour: str
    packets: float | None


@dataclass(frozen=True)
class SetFinish(Intent):
    pour: str
    finish: Finish


@dataclass(frozen=True)
class MovePour(Intent):
    """Take a pour of the queue just before another, or last of all."""

    pour: str
    before: str = ""


@dataclass(frozen=True)
class AddPour(Intent):
    """A patch measured on site. Without an id it gets the next free one, without a finish that of the last pour."""

    patch: Patch


@dataclass(frozen=True)
class TakeUpPour(Intent):
    """Do a pour today that was left for a later visit."""

    pour: str


@dataclass(frozen=True)
class LendHand(Intent):
    """Somebody also mixes, places or finishes from now on."""

    person: str
    skill: Skill


@dataclass(frozen=True)
class TakeWay(Intent):
    """A way out: what it is, in parts, and what it asks for, one after the other."""

    parts: Parts
    steps: tuple[Intent, ...] = ()


@dataclass(frozen=True)
class CatchUp(Intent):
    """Take every step that should long be over as done when it was due."""


@dataclass(frozen=True)
class StartTrial(Intent):
    mix: str = ""
    packets: float = 0.0


@dataclass(frozen=True)
class TrialStiff(Intent):
    mix: str = ""


@dataclass(frozen=True)
class TakeReading(Intent):
    values: ReadingTaken


@dataclass(frozen=True)
class WriteDown(Intent):
    """Something measured, ticked or agreed, as its event will say it; what the day itself knows is filled in."""

    body: Body


@dataclass(frozen=True)
class WriteNote(Intent):
    text: str
    where: str = ""


@dataclass(frozen=True)
class Shift(Intent):
    """Move the latest stamp by so many seconds."""

    by_s: float


@dataclass(frozen=True)
class Undo(Intent):
    """Take back the latest line still standing."""
