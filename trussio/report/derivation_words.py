"""How the numbers of a derivation are written: figures for a pocket calculator, clauses and source marks."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from trussio.model.check import Check, Line

FROM_MEMORY: Final = "from memory"
TO_CHECK: Final = "from memory, check against the licensed text"
HOW_TO_READ: Final = "A symbol means the nearest value above it; forces are those of one ply."


def figure(value: float) -> str:
    """A number to six figures, or that it has no bound."""
    return "without bound" if value == inf else f"{value:,.6g}"


def mark(line: Line) -> str:
    """Clause and source mark of a line; what is from memory asks to be checked."""
    source = line.source.replace(FROM_MEMORY, TO_CHECK, 1)
    return "; ".join(filter(None, (line.clause, source)))


def quotient(check: Check) -> str:
    """The last division of a check of one stress; empty for an interaction and for what was not evaluated."""
    if check.ratio is None or check.interaction:
        return ""
    demand, capacity = figure(check.demand or 0.0), figure(check.capacity or 0.0)
    return f"{demand} / {capacity} {check.unit} = {check.reads}"
