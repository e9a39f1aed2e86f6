"""What is computed of an element so that rules can say why it stands where it does.

Terms: the *run* is that of the governing check; its *moved* loads are those that come and go (snow, wind, live),
the rest is held. A load is *even* when it weighs as much left of the middle of the span as right of it: its
reactions then have their resultant in the middle. The *even run* beside an uneven one has the same kinds of load
and the same loads held, and is even.
Signs: tension positive. Forces in the document's units. Source: statics.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import inf
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.model.loading import RunId
from trussio.timber.limits import HELD, SLENDERNESS
from trussio.timber.review import checks_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.check import Check
    from trussio.model.forces import Results, SegmentForces
    from trussio.model.truss import Segment, Truss
    from trussio.timber.bench import Bench, State

EVEN: Final = 0.02
"""How far from the middle, as a part of the span, the resultant of an even load may be."""
ROUNDING: Final = 1e-9
SHEAR: Final = "shear"
TRACE: Final = 1e-4
"""What stays of the axial force beside bending alone, so that the checks of both are made all the same."""


class Alone(NamedTuple):
    """The ratio that the axial force alone would give, and the bending moment alone."""

    axial: float
    bending: float


@dataclass(frozen=True, kw_only=True)
class Facts:
    """One element under its run. `segment` is None for a joint or connection; `checks` are all of the element."""

    bench: Bench
    segment: Segment | None
    check: Check
    state: State
    checks: tuple[Check, ...]

    @property
    def truss(self) -> Truss:
        """The truss."""
        return self.bench.truss

    @property
    def run(self) -> RunId:
        """The run of the governing check."""
        return self.state.run

    @cached_property
    def forces(self) -> SegmentForces | None:
        """The forces of the segment in the run."""
        return None if self.segment is None else self.bench.forces(self.run, self.segment.id)

    @property
    def slender(self) -> bool:
        """Whether slenderness itself governs, whatever the load."""
        return self.check.what.startswith(SLENDERNESS)

    @cached_property
    def worst_by_run(self) -> Mapping[str, Check]:
        """The worst check of each run, slenderness left out."""
        worst: dict[str, Check] = {}
        for check in self.checks:
            if check.run is None or check.ratio is None or check.what.startswith(SLENDERNESS):
                continue
            known = worst.get(check.run)
            if known is None or check.ratio > (known.ratio or 0.0):
                worst[check.run] = check
        return worst

    @cached_property
    def held_run(self) -> State | None:
        """The run of the loads that stay, alone."""
        held = {case: factor for case, factor in self.factors.items() if case not in self.moved}
        for state in self.bench.states:
            if self._factors(state.run) == held:
                return state
        return None

    @cached_property
    def factors(self) -> Mapping[RunId, float]:
        """The cases of the run that count, with their factors."""
        return self._factors(self.run)

    @cached_property
    def moved(self) -> tuple[RunId, ...]:
        """Those of its cases that come and go."""
        cases = self.truss.loads.cases
        return tuple(case for case in self.factors if cases[case].kind not in HELD)

    def _factors(self, run: RunId) -> dict[RunId, float]:
        return {case: factor for case, factor in self.truss.loads.runs.get(run, {}).items() if factor}

    @cached_property
    def even_run(self) -> RunId | None:
        """The even run beside this uneven one, None where this one is even or has none beside it."""
        if not self.moved or not lean(self.truss, self.bench.results, self._of_moved(self.run)):
            return None
        held = {case: factor for case, factor in self.factors.items() if case not in self.moved}
        for state in self.bench.states:
            moved = self._of_moved(state.run)
            stays = {case: factor for case, factor in self._factors(state.run).items() if case not in moved}
            alike = state.kinds == self.state.kinds and stays == held
            if alike and lean(self.truss, self.bench.results, moved) == "":
                return state.run
        return None

    def _of_moved(self, run: RunId) -> Mapping[RunId, float]:
        cases = self.truss.loads.cases
        return {case: factor for case, factor in self._factors(run).items() if cases[case].kind not in HELD}

    @cached_property
    def axial_by_case(self) -> Mapping[RunId, float]:
        """What each case of the run adds to the axial force; empty where a case was not calculated by itself."""
        runs, segment = self.bench.results.runs, self.segment
        if segment is None or not set(self.factors) <= set(runs):
            return {}
        return {case: factor * runs[case].segments[segment.id].axial for case, factor in self.factors.items()}

    @cached_property
    def alone(self) -> Alone | None:
        """The real checks made again without moment, and without axial force; None for what is no segment."""
        forces, segment = self.forces, self.segment
        if forces is None or segment is None:
            return None
        straight = forces._replace(moment=(0.0, 0.0), moment_peak=0.0)
        first, last = forces.axial_ends
        bent = forces._replace(axial=forces.axial * TRACE, axial_ends=(first * TRACE, last * TRACE))
        return Alone(axial=self._ratio_of(segment, straight), bending=self._ratio_of(segment, bent))

    def _ratio_of(self, segment: Segment, forces: SegmentForces) -> float:
        results, run = self.bench.results, self.bench.results.runs[self.run]
        runs = {self.run: replace(run, segments={**run.segments, segment.id: forces})}
        checks = checks_of(self.bench.under(replace(results, runs=runs), (self.state,)), segment.id)
        return max((known for known in map(_strength, checks) if known is not None), default=0.0)

    def figure(self, symbol: str, checks: Iterable[Check] | None = None) -> float | None:
        """The value of a symbol in the governing check, or in others; None where it does not stand there."""
        for check in (self.check,) if checks is None else checks:
            try:
                return check.derivation.figure(symbol)
            except KeyError:
                continue
        return None


def _strength(check: Check) -> float | None:
    """The ratio of a check of axial force or bending."""
    return None if check.what.startswith((SLENDERNESS, SHEAR)) else check.ratio


def lean(truss: Truss, results: Results, factors: Mapping[RunId, float]) -> str | None:
    """The side on which loads weigh more, empty where they are even, None where it cannot be told."""
    if not factors or not set(factors) <= set(results.runs):
        return None
    low, high = inf, -inf
    total = moment = 0.0
    for case, factor in factors.items():
        for joint, reaction in results.runs[case].reactions.items():
            x = truss.joints[joint].x
            low, high = min(low, x), max(high, x)
            total += factor * reaction.y
            moment += factor * (reaction.y * x + reaction.turn)
    if not total or not high > low:
        return None
    off = (moment / total - (low + high) / 2) / (high - low)
    return "" if abs(off) <= EVEN + ROUNDING else "left" if off < 0 else "right"
