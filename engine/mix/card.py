"""The mix card: what one bag's label says, in SI units. Ages are set age, seconds from water contact."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["no aggregate", "sanded", "small stone"]
WorkingFrom = Literal["end of mixing", "water contact"]


@dataclass(frozen=True)
class Bag:
    mass_kg: float
    yield_m3: float
    price: float | None = None


@dataclass(frozen=True)
class Water:
    """Litres per bag."""

    low_l: float
    target_l: float
    high_l: float


@dataclass(frozen=True)
class Depth:
    """One lift."""

    min_m: float
    max_m: float
    largest_stone_m: float | None = None


@dataclass(frozen=True)
class Setting:
    """The card's clock: Arrhenius constants, working time and sets."""

    reference_c: float
    activation_j_mol: float
    working_s: float
    working_from: WorkingFrom
    initial_set_s: float
    final_set_s: float


@dataclass(frozen=True)
class Window:
    """Set ages between which a pass belongs."""

    open_s: float
    due_s: float
    late_s: float
    lost_s: float


@dataclass(frozen=True)
class Passes:
    """Windows of the passes; a float left out follows tip and first trowel."""

    first_trowel: Window
    second_trowel: Window | None = None
    broom: Window | None = None
    float: Window | None = None


@dataclass(frozen=True)
class Retarder:
    """Stretch of the clock at packets per bag; the first point is 1 at 0."""

    packets: tuple[float, ...] = (0.0,)
    stretch: tuple[float, ...] = (1.0,)


@dataclass(frozen=True)
class Heat:
    """Adiabatic hydration rise: rise_k · (1 − exp(−A / age_s))."""

    rise_k: float = 0.0
    age_s: float = 1200.0


@dataclass(frozen=True)
class Strength:
    """Compressive strength at set ages (at the reference temperature)."""

    age_s: tuple[float, ...] = ()
    value_pa: tuple[float, ...] = ()


@dataclass(frozen=True)
class Opening:
    """Label times to feet and to wheels: clock seconds at least, set age as well."""

    feet_s: float
    wheels_s: float


@dataclass(frozen=True)
class MixCard:
    """One mix. `key` is the file name without its ending, by which jobs refer to it."""

    key: str
    name: str
    kind: Kind
    bag: Bag
    water: Water
    depth: Depth
    mixing_s: float
    setting: Setting
    passes: Passes
    retarder: Retarder
    heat: Heat
    strength: Strength
    opening: Opening
    sources: tuple[tuple[str, str], ...] = ()

    @property
    def workable_s(self) -> float:
        """Set age at which the mix stops being workable, from water contact."""
        mixing = self.mixing_s if self.setting.working_from == "end of mixing" else 0.0
        return self.setting.working_s + mixing
