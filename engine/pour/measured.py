"""What is measured, ticked and agreed around the pours, as events: none of them moves a clock.

Depths and change orders alone change the day: from then on the pour is as deep as they say. Lengths in metres, slopes as
rise over level length, temperatures in °C, times in seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engine.job.changes import BagChange
from engine.job.handover import Sounding, WetFeel
from engine.job.returns import Kind as Look
from engine.pour.body import Body
from engine.site.coating import Coat

When = Literal["before", "after"]
Tick = Literal["sound", "square", "clean", "deep", "joint", "forms"]


@dataclass(frozen=True)
class LotNoted(Body):
    """The lot printed on a bag: of one batch, or with `batch` empty of every bag from now on (of one mix, if named)."""

    lot: str
    batch: str = ""
    mix: str = ""


@dataclass(frozen=True)
class WaterMeasured(Body):
    """Water that went into a batch in all, in litres."""

    batch: str
    water_l: float


@dataclass(frozen=True)
class BagWeighed(Body):
    """A bag on a scale; `mix` empty: of the pour that is first in the queue."""

    mass_kg: float
    mix: str = ""


@dataclass(frozen=True)
class DepthsRead(Body):
    """Depth readings of a hole; they replace all earlier ones."""

    pour: str
    depths_m: tuple[float, ...]


@dataclass(frozen=True)
class Ticked(Body):
    """Points of readiness looked at and found in order, so many seconds ago."""

    pour: str
    ticks: tuple[Tick, ...]
    ago_s: float = 0.0


@dataclass(frozen=True)
class SlopeRead(Body):
    """Slopes at a spot; None: not read. `off` is how far a reading may be off either way."""

    pour: str
    when: When
    running: float | None = None
    cross: float | None = None
    running_off: float = 0.0
    cross_off: float = 0.0
    spot: str = ""


@dataclass(frozen=True)
class LipRead(Body):
    """A change of level at an edge: its height, the upright part of it, the level length of the bevel."""

    pour: str
    when: When
    height_m: float
    upright_m: float
    bevel_run_m: float = 0.0
    spot: str = ""


@dataclass(frozen=True)
class GapRead(Body):
    """The widest gap under a straightedge."""

    pour: str
    when: When
    gap_m: float
    spot: str = ""


@dataclass(frozen=True)
class StepsRead(Body):
    """Every riser, or every tread, of a flight from the bottom up."""

    pour: str
    when: When
    of: Literal["risers", "treads"]
    sizes_m: tuple[float, ...]


@dataclass(frozen=True)
class NosingRead(Body):
    """The rounding of a step's edge and how far it stands out."""

    pour: str
    radius_m: float
    projection_m: float


@dataclass(frozen=True)
class RampMeasured(Body):
    """One run of a ramp: its rise, the clear width, the length of the landing."""

    pour: str
    rise_m: float
    clear_width_m: float
    landing_m: float


@dataclass(frozen=True)
class Sounded(Body):
    """What a hammer or chain said of a finished pour."""

    pour: str
    heard: Sounding


@dataclass(frozen=True)
class WetFelt(Body):
    """How a finished surface grips when wet."""

    pour: str
    felt: WetFeel


@dataclass(frozen=True)
class ChangeOrdered(Body):
    """A change of scope before the hole is filled; `initials` empty: not yet agreed."""

    pour: str
    reason: str
    depths_before_m: tuple[float, ...]
    depths_m: tuple[float, ...]
    bags: tuple[BagChange, ...] = ()
    price: float = 0.0
    initials: str = ""


@dataclass(frozen=True)
class CoatingRead(Body):
    """Readings for the coating gate; None: not read."""

    pour: str
    coat: Coat = "film"
    label_age_s: float | None = None
    sheet_s: float | None = None
    sheet_damp: bool = False
    surface_c: float | None = None
    air_c: float | None = None
    humidity: float | None = None
    dry_for_s: float | None = None
    dry_ahead_s: float | None = None
    grit: bool | None = None
    ph: float | None = None


@dataclass(frozen=True)
class VisitAgreed(Body):
    """The day, ISO, on which a later visit is made."""

    visit: int
    day: str


@dataclass(frozen=True)
class LookMade(Body):
    """A look at the finished work was made."""

    look: Look


KINDS: tuple[type[Body], ...] = tuple(Body.__subclasses__())
