"""All that the recheck reads from a document before it reckons: axes, equations, loads and their resultants."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.errors import CannotAnalyseError
from trussio.late import loaded
from trussio.recheck.axes import read_axes
from trussio.recheck.equilibrium import equations
from trussio.recheck.placing import place
from trussio.recheck.resultants import resultants

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, MemberId, Truss
    from trussio.recheck.axes import Axes
    from trussio.recheck.equilibrium import Equilibrium
    from trussio.recheck.placing import Placed
    from trussio.recheck.resultants import Resultants
    from trussio.recheck.wearing import Stretch

    Array = NDArray[np.float64]


class Reading(NamedTuple):
    """A truss under one idealisation; `factors` gives for each run its factor on each case that was read."""

    truss: Truss
    idealisation: Idealisation
    axes: Axes
    equations: Equilibrium
    placed: Placed
    loads: Resultants
    factors: Mapping[RunId, Array]


def read(
    truss: Truss,
    *,
    idealisation: Idealisation,
    runs: Iterable[RunId] | None = None,
    turned: Sequence[tuple[int, int]] = (),
    glued: Sequence[tuple[MemberId, MemberId]] = (),
) -> Reading:
    """What the document says of some runs, or of all; `turned` and `glued` as in `equations`.

    Raises CannotAnalyseError: `mechanism` when there is no member at all, `load` when a load of these runs cannot
    be evaluated; `offset-on-hinge` where a stick ends beside a joint that has no rotation.
    """
    known = truss.loads.runs
    wanted = {run: known[run] for run in (known if runs is None else runs)}
    cases = [case for case in truss.loads.cases if any(factors.get(case) for factors in wanted.values())]
    if not truss.segments:
        raise CannotAnalyseError("mechanism", where="/members", what="There is no member.", do="Add the members.")
    members = truss.members.values()
    axes = measured = read_axes(truss)
    if idealisation == "continuous" and any(member.offsets for member in members):
        axes = read_axes(truss, beside=True)
    equilibrium = equations(truss, axes, idealisation, turned=turned, glued=glued)
    placed = place(truss, measured, equilibrium.turns, cases)
    if axes is not measured:
        spread: Callable[[Placed, Axes, Axes], Placed] = loaded("trussio.recheck.wearing:spread")
        placed = spread(placed, measured, axes)
    stretches: list[Stretch] = []
    if any(member.worn for member in members):
        stretches_of: Callable[[Truss, Axes], list[Stretch]] = loaded("trussio.recheck.wearing:stretches_of")
        stretches = stretches_of(truss, axes)
    return Reading(
        truss=truss,
        idealisation=idealisation,
        axes=axes,
        equations=equilibrium,
        placed=placed,
        loads=resultants(
            axes,
            placed,
            cases=len(cases),
            equations=len(equilibrium.forces),
            levers=equilibrium.levers,
            stretches=stretches,
        ),
        factors={run: np.array([f.get(case, 0.0) for case in cases]) for run, f in wanted.items()},
    )
