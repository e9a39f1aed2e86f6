"""Per cent of allowable: how every element stands under every run, after the forces are known."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.analysis.run import analyse
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError, UsageError
from trussio.late import loaded
from trussio.model.check import Subject
from trussio.model.forces import of_structure
from trussio.model.standing import Checks, Standing
from trussio.state import as_ended, in_state
from trussio.timber.failures import broken, failures
from trussio.timber.growth import design_loads, grown
from trussio.timber.shares import over_shares
from trussio.timber.standing import standings
from trussio.timber.working import not_evaluated

EVERY: Final = "every clause"

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.standing import Failure, Variation
    from trussio.model.truss import Joint, JointId, Truss
    from trussio.timber.bench import Conditions


def check(truss: Truss, results: Results, *, conditions: Conditions | None = None) -> Checks:
    """The standing of every element by the forces of `results`, which must be those of this truss in their state.

    `conditions` are what the document does not say of the roof; where they are None, what was taken is said.
    """
    whole = in_state(truss, results.state, idealisation=results.idealisation).truss

    def scaled(runs: Mapping[RunId, Mapping[RunId, float]]) -> Mapping[RunId, RunForces]:
        loads = replace(whole.loads, combinations=runs)
        return analyse(replace(whole, loads=loads), idealisation=results.idealisation, runs=list(runs))

    ended, known, others = _at_the_end(whole, results)
    return Checks(
        model=results.model,
        idealisation=results.idealisation,
        state=results.state,
        rests_on=results.rests_on,
        standings=(*standings(ended, known, scaled, conditions), *map(_not_checked, others)),
        despite=results.despite,
        failures=_failures(truss, results, conditions),
    )


def _failures(truss: Truss, results: Results, conditions: Conditions | None) -> tuple[Failure, ...]:
    """What the survey found broken, by the forces of the truss as built, before any stage or tendon."""
    if results.state == "built" or not broken(truss):
        return ()
    built = truss
    if truss.stages or truss.tendons:
        at_first: Callable[[Truss], Truss] = loaded("trussio.model.history:at_first")
        built = at_first(truss)
    try:
        known = calculate(
            built, digest=results.model, idealisation=results.idealisation, state="built", despite_stops=True
        )
    except CannotAnalyseError:
        return ()
    return failures(*_structure(built, known), conditions)


def _at_the_end(whole: Truss, results: Results) -> tuple[Truss, Results, list[RunId]]:
    """The final structure, the results that are of it, and the runs that are of others."""
    if not whole.stages:
        return whole, results, []
    factors: Callable[[Truss], Mapping[RunId, Mapping[RunId, float]]]
    factors = loaded("trussio.model.history:run_factors")
    ended = as_ended(whole)
    kept = {run: forces for run, forces in results.runs.items() if of_structure(ended, forces)}
    staged = {run: by for run, by in factors(whole).items() if "/" in run and run in kept}
    loads = replace(ended.loads, combinations={**ended.loads.combinations, **staged})
    return (
        replace(ended, loads=loads),
        replace(results, runs=kept),
        [run for run in results.runs if run not in kept],
    )


def _structure(truss: Truss, results: Results) -> tuple[Truss, Results]:
    """The truss in the state of its results, after its stages, with the results that are of it."""
    whole = in_state(truss, results.state, idealisation=results.idealisation).truss
    return _at_the_end(whole, results)[:2]


def _not_checked(run: RunId) -> Standing:
    """A run of a structure that is not the final one."""
    reason = "other sticks or shores were there at this stage: make a document of that structure to check it"
    of = Subject(element=f"/stages/{run}", run=run)
    return Standing(element=of.element, governs=not_evaluated(what="run", clause=EVERY, of=of, reason=reason))


def with_shares(
    checks: Checks,
    of: tuple[Truss, Results],
    varied: Iterable[Mapping[RunId, RunForces]],
    variation: Variation,
    *,
    conditions: Conditions | None = None,
    joints: Iterable[Mapping[JointId, Joint]] | None = None,
) -> Checks:
    """The same with the share of variations in which each element is over its limit.

    `varied` are the forces of one variation after the other, as from `varied_forces`, and `joints` where its
    joints lie, as from `varied_joints`; `variation` says how they came about.
    """
    found = over_shares(*_structure(*of), varied, conditions, joints=joints)
    standings = tuple(replace(one, over_share=found.get(one.element)) for one in checks.standings)
    return replace(checks, standings=standings, variation=variation)


def with_growth(
    checks: Checks,
    after: tuple[Truss, Results],
    before: tuple[Truss, Results],
    *,
    conditions: Conditions | None = None,
) -> Checks:
    """The same with the design load of each element over that of a truss before it was changed.

    Elements are told by their ids; what one of the two does not have has no growth. Raises UsageError
    `units-conflict` where the two are not in the same units.
    """
    if after[0].units != before[0].units:
        raise UsageError(
            "units-conflict",
            where="before",
            what=f"one document is in {after[0].units}, the other in {before[0].units} units.",
            do="Convert one of them with `trussio convert --units`.",
        )
    then, now = (
        design_loads(in_state(truss, results.state, idealisation=results.idealisation).truss, results, conditions)
        for truss, results in (before, after)
    )
    found = grown(then, now)
    standings = tuple(replace(one, grown=found.get(one.element)) for one in checks.standings)
    return replace(checks, standings=standings, before=before[1].model)
