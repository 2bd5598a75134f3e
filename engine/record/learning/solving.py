"""Small symmetric systems by Cholesky's square roots: a dozen unknowns at most, no library needed."""

from __future__ import annotations

import math
from collections.abc import Sequence

Matrix = list[list[float]]


def root(matrix: Sequence[Sequence[float]]) -> Matrix:
    """The lower triangle L with L·Lᵀ the matrix. Raises `ValueError` where it is not positive definite."""
    size = len(matrix)
    low = [[0.0] * size for _ in range(size)]
    for row in range(size):
        for column in range(row + 1):
            rest = matrix[row][column] - sum(low[row][k] * low[column][k] for k in range(column))
            if row != column:
                low[row][column] = rest / low[column][column]
            elif rest > 0.0:
                low[row][row] = math.sqrt(rest)
            else:
                raise ValueError("the unknowns cannot be told apart")
    return low


def solve(low: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """x of L·Lᵀ·x = right."""
    size = len(low)
    half: list[float] = []
    for row in range(size):
        half.append((right[row] - sum(low[row][k] * half[k] for k in range(row))) / low[row][row])
    found = [0.0] * size
    for row in reversed(range(size)):
        below = sum(low[k][row] * found[k] for k in range(row + 1, size))
        found[row] = (half[row] - below) / low[row][row]
    return found


def inverse(low: Sequence[Sequence[float]]) -> Matrix:
    """The inverse of L·Lᵀ."""
    size = len(low)
    return [solve(low, [float(n == column) for n in range(size)]) for column in range(size)]


def log_determinant(low: Sequence[Sequence[float]]) -> float:
    """ln det of L·Lᵀ."""
    return 2.0 * sum(math.log(low[n][n]) for n in range(len(low)))
