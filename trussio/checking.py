"""Per cent of allowable: how every element stands under every run, after the forces are known."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.analysis.run import analyse
from trussio.model.standing import Checks
from trussio.state import in_state
from trussio.timber.standing import standings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Truss
    from trussio.timber.bench import Conditions


def check(truss: Truss, results: Results, *, conditions: Conditions | None = None) -> Checks:
    """The standing of every element by the forces of `results`, which must be those of this truss in their state.

    `conditions` are what the document does not say of the roof; where they are None, what was taken is said.
    """
    truss = in_state(truss, results.state, idealisation=results.idealisation).truss

    def scaled(runs: Mapping[RunId, Mapping[RunId, float]]) -> Mapping[RunId, RunForces]:
        loads = replace(truss.loads, combinations=runs)
        return analyse(replace(truss, loads=loads), idealisation=results.idealisation, runs=list(runs))

    return Checks(
        model=results.model,
        idealisation=results.idealisation,
        state=results.state,
        rests_on=results.rests_on,
        standings=standings(truss, results, scaled, conditions),
        despite=results.despite,
    )
