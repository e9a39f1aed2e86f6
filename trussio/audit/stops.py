"""The stop rules alone: what must be settled before any force may be believed.

Quick and light, since every analysis and every recheck asks first: numpy, and no graph library.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.compatibility import compatibility
from trussio.audit.instability import instability
from trussio.audit.one_way import slip_unknown, snow_upwards
from trussio.audit.properties import missing_properties
from trussio.audit.rank import decompose, is_mechanism
from trussio.audit.unevaluable import unevaluable
from trussio.late import loaded
from trussio.model.idealised import idealise

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from trussio.model.finding import Finding
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Truss


def stops(
    truss: Truss, *, idealisation: Idealisation, runs: Collection[RunId] | None = None
) -> tuple[Finding, ...]:
    """Every stop in one idealisation, most urgent first.

    Of the stops over loads only those that touch `runs` count; None means all runs.
    """
    idealised = idealise(truss, idealisation)
    compat = compatibility(truss, idealised)
    found: list[Finding] = []
    if not truss.members or is_mechanism(compat.matrix):
        found += instability(truss, compat, decompose(compat.matrix), idealisation=idealisation)
    found += missing_properties(truss, idealised)
    found += unevaluable(truss, idealised, runs)
    found += (*slip_unknown(truss), *snow_upwards(truss, runs))
    if truss.tendons:
        of_tendons: Callable[[Truss, Collection[RunId] | None], Iterator[Finding]]
        of_tendons = loaded("trussio.audit.tendons:tendon_stops")
        found += of_tendons(truss, runs)
    return tuple(found)
