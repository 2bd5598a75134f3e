"""Lines of several logs in one order: by the wall clock of their presses, lines that belong together left together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engine.record.lines import Line

Span = tuple[int, int]  # places in a log, first and last, counted from 0


@dataclass(frozen=True)
class Block:
    """Lines of one log that nothing may come between. Wall times of its first press and of its latest."""

    first: int
    last: int
    begins: float
    ends: float


def interleaved(logs: Sequence[Sequence[Line]]) -> list[tuple[int, int]]:
    """The order of all lines: which log, and which place in it, counted from 0. Each log keeps its own order.

    A log begins before a block of another that was still being written then, so that its clock is set against what
    came before it.
    """
    queues = [blocks(log) for log in logs]
    heads = [0] * len(queues)
    order: list[tuple[int, int]] = []
    while waiting := [n for n, queue in enumerate(queues) if heads[n] < len(queue)]:
        n = _next(waiting, queues, heads)
        block = queues[n][heads[n]]
        heads[n] += 1
        order += [(n, place) for place in range(block.first, block.last + 1)]
    return order


def _next(waiting: Sequence[int], queues: Sequence[Sequence[Block]], heads: Sequence[int]) -> int:
    """The log whose block is next; of two at one moment, the log named first."""
    n = min(waiting, key=lambda n: (queues[n][heads[n]].begins, n))
    beginning = [m for m in waiting if heads[m] == 0 and queues[m][0].begins < queues[n][heads[n]].ends]
    return n if heads[n] == 0 or not beginning else min(beginning, key=lambda m: queues[m][0].begins)


def blocks(log: Sequence[Line]) -> list[Block]:
    """A log in blocks: lines written by one press, and everything from a line to the one that takes it back.

    An undo takes back the latest line standing, whichever log that is of: no other line may have come between.
    """
    found: list[Block] = []
    for first, last in _merged([*_pressed_at_once(log), *_taken_back(log)]):
        walls = [line.stamp.wall for line in log[first : last + 1]]
        found.append(Block(first, last, walls[0], max(walls)))
    return found


def _pressed_at_once(log: Sequence[Line]) -> Iterator[Span]:
    """Runs of lines with one stamp; the first line of a log stands alone."""
    first = 0
    for place in range(1, len(log) + 1):
        if place == 1 or place == len(log) or log[place].stamp != log[first].stamp:
            yield first, place - 1
            first = place


def _taken_back(log: Sequence[Line]) -> Iterator[Span]:
    for place, line in enumerate(log):
        if line.kind == "undone":
            yield int(line.data["seq"]) - 1, place


def _merged(spans: Sequence[Span]) -> list[Span]:
    """Spans that share a place become one."""
    found: list[Span] = []
    for first, last in sorted(spans):
        if found and first <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], last))
        else:
            found.append((first, last))
    return found
