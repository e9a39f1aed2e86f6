"""Checks: how near an element is to its allowable, and the arithmetic that a person can follow.

Terms: a *line* is one step for a pocket calculator: symbol, value, unit, the formula in symbols of the lines
above, the clause, and the *source mark* that says how the clause is known (`from memory`, `stated`, ...). A
*derivation* is a value with the lines that lead to it. A *check* sets a demand against a capacity. `met` and
`not met` follow from the ratio alone; what could not be evaluated says why and never looks like a pass.

A review makes tens of thousands of derivations and a reader opens a few: what a formula uses is kept as it was
handed over, and its lines are made when somebody reads them.
"""

from __future__ import annotations

from math import inf
from typing import Final, Literal, NamedTuple

CheckVerdict = Literal["met", "not met", "not evaluated"]

GIVEN: Final = "given"
"""The mark of a number that a formula was handed bare."""
SAME_VALUE: Final = "statics"
"""The mark of a line that gives a value above it another symbol (`fb1 = fb`)."""
LEAST_SHOWN = 0.005
MOST_DECIMALS = 6


class Line(NamedTuple):
    """One step of a derivation."""

    symbol: str
    value: float
    unit: str
    formula: str
    clause: str
    source: str


class Derivation(NamedTuple):
    """A value and what leads to it: lines, and derivations whose values the last line uses.

    `told` holds them as they were handed over: a line as its bare fields too, and what a formula uses as symbol,
    figure and unit. `steps` makes lines and derivations of it.
    """

    value: float
    told: tuple[Told, ...]

    @property
    def steps(self) -> tuple[Line | Derivation, ...]:
        """The lines and derivations that lead to the value."""
        return tuple(map(_step, self.told))

    @property
    def last(self) -> Line | None:
        """The line of the value itself; None where it stands on derivations alone."""
        step = _step(self.told[-1]) if self.told else None
        return step if isinstance(step, Line) else None

    @property
    def lines(self) -> tuple[Line, ...]:
        """Every line in the order in which a pocket calculator needs them.

        A line stands again where its symbol had another value since, so that a formula always means the nearest
        value above it.
        """
        told: list[Line] = []
        _tell(self, {}, told)
        return tuple(told)

    def figure(self, symbol: str) -> float:
        """The value of the last line with this symbol; KeyError where there is none."""
        for line in reversed(self.lines):
            if line.symbol == symbol:
                return line.value
        raise KeyError(symbol)


Fields = tuple[str, float, str, str, str, str]
"""The fields of a line."""
Used = tuple[str, float | Derivation, str]
"""A figure that a formula uses: the symbol by which it goes there, the number or what leads to it, the unit."""
Told = Line | Derivation | Fields | Used


def _step(told: Told) -> Line | Derivation:
    """A line or derivation of what was handed over.

    A bare number gets a line marked as given; a derived figure brings its own lines, and one more where it goes by
    another symbol.
    """
    if isinstance(told, (Line, Derivation)):
        return told
    if len(told) == 6:
        return Line(*told)
    symbol, figure, unit = told
    if not isinstance(figure, Derivation):
        return Line(symbol, figure, unit, "", "", GIVEN)
    last = figure.last
    if last is None or last.symbol == symbol:
        return figure
    return Derivation(figure.value, (figure, Line(symbol, figure.value, last.unit, last.symbol, "", SAME_VALUE)))


def _tell(derivation: Derivation, latest: dict[str, Line], told: list[Line]) -> None:
    """Add the lines of a derivation that do not stand above as the latest value of their symbol."""
    for step in derivation.steps:
        last = step if isinstance(step, Line) else step.last
        if last is not None and latest.get(last.symbol) == last:
            continue
        if isinstance(step, Derivation):
            _tell(step, latest, told)
        else:
            latest[step.symbol] = step
            told.append(step)


class Subject(NamedTuple):
    """What is checked: a JSON Pointer or a name, under which run, and on what grade the values rest.

    `remarks` hold for every check of it (a gross section, an assumed moisture).
    """

    element: str = "single check"
    run: str | None = None
    grade: str = ""
    remarks: tuple[str, ...] = ()


class Check(NamedTuple):
    """A demand against a capacity; a tuple, since a review makes thousands of them.

    `what` is the check in words. `demand` and `capacity` are in `unit`; an interaction has no unit and the
    capacity 1. `ratio` is demand over capacity: None where it was not evaluated, infinite where no load at all
    is permitted or the amplified moment has no bound. `reason` explains both, empty otherwise. `remarks` are
    sentences that a reader must see beside the ratio.
    """

    what: str
    clause: str
    subject: Subject
    demand: float | None
    capacity: float | None
    unit: str
    ratio: float | None
    derivation: Derivation
    reason: str = ""
    remarks: tuple[str, ...] = ()

    @property
    def element(self) -> str:
        """The JSON Pointer or the name of what is checked."""
        return self.subject.element

    @property
    def run(self) -> str | None:
        """The run whose forces are the demand, None for a check outside a truss."""
        return self.subject.run

    @property
    def interaction(self) -> bool:
        """Whether several stresses were combined, so that the ratio is no per cent of one allowable."""
        return self.unit == ""

    @property
    def reads(self) -> str:
        """The ratio in words."""
        return ratio_words(self.ratio, interaction=self.interaction)

    @property
    def verdict(self) -> CheckVerdict:
        """`met` up to and including the allowable, by the ratio alone."""
        if self.ratio is None:
            return "not evaluated"
        return "met" if self.ratio <= 1.0 else "not met"


def ratio_words(ratio: float | None, *, interaction: bool = False) -> str:
    """How a ratio reads: `113 %` of one allowable, `interaction 1.20` of several stresses together.

    So many decimals are shown that a ratio over 1 never reads as 1, nor one below it.
    """
    if ratio is None:
        return "not evaluated"
    if ratio == inf:
        return "without bound" if interaction else "no capacity"
    unit, least = (1.0, 2) if interaction else (100.0, 0)
    if not interaction and 0 < ratio < LEAST_SHOWN:
        return "under 1 %"
    for decimals in range(least, least + MOST_DECIMALS):
        shown = round(ratio * unit, decimals)
        if (shown > unit) == (ratio > 1) and (shown < unit) == (ratio < 1):
            return f"interaction {shown:.{decimals}f}" if interaction else f"{shown:.{decimals}f} %"
    side = "over" if ratio > 1 else "under"
    return f"interaction just {side} 1" if interaction else f"just {side} 100 %"
