"""Sparse elimination in exact rational arithmetic: rows of a system given as unknown -> coefficient.

The shortest row gives away the unknown that stands in fewest other rows, which keeps rows short where equations
reach from one joint to the next only. Standard library only.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from fractions import Fraction

    Row = dict[int, Fraction]
    Pivot = tuple[int, Row, Fraction]


def eliminate(rows: Iterable[Mapping[int, Fraction]], right: Sequence[Fraction]) -> dict[int, Fraction]:
    """The unknowns that the rows settle. A row that contradicts the others is left to whoever checks them."""
    open_rows = {number: (dict(row), right[number]) for number, row in enumerate(rows)}
    stands_in: dict[int, set[int]] = {}
    for number, (row, _) in open_rows.items():
        for unknown in row:
            stands_in.setdefault(unknown, set()).add(number)
    shortest = [(len(row), number) for number, (row, _) in open_rows.items()]
    heapify(shortest)
    pivots: list[Pivot] = []
    while shortest:
        length, number = heappop(shortest)
        if number not in open_rows or length != len(open_rows[number][0]):
            continue  # taken, or grown or shrunk since it was put down
        row, value = open_rows.pop(number)
        if not row:
            continue
        for unknown in row:
            stands_in[unknown].discard(number)
        pivot = min(row, key=lambda unknown: len(stands_in[unknown]))
        top = row.pop(pivot)
        taken = (pivot, {unknown: part / top for unknown, part in row.items()}, value / top)
        pivots.append(taken)
        for other in sorted(stands_in.pop(pivot)):
            open_rows[other] = _without(open_rows[other], taken, other, stands_in)
            heappush(shortest, (len(open_rows[other][0]), other))
    return _back(pivots)


def _without(
    line: tuple[Row, Fraction], pivot: Pivot, number: int, stands_in: Mapping[int, set[int]]
) -> tuple[Row, Fraction]:
    """A row with its pivot unknown taken out by the pivot's own row."""
    row, value = line
    unknown, of, pivot_value = pivot
    factor = row.pop(unknown)
    for other, part in of.items():
        rest = row.get(other, 0) - factor * part
        if rest:
            row[other] = rest
            stands_in[other].add(number)
        elif other in row:
            del row[other]
            stands_in[other].discard(number)
    return row, value - factor * pivot_value


def _back(pivots: Sequence[Pivot]) -> dict[int, Fraction]:
    """Answers from the last pivot to the first; what hangs on an unknown that no row settles gets none."""
    answers: dict[int, Fraction] = {}
    for unknown, row, value in reversed(pivots):
        if all(other in answers for other in row):
            answers[unknown] = value - sum(part * answers[other] for other, part in row.items())
    return answers
