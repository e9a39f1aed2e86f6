"""How each element of a truss stands: its checks, the load to its limit, what would have to change, and why.

Over the limit first, then what was not evaluated at all, then the rest, each worst first.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.model.loading import RunId
from trussio.model.standing import Carried, Standing
from trussio.timber.cause import causes
from trussio.timber.cause_facts import Facts
from trussio.timber.limits import SLENDERNESS, limits
from trussio.timber.needs import needs
from trussio.timber.review import all_checks, bench_of, governing
from trussio.timber.uncertain import low_ratios
from trussio.timber.working import urgency

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.check import Check
    from trussio.model.forces import Results
    from trussio.model.standing import Cause, Low
    from trussio.model.truss import Truss
    from trussio.timber.bench import Bench, Conditions
    from trussio.timber.limits import Scaled


HAIR: Final = 1e-9


def standings(
    truss: Truss, results: Results, scaled: Scaled, conditions: Conditions | None = None
) -> tuple[Standing, ...]:
    """The standing of every element that has a check.

    `scaled` gives the forces of runs that the document does not have, by the factors of their cases; with it the
    load is found that brings an element to its limit.
    """
    bench, checks = bench_of(truss, results, conditions)
    checks += all_checks(bench)
    of_element: dict[str, list[Check]] = {}
    for check in sorted(checks, key=urgency):
        of_element.setdefault(check.element, []).append(check)
    told = {element: standing_of(bench, element, own) for element, own in of_element.items()}
    limit = limits(bench, [one.governs for one in told.values()], scaled)
    low = low_ratios(truss, results, conditions)
    made = []
    for element, one in told.items():
        made.append(
            replace(
                one,
                limit=limit.get(element),
                needs=needs(bench, one.governs, of_element[element]),
                low=_lower(low.get(element), one.governs),
            )
        )
    return tuple(sorted(made, key=_order))


def standing_of(bench: Bench, element: str, own: Sequence[Check]) -> Standing:
    """How an element stands by its `own` checks, most urgent first, without limit, needs and low values."""
    governs = _governs(bench, own)
    return Standing(
        element=element,
        governs=governs,
        others=_others(bench, governs, own),
        carried=_carried(bench, governs),
        causes=_causes(bench, governs, own),
    )


def _lower(low: Low | None, governs: Check) -> Low | None:
    """What an element stands at where something is lower than taken, if that changes anything."""
    if low is None or governs.ratio is None or low.ratio <= governs.ratio * (1 + HAIR):
        return None
    return low


def _order(standing: Standing) -> tuple[int, float, float, str]:
    """Worst first; of those without bound that which reaches its limit under the least load."""
    rank, ratio, *_ = urgency(standing.governs)
    factor = standing.limit.factor if standing.limit is not None else None
    return rank, ratio, factor or 0.0, standing.element


def _governs(bench: Bench, own: Sequence[Check]) -> Check:
    """The worst check that was evaluated, else that which is open under the greatest force.

    Slenderness has no part in it while it is within its limit.
    """
    evaluated = [check for check in own if check.ratio is not None]
    for check in evaluated:
        if check.verdict == "not met" or not check.what.startswith(SLENDERNESS):
            return check
    return evaluated[0] if evaluated else max(own, key=lambda check: _force(bench, check))


def _others(bench: Bench, governs: Check, own: Sequence[Check]) -> tuple[Check, ...]:
    """The other kinds of check, each in its worst run; one that is open in the run of the greatest force."""
    by_force = sorted(own, key=lambda check: (check.ratio is not None, -_force(bench, check)))
    kinds = {check.what for check in own if check.ratio is not None}
    open_ones = [check for check in by_force if check.ratio is None and check.what not in kinds]
    worst = governing((*(check for check in own if check.ratio is not None), *open_ones))
    return tuple(check for check in worst if check.what != governs.what)


def _force(bench: Bench, check: Check) -> float:
    """The axial force that a check is about, without its sign."""
    carried = _carried_in(bench, check, check.run)
    return abs(carried) if carried is not None else check.demand or 0.0


def _carried_in(bench: Bench, check: Check, run: str | None) -> float | None:
    segment = bench.segments.get(check.element)
    if segment is None or run is None or RunId(run) not in bench.results.runs:
        return None
    forces = bench.forces(RunId(run), segment.id)
    return max((forces.axial, *forces.axial_ends), key=abs)


def _carried(bench: Bench, governs: Check) -> Carried | None:
    """The largest axial force over the runs that are checked."""
    if bench.segments.get(governs.element) is None:
        known = governs.run is not None and governs.demand is not None and governs.unit in ("lbf", "N")
        return Carried(governs.demand or 0.0, RunId(governs.run or "")) if known else None
    forces = [(_carried_in(bench, governs, state.run) or 0.0, state.run) for state in bench.states]
    force, run = max(forces, default=(0.0, None), key=lambda found: abs(found[0]))
    return None if run is None else Carried(force, run)


def _causes(bench: Bench, governs: Check, own: Sequence[Check]) -> tuple[Cause, ...]:
    """Why an element stands where it does; empty where that was not evaluated."""
    state = next((state for state in bench.states if state.run == governs.run), None)
    if governs.ratio is None or state is None:
        return ()
    segment = bench.segments.get(governs.element)
    return causes(Facts(bench=bench, segment=segment, check=governs, state=state, checks=tuple(own)))
