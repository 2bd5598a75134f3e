"""What a viewer may ask for: a window of a sensible size, and a seat while there is one."""

from __future__ import annotations

from dataclasses import dataclass

WIDTHS = (20, 200)  # cells
HEIGHTS = (10, 100)
USUAL = (80, 24)
LONGEST = 9  # figures of a number that is worth reading
SEATS = 4  # a process each, of about 60 MB

Size = tuple[int, int]


def window(width: object, height: object) -> Size:
    """The size asked for, within bounds; what is no number is taken as usual."""
    return _within(width, WIDTHS, USUAL[0]), _within(height, HEIGHTS, USUAL[1])


def _within(asked: object, bounds: tuple[int, int], usual: int) -> int:
    least, most = bounds
    return max(least, min(most, _number(asked, usual)))


def _number(asked: object, usual: int) -> int:
    if isinstance(asked, int) and not isinstance(asked, bool):
        return asked
    if isinstance(asked, str) and asked.isascii() and asked.isdigit() and len(asked) <= LONGEST:
        return int(asked)
    return usual


@dataclass
class Seats:
    """How many look on at once."""

    most: int = SEATS
    taken: int = 0

    @property
    def full(self) -> bool:
        return self.taken >= self.most

    def take(self) -> bool:
        """Whether there was one left."""
        if self.full:
            return False
        self.taken += 1
        return True

    def free(self) -> None:
        """Give one back."""
        self.taken -= 1
