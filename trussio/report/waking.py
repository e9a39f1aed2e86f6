"""Segments that sleep under even load and that uneven snow wakes.

Terms: a segment is *idle* in a run where its force is below a small part of the largest in that run. An *even* run
is one whose roof load is the same everywhere: balanced snow, roof live load. An *uneven* run holds unbalanced,
partial or drifted snow. Tension positive. What counts as idle is common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import Loads, RunId
    from trussio.model.truss import SegmentId, Truss

IDLE: Final = 0.05
"""Part of the largest axial force of a run below which a segment is idle in it."""
EVEN: Final = frozenset({"uniform", "roof-live"})
UNEVEN: Final = frozenset({"unbalanced", "partial", "drift"})


def woken_by_drift(truss: Truss, results: Results) -> dict[SegmentId, RunId]:
    """Segments idle in every even run, with the uneven run that wakes each most, in the order of the truss."""
    even = [run for run in runs_of(truss.loads, EVEN) if run in results.runs]
    uneven = [run for run in runs_of(truss.loads, UNEVEN) if run in results.runs]
    largest = {run: _largest(results.runs[run]) for run in (*even, *uneven)}
    woken: dict[SegmentId, RunId] = {}
    for segment in truss.segments if even else ():
        axial = {run: abs(results.runs[run].segments[segment.id].axial) for run in largest}
        awake = [run for run in uneven if axial[run] > IDLE * largest[run]]
        if awake and all(axial[run] <= IDLE * largest[run] for run in even):
            woken[segment.id] = max(awake, key=lambda run: round(axial[run], 6))
    return woken


def runs_of(loads: Loads, patterns: Iterable[str]) -> tuple[RunId, ...]:
    """The combinations that hold a case of one of these patterns, and no roof case of another."""
    told = loads.basis.cases if loads.basis is not None else {}
    wanted = frozenset(patterns)

    def fits(factors: Mapping[RunId, float]) -> bool:
        found = {told[case].pattern for case in factors if case in told} & (EVEN | UNEVEN)
        return bool(found) and found <= wanted

    return tuple(run for run, factors in loads.combinations.items() if fits(factors))


def _largest(forces: RunForces) -> float:
    return max((abs(segment.axial) for segment in forces.segments.values()), default=0.0)
