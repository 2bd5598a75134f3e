"""How numbers and moments are written: the words of the language, the signs of the terminal, the units of the job."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo

from engine.job.model import UnitSystem
from engine.words import Say, Words, amount
from tui.glyphs import BLOCKS, Glyphs
from tui.keymap import STANDARD, Keymap
from tui.paint.cells import clean

HOUR = 3600
LITRES_A_QUART = 0.946352946  # exact definition of the US liquid quart
MPH = 0.44704  # m/s, exact
KMH = 1 / 3.6
LB_FT2 = 4.8824276  # kg/m2 in a pound on a square foot


@dataclass(frozen=True)
class Pen:
    """Everything about writing that is not what is written. Without a zone, clock times are UTC."""

    words: Words
    glyphs: Glyphs = BLOCKS
    units: UnitSystem = "us"
    zone: tzinfo | None = None
    keys: Keymap = field(default=STANDARD, repr=False)

    def say(self, said: Say | str, **values: object) -> str:
        """A sentence, made harmless; one missing from the catalogue shows as its key rather than not at all."""
        try:
            text = self.words(said, **values)
        except (KeyError, IndexError, ValueError):
            text = _bare(said, values)
        return clean(text)

    def word(self, kind: str, name: str) -> str:
        """A word of the engine (a state, a stage, a pass) as the screen says it."""
        return self.say(f"{kind}.{name}") if f"{kind}.{name}" in self.words else clean(name.replace("_", " "))

    @property
    def answer(self) -> str:
        """How what stays on the screen is answered; empty where no key reaches the screen."""
        return self.say("banner.answer", key=self.key("answer")) if self.keys.live else ""

    def key(self, action: str) -> str:
        """The key that asks for an action; where it has none, the finder's key and what to type there."""
        return self.key_names(action)[0] if self.keys.keys[action] else self.key_and_label(action)

    def key_and_label(self, action: str) -> str:
        """An action by its key, or the finder's where it has none, and by its label."""
        key = (self.key_names(action) or self.key_names("find"))[0]
        return f"{key} {self.say(f'action.{action}')}"

    def key_names(self, action: str) -> tuple[str, ...]:
        """All keys of an action as the screen writes them, the one to be named first; none where it has none."""
        return tuple(self.word("key", name) for name in self.keys.named(action))

    def countdown(self, until: float, now: float) -> str:
        """Time to a moment, rounded up to whole seconds; from the moment on it counts up with a plus."""
        if not math.isfinite(until):
            return self.glyphs.rule
        left = math.ceil(round(until - now, 3))
        return span(left) if left >= 0 else f"+{span(-left)}"

    def short_countdown(self, until: float, now: float) -> str:
        """As the countdown, in six cells: from an hour on without the seconds."""
        left = until - now
        if not math.isfinite(left) or abs(left) < HOUR:
            return self.countdown(until, now)
        minutes = math.ceil(left / 60) if left > 0 else int(-left // 60)
        hours, minutes = divmod(minutes, 60)
        if left < 0 or hours >= 10:
            return f"{'+' if left < 0 else ''}{hours} h"
        return f"{hours} h {minutes:02}"

    def sure(self, sure_s: float) -> str:
        """How far a moment may be off either way; empty where it is not in doubt."""
        return f"{self.glyphs.about}{span(round(sure_s))}" if math.isfinite(sure_s) and sure_s >= 0.5 else ""

    def clock(self, at: float, seconds: bool = True) -> str:
        """Time of day at the site."""
        moment = datetime.fromtimestamp(math.floor(at), self.zone or UTC)
        return moment.strftime("%H:%M:%S" if seconds else "%H:%M")

    def water(self, litres: float) -> str:
        """Water with its unit."""
        return self.say(f"unit.water.{self.units}", value=decimal(self.water_value(litres), 2))

    def water_value(self, litres: float) -> float:
        return litres / LITRES_A_QUART if self.units == "us" else litres

    def temperature(self, celsius: float) -> str:
        """Degrees without their unit, which stands once a line."""
        return f"{celsius * 1.8 + 32:.0f}" if self.units == "us" else f"{celsius:.1f}"

    def degrees(self) -> str:
        return self.glyphs.degree + ("F" if self.units == "us" else "C")

    def speed(self, ms: float) -> str:
        """Wind with its unit."""
        value = ms / MPH if self.units == "us" else ms / KMH
        return self.say(f"unit.speed.{self.units}", value=f"{value:.0f}")

    def drying(self, kg_m2_h: float) -> str:
        """Evaporation with its unit."""
        value = kg_m2_h / LB_FT2 if self.units == "us" else kg_m2_h
        return self.say(f"unit.drying.{self.units}", value=f"{value:.2f}")

    def bags(self, count: float) -> str:
        return clean(self.words.counted("count.bag", amount(count)))

    def packets(self, count: float) -> str:
        if count == 0:
            return self.say("count.no_packets")
        return clean(self.words.counted("count.packet", amount(count)))

    def flag(self, flag: str) -> str:
        """A flag of a pour; what is not ticked stands behind its colon."""
        word, _, points = flag.partition(": ")
        told = self.words.of_family("flag", word)
        return clean(f"{told}: {self.words.of_family('tick', points)}" if points else told)


def span(seconds: int) -> str:
    """Whole seconds as `m:ss`, from an hour on `h:mm:ss`, from ten hours on whole hours."""
    if seconds >= 10 * HOUR:
        return f"{seconds // HOUR} h"
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def decimal(value: float, places: int) -> str:
    """Rounded, without empty places."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _bare(said: Say | str, values: dict[str, object]) -> str:
    key, pairs = (said.key, said.values) if isinstance(said, Say) else (said, tuple(values.items()))
    return " ".join([key, *(f"{name}={value}" for name, value in pairs)])
