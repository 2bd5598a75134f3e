"""The access word: made anew each time, good for a day, compared without telling by time how much of it was right."""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass, field

DAY_S = 24 * 3600
SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"  # none that look alike: the word may have to be typed
GROUPS, OF = 3, 4  # 31 ** 12: 59 bits


@dataclass(frozen=True)
class Access:
    """A word and until when it opens the board, in seconds since 1970; the word is not shown with the value."""

    word: str = field(repr=False)
    until_s: float

    def admits(self, shown: str, now_s: float) -> bool:
        """Whether what was shown opens the board now."""
        same = hmac.compare_digest(shown.encode("utf-8", "replace"), self.word.encode())
        return same and now_s < self.until_s


def new_access(now_s: float) -> Access:
    """A word nobody has used before."""
    groups = ("".join(secrets.choice(SIGNS) for _ in range(OF)) for _ in range(GROUPS))
    return Access("-".join(groups), now_s + DAY_S)
