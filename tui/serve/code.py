"""A link as a QR code (ISO/IEC 18004) in a terminal: black on white whatever its own colours, two rows of squares a line."""

from __future__ import annotations

from collections.abc import Sequence

BLACK_ON_WHITE, AS_BEFORE = "\x1b[38;2;0;0;0;48;2;255;255;255m", "\x1b[0m"
HALVES = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}
QUIET = 4  # squares of white around it, as the standard wants

Squares = Sequence[Sequence[int]]


def drawn(squares: Squares) -> tuple[str, ...]:
    """The lines of a code; 1 is a dark square."""
    width = len(squares[0]) + 2 * QUIET
    blank = [0] * width
    rows = [[0] * QUIET + [int(bool(one)) for one in row] + [0] * QUIET for row in squares]
    rows = [blank] * QUIET + rows + [blank] * (QUIET + len(rows) % 2)
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return tuple(
        BLACK_ON_WHITE + "".join(HALVES[pair] for pair in zip(*two, strict=True)) + AS_BEFORE for two in pairs
    )


def code_of(link: str) -> tuple[str, ...]:
    """The lines of the code of a link."""
    import segno

    return drawn([list(row) for row in segno.make_qr(link, error="m").matrix])
