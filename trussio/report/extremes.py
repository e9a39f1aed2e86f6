"""Over all runs that act on the roof: the largest forces, and the segments whose force changes sign.

A run *acts* when it is a combination, or the dead load alone; a single snow or wind case never acts by itself.
Where a document has no combinations, every case counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.drawing.quantities import force_letter, force_scale
from trussio.model.loading import LEAST

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.quantities import Scale
    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.model.truss import SegmentId, Truss


@dataclass(frozen=True, kw_only=True)
class Extreme:
    """An axial force in base units, where it acts and in which run."""

    segment: SegmentId
    run: RunId
    axial: float


@dataclass(frozen=True, kw_only=True)
class Reversal:
    """A segment that is in tension in some runs and in compression in others, with the largest of each."""

    tension: Extreme
    compression: Extreme


def acting_runs(truss: Truss, results: Results) -> tuple[RunId, ...]:
    """The runs that act, combinations first, of those that the results hold."""
    cases, combinations = truss.loads.cases, truss.loads.combinations
    acting = [*combinations, *(run for run, case in cases.items() if case.kind == "dead")] or [*cases]
    if not combinations:
        acting = [*cases]
    staged = [run for run in results.runs if "/" in run or run.endswith(LEAST)]
    return tuple(run for run in (*acting, *staged) if run in results.runs)


def common_scale(truss: Truss, results: Results) -> Scale:
    """One unit and one number of decimals for all axial forces and reactions of all runs."""
    axial = (abs(forces.axial) for run in results.runs.values() for forces in run.segments.values())
    held = (max(abs(r.x), abs(r.y)) for run in results.runs.values() for r in run.reactions.values())
    return force_scale(truss.units, max((*axial, *held), default=0.0))


def largest(
    results: Results, runs: Sequence[RunId], *, sign: int, scale: Scale, count: int = 5
) -> tuple[Extreme, ...]:
    """The segments with the largest tension (`sign` 1) or compression (-1) in any run, each once, worst first."""
    worst: dict[SegmentId, Extreme] = {}
    for run in runs:
        for segment, forces in results.runs[run].segments.items():
            known = worst.get(segment)
            if known is None or sign * forces.axial > sign * known.axial:
                worst[segment] = Extreme(segment=segment, run=run, axial=forces.axial)
    letter = "T" if sign > 0 else "C"
    found = [extreme for extreme in worst.values() if force_letter(scale, extreme.axial) == letter]
    return tuple(sorted(found, key=lambda extreme: -told_size(scale, extreme.axial))[:count])


def told_size(scale: Scale, axial: float) -> float:
    """The size of a force by which it is ranked: alike where no reader could tell the difference."""
    return abs(round(axial / scale.base, scale.decimals + 2))


def reversals(truss: Truss, results: Results, runs: Sequence[RunId], scale: Scale) -> tuple[Reversal, ...]:
    """Every segment whose force changes sign between runs, in the order of the truss."""
    pulls = {e.segment: e for e in largest(results, runs, sign=1, scale=scale, count=len(truss.segments))}
    pushes = {e.segment: e for e in largest(results, runs, sign=-1, scale=scale, count=len(truss.segments))}
    return tuple(
        Reversal(tension=pulls[segment.id], compression=pushes[segment.id])
        for segment in truss.segments
        if segment.id in pulls and segment.id in pushes
    )
