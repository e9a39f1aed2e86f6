"""Segments that sleep under even load and that uneven snow wakes.

Terms: a segment is *idle* in a run where its force is below a small part of the largest in that run. An *even* run
is one whose roof load is the same everywhere: balanced snow, roof live load. An *uneven* run holds unbalanced,
partial or drifted snow. Of a case entered by hand the reactions tell which it is. Tension positive. What counts as
idle is common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import SegmentId, Truss

IDLE: Final = 0.05
"""Part of the largest axial force of a run below which a segment is idle in it."""
EVEN: Final = frozenset({"uniform", "roof-live"})
UNEVEN: Final = frozenset({"unbalanced", "partial", "drift"})


def woken_by_drift(truss: Truss, results: Results) -> dict[SegmentId, RunId]:
    """Segments idle in every even run, with the uneven run that wakes each most, in the order of the truss."""
    even, uneven = runs_of(truss, results, EVEN), runs_of(truss, results, UNEVEN)
    largest = {run: _largest(results.runs[run]) for run in (*even, *uneven)}
    woken: dict[SegmentId, RunId] = {}
    for segment in truss.segments if even else ():
        if any(segment.id not in results.runs[run].segments for run in largest):
            continue
        axial = {run: abs(results.runs[run].segments[segment.id].axial) for run in largest}
        awake = [run for run in uneven if axial[run] > IDLE * largest[run]]
        if awake and all(axial[run] <= IDLE * largest[run] for run in even):
            woken[segment.id] = max(awake, key=lambda run: round(axial[run], 6))
    return woken


def runs_of(truss: Truss, results: Results, patterns: Iterable[str]) -> tuple[RunId, ...]:
    """The combinations with results that hold a case of one of these patterns, and no roof case of another."""
    wanted = frozenset(patterns)

    def fits(factors: Mapping[RunId, float]) -> bool:
        found = {pattern for case in factors if (pattern := _pattern(truss, results, case))}
        return bool(found) and found <= wanted

    return tuple(run for run, factors in truss.loads.combinations.items() if run in results.runs and fits(factors))


def _pattern(truss: Truss, results: Results, case: RunId) -> str | None:
    """How the roof load of a case lies: as it was generated, else by whether both bearings take half of it."""
    basis = truss.loads.basis
    if basis is not None and case in basis.cases:
        pattern = basis.cases[case].pattern
        return pattern if pattern in EVEN | UNEVEN else None
    if case not in results.runs or truss.loads.cases[case].kind not in {"snow", "roof-live"}:
        return None
    taken = [reaction.y for reaction in results.runs[case].reactions.values()]
    return "unbalanced" if max(taken) - min(taken) > IDLE * sum(map(abs, taken)) else "uniform"


def _largest(forces: RunForces) -> float:
    return max((abs(segment.axial) for segment in forces.segments.values()), default=0.0)
