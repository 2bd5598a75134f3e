"""What every event of a day has in common: a frozen payload with a kind and a version."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True)
class Body:
    """What an event says. `version` is written beside the kind and rises when the kind changes."""

    version: ClassVar[int] = 1


def kind_of(body: Body | type[Body]) -> str:
    """The kind as written in the log: `WaterAdded` is `water added`."""
    name = body.__name__ if isinstance(body, type) else type(body).__name__
    return re.sub(r"(?<!^)(?=[A-Z])", " ", name).lower()
