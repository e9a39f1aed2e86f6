"""Working shown: how a formula becomes a value with the lines that lead to it, and a check with its verdict.

Source marks say how a clause or a number is known. A plain number handed to a formula is marked as given; a
derivation brings its own lines.
"""

from __future__ import annotations

from math import floor, inf
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import GIVEN, SAME_VALUE, Check, Derivation, Line, Subject, Used

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

MEMORY: Final = "from memory"
SECONDARY: Final = "NDS-2018 as quoted in secondary copies"
STATED: Final = GIVEN
STATICS: Final = SAME_VALUE
PRACTICE: Final = "common practice, no source"
OWN: Final = "own derivation"

Figure = float | Derivation
"""A number that the caller states, or a derived one that brings its lines."""

Step = Line | Derivation | Used
"""What stands before a formula: a line, all that leads to a value, or a figure that the formula uses."""

SINGLE: Final = Subject()
NOTHING: Final = Derivation(value=0.0, told=())


def number(figure: Figure) -> float:
    """The bare value."""
    return figure.value if isinstance(figure, Derivation) else figure


def step(symbol: str, figure: Figure, unit: str) -> Used:
    """What puts a figure in front of the formula that uses it; its lines are made when somebody reads them."""
    return (symbol, figure, unit)


def shown(symbol: str, figure: Figure, unit: str) -> Derivation:
    """The figure as a derivation: a plain number gets a line of its own, marked as given."""
    return figure if isinstance(figure, Derivation) else stated(symbol, figure, unit)


def derived(
    symbol: str,
    value: float,
    unit: str,
    formula: str,
    clause: str,
    *steps: Step,
    source: str = MEMORY,
) -> Derivation:
    """A value with its own line after the steps that it uses; without a `source` it is from memory."""
    return Derivation(value, (*steps, (symbol, value, unit, formula, clause, source)))


def stated(symbol: str, value: float, unit: str = "", source: str = STATED, clause: str = "") -> Derivation:
    """A value that somebody gave, with the mark that says who or from what."""
    return Derivation(value, ((symbol, value, unit, "", clause, source),))


def require_positive(where: str, sizes: Mapping[str, float]) -> None:
    """Raise UsageError `impossible-distance` for the first size that is not a positive finite number."""
    for name, size in sizes.items():
        if not 0 < size < inf:
            raise UsageError(
                "impossible-distance",
                where=where,
                what=f"{name} is {size:g}.",
                do=f"Enter {name} as measured, greater than zero.",
            )


def require_known(where: str, given: str, known: Iterable[str]) -> None:
    """Raise UsageError `unknown-choice` for a word that is none of those known."""
    words = tuple(known)
    if given not in words:
        raise UsageError(
            "unknown-choice", where=where, what=f"{given!r} is not known.", do=f"Enter one of {', '.join(words)}."
        )


def require_angle(where: str, angle: float) -> None:
    """Raise UsageError `angle-outside` for an angle that is not between 0 and 90 degrees."""
    if not 0 <= angle <= 90:
        raise UsageError(
            "angle-outside",
            where=where,
            what=f"{angle:g} degrees is outside 0 to 90.",
            do="Enter the acute angle.",
        )


def half_up(value: float, step: float) -> float:
    """A value rounded to a step, halves upward, as printed tables do.

    The hair added keeps a half that binary arithmetic left just under itself (585 lbf, which prints 590).
    """
    return floor(value / step + 0.5 + 1e-9) * step


def set_against(
    *,
    what: str,
    clause: str,
    demand: Derivation,
    capacity: Derivation,
    unit: str,
    of: Subject,
    remarks: tuple[str, ...] = (),
    reason: str = "",
) -> Check:
    """A check of a demand against a capacity, both at least zero.

    No capacity under a demand is an infinite ratio; nothing to carry is the ratio zero.
    """
    ratio = demand.value / capacity.value if capacity.value > 0 else (inf if demand.value > 0 else 0.0)
    return Check(
        what,
        clause,
        of,
        demand.value,
        capacity.value,
        unit,
        ratio,
        Derivation(ratio, (demand, capacity)),
        reason,
        (*of.remarks, *remarks) if remarks else of.remarks,
    )


def interaction(
    *, what: str, clause: str, ratio: Derivation, of: Subject, reason: str = "", remarks: tuple[str, ...] = ()
) -> Check:
    """A check of several stresses together, whose limit is 1."""
    return Check(
        what=what,
        clause=clause,
        subject=of,
        demand=ratio.value,
        capacity=1.0,
        unit="",
        ratio=ratio.value,
        derivation=ratio,
        reason=reason,
        remarks=(*of.remarks, *remarks),
    )


def not_evaluated(
    *,
    what: str,
    clause: str,
    of: Subject,
    reason: str,
    demand: Derivation = NOTHING,
    unit: str = "",
    remarks: tuple[str, ...] = (),
) -> Check:
    """A check that could not be made, with why and, where it is known, the demand that must be carried."""
    return Check(
        what=what,
        clause=clause,
        subject=of,
        demand=demand.value if demand.told else None,
        capacity=None,
        unit=unit,
        ratio=None,
        derivation=demand,
        reason=reason,
        remarks=(*of.remarks, *remarks),
    )


def urgency(check: Check) -> tuple[int, float, str, str, str]:
    """Sorts over 1 first, then what is open, then the rest, each worst first."""
    ratio, of = check.ratio, check.subject
    if ratio is None:
        return 1, 0.0, of.element, of.run or "", check.what
    return 0 if ratio > 1 else 2, -ratio, of.element, of.run or "", check.what
