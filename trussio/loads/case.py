"""A load case in the making: what it is, by which rule, from which numbers, and its diagram or loads."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.model.check import Line

if TYPE_CHECKING:
    from trussio.loads.diagram import Diagram
    from trussio.model.loading import CaseKind
    from trussio.model.site import Pattern


class Rule(NamedTuple):
    """Where a rule stands and how it is known."""

    clause: str
    mark: str


class RoofCase(NamedTuple):
    """A case that is one diagram over the roof, in the document's unit of area load on plan.

    `accidental` cases (exceptional snow of EN 1991-1-3) are combined as accidental actions.
    """

    name: str
    kind: CaseKind
    pattern: Pattern
    says: str
    rule: Rule
    lines: tuple[Line, ...]
    diagram: Diagram
    accidental: bool = False


class Covered(NamedTuple):
    """Cases over the roof, what they leave out in words, and what was assumed: a pointer and a sentence each."""

    cases: tuple[RoofCase, ...] = ()
    left_out: tuple[str, ...] = ()
    assumed: tuple[tuple[str, str], ...] = ()


def stated(symbol: str, value: float, unit: str, clause: str, source: str) -> Line:
    """A number that is given or looked up."""
    return Line(symbol, value, unit, "", clause, source)


def worked(symbol: str, value: float, unit: str, formula: str, rule: Rule) -> Line:
    """A number that follows from those above it."""
    return Line(symbol, value, unit, formula, rule.clause, rule.mark)
