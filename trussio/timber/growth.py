"""Design load of each element, and how much greater it is than before a repair or a change of loads.

The design load of a segment is its greatest tension and its greatest compression over the runs that are checked;
that of a joint or connection the greatest force that crosses it. Forces are those of the document's unit.
Source: statics; that a growth of more than 5 % brings today's loads with it is what rules for existing buildings
commonly ask, no source.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.timber.review import all_checks, bench_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import Results
    from trussio.model.truss import Truss
    from trussio.timber.bench import Conditions

LITTLE: Final = 0.05
"""Part of the larger design load of an element below which it has none of a sense."""
FORCES: Final = ("lbf", "N")


class DesignLoad(NamedTuple):
    """The greatest tension and compression of an element, both without sign; a joint has one force alone."""

    tension: float = 0.0
    compression: float = 0.0


def design_loads(truss: Truss, results: Results, conditions: Conditions | None = None) -> dict[str, DesignLoad]:
    """The design load of every element that has a check."""
    bench, _ = bench_of(truss, results, conditions)
    found: dict[str, DesignLoad] = {}
    for segment in truss.segments:
        forces = [
            force
            for state in bench.states
            for force in (
                bench.forces(state.run, segment.id).axial,
                *bench.forces(state.run, segment.id).axial_ends,
            )
        ]
        found[segment.id] = DesignLoad(max(0.0, *forces, 0.0), max(0.0, *(-one for one in forces), 0.0))
    for check in all_checks(bench):
        if check.element.startswith("/") and check.unit in FORCES and check.demand is not None:
            known = found.get(check.element, DesignLoad())
            found[check.element] = DesignLoad(max(known.tension, check.demand))
    return found


def grown(before: Mapping[str, DesignLoad], after: Mapping[str, DesignLoad]) -> dict[str, float]:
    """Design load after over that of before, of every element that has both; infinite for a sense that is new."""
    return {
        element: max(
            _times(before[element], load.tension, before[element].tension, load),
            _times(before[element], load.compression, before[element].compression, load),
        )
        for element, load in after.items()
        if element in before
    }


def _times(before: DesignLoad, now: float, then: float, after: DesignLoad) -> float:
    whole = max(*before, *after)
    if now <= LITTLE * whole:
        return 0.0
    return now / then if then > LITTLE * whole else inf
