"""Segments whose axial force turns round between runs, and those that only uneven loads wake.

Terms: a segment is *idle* in a run where its force is below a small part of the largest in that run, so that its
sign means nothing. An *even* run is one whose roof load is the same everywhere: balanced snow, roof live load. An
*uneven* run holds unbalanced, partial or drifted snow. Tension positive. What counts as idle is common practice,
no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import Loads, RunId
    from trussio.model.truss import SegmentId, Truss

IDLE: Final = 0.05
"""Part of the largest axial force of a run below which a segment is idle in it."""
EVEN: Final = frozenset({"uniform", "roof-live"})
UNEVEN: Final = frozenset({"unbalanced", "partial", "drift"})


class Turn(NamedTuple):
    """One segment with the runs that pull it, those that push it, and those in which it is idle."""

    segment: SegmentId
    pulled: tuple[RunId, ...]
    pushed: tuple[RunId, ...]
    idle: tuple[RunId, ...]

    @property
    def reverses(self) -> bool:
        """Whether some runs pull it and others push it."""
        return bool(self.pulled and self.pushed)


def force_reversals(truss: Truss, results: Results, runs: Iterable[RunId]) -> tuple[Turn, ...]:
    """Every segment that some of the runs pull and others push, in the order of the truss."""
    return tuple(turn for turn in _turns(truss, results, tuple(runs)) if turn.reverses)


def woken_by_drift(truss: Truss, results: Results) -> tuple[Turn, ...]:
    """Segments that are idle in every even run and strut or tie in an uneven one, in the order of the truss."""
    even, uneven = runs_of(truss.loads, EVEN), runs_of(truss.loads, UNEVEN)
    runs = tuple(run for run in (*even, *uneven) if run in results.runs)
    if not even or not uneven:
        return ()
    return tuple(
        turn
        for turn in _turns(truss, results, runs)
        if set(even) <= set(turn.idle) and (turn.pulled or turn.pushed)
    )


def runs_of(loads: Loads, patterns: Iterable[str]) -> tuple[RunId, ...]:
    """The combinations that hold a case of one of these patterns, and no roof case of another."""
    told = loads.basis.cases if loads.basis is not None else {}
    wanted = frozenset(patterns)

    def fits(factors: Mapping[RunId, float]) -> bool:
        found = {told[case].pattern for case in factors if case in told} & (EVEN | UNEVEN)
        return bool(found) and found <= wanted

    return tuple(run for run, factors in loads.combinations.items() if fits(factors))


def _turns(truss: Truss, results: Results, runs: tuple[RunId, ...]) -> list[Turn]:
    largest = {run: _largest(results.runs[run]) for run in runs}
    found = []
    for segment in truss.segments:
        axial = {run: results.runs[run].segments[segment.id].axial for run in runs}
        idle = tuple(run for run in runs if abs(axial[run]) <= IDLE * largest[run])
        awake = [run for run in runs if run not in idle]
        pulled = tuple(run for run in awake if axial[run] > 0)
        found.append(Turn(segment.id, pulled, tuple(run for run in awake if axial[run] < 0), idle))
    return found


def _largest(forces: RunForces) -> float:
    return max((abs(segment.axial) for segment in forces.segments.values()), default=0.0)
