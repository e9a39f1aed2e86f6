"""In how many variations of a truss each element is over its limit.

The variations are those of the analysis: forces differ, and lengths where joints are moved; sections, values,
bracing and connections stay as they are.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import repeat
from typing import TYPE_CHECKING

from trussio.model.idealised import idealise
from trussio.timber.lengths import segment_lengths
from trussio.timber.review import all_checks, bench_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Joint, JointId, Truss
    from trussio.timber.bench import Conditions


def over_shares(
    truss: Truss,
    results: Results,
    variations: Iterable[Mapping[RunId, RunForces]],
    conditions: Conditions | None = None,
    *,
    joints: Iterable[Mapping[JointId, Joint]] | None = None,
) -> dict[str, float]:
    """The share of the variations in which each element that can be evaluated is over its limit.

    `joints` says where joints lie in each variation.
    """
    bench, _ = bench_of(truss, results, conditions)
    over: dict[str, int] = {check.element: 0 for check in all_checks(bench) if check.ratio is not None}
    count = 0
    stations = idealise(truss, "pinned").stations
    places = repeat(truss.joints) if joints is None else joints
    for runs, at in zip(variations, places, strict=joints is not None):
        count += 1
        varied = bench.under(replace(results, runs=dict(runs)), bench.states)
        if joints is not None:
            moved = replace(truss, joints={**truss.joints, **at})
            varied = varied.moved(segment_lengths(moved, stations))
        found = {check.element for check in all_checks(varied) if check.ratio is not None and check.ratio > 1.0}
        for element in found:
            over[element] = over.get(element, 0) + 1
    return {element: times / count for element, times in over.items()} if count else {}
