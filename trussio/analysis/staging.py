"""Forces of a truss with tendons or stages: of the final structure loaded at once, and of every stage.

The steps in order: whether the stages can be done, the work stage by stage (`work`), after each what its runs are
sums of (`sums`), then the records, those of one structure together. Where something carries one way, no run is a
sum of cases: each is followed through the work by itself (`giving`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.giving import Followed, gives_way, with_giving
from trussio.analysis.locked import nothing
from trussio.analysis.signs import refuse_slack
from trussio.analysis.slip import moved_by_slip, without_slip
from trussio.analysis.sums import records, told_by
from trussio.analysis.work import Work
from trussio.errors import CannotAnalyseError, UsageError
from trussio.model.chronology import troubles
from trussio.model.history import after, beginning, ending, run_factors
from trussio.model.tendon import stressing

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from trussio.analysis.sums import Told
    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Truss

    Factors = Mapping[RunId, float]
    Open = dict[RunId, RunForces | CannotAnalyseError]


def analyse_staged(
    truss: Truss, idealisation: Idealisation = "continuous", runs: Collection[RunId] | None = None
) -> Open:
    """The forces of some runs (None: of all that `run_factors` names), bare runs first, then stage by stage.

    A bare run in which a tendon goes slack, or that no members that carry one way balance, has that error instead.
    Raises CannotAnalyseError as `analyse` does, and where a stage cannot be done, leaves a mechanism or lifts a
    shore off, or where a run after a stage cannot be; UsageError where a run is not there.
    """
    for trouble in troubles(truss):
        raise CannotAnalyseError("stage-impossible", where=trouble.where, what=trouble.what, do=trouble.do)
    chosen = _chosen(run_factors(truss), runs)
    found = _forces(truss, idealisation, chosen)
    if not any(member.slip or member.play for member in truss.members.values()):
        return found
    told = {run: one for run, one in found.items() if not isinstance(one, CannotAnalyseError)}
    return {**found, **moved_by_slip(told, _forces(without_slip(truss), idealisation, chosen))}


def _chosen(every: Mapping[RunId, Factors], runs: Collection[RunId] | None) -> dict[RunId, Factors]:
    unknown = [] if runs is None else sorted(set(runs) - set(every))
    if unknown:
        raise UsageError(
            "unknown-run",
            what=f"the document has no run {', '.join(unknown)}.",
            do=f"Choose among {', '.join(every) or 'none: it has no loads'}.",
        )
    return {run: factors for run, factors in every.items() if runs is None or run in runs}


def _forces(truss: Truss, idealisation: Idealisation, chosen: Mapping[RunId, Factors]) -> Open:
    """The records of some runs, in their order."""
    staged = {run: factors for run, factors in chosen.items() if "/" in run}
    bare = {run: factors for run, factors in chosen.items() if run not in staged}
    used = {case for factors in chosen.values() for case, factor in factors.items() if factor}
    used |= _put_on(truss) if staged else set()
    cases = [case for case in truss.loads.cases if case in used]
    one_by_one, work = gives_way(truss), Work(truss, idealisation, cases)
    told = _each_followed(work, staged) if one_by_one else _by_stages(work, staged)
    errors: dict[RunId, CannotAnalyseError] = {}
    if bare:
        at_once = _at_once(work, bare, errors, one_by_one=one_by_one)
        told += [one for one in at_once if one.runs]
    found: Open = {**records(told), **errors}
    return {run: found[run] for run in chosen}


def _put_on(truss: Truss) -> set[RunId]:
    """Every case that is on at some stage."""
    names = {name for stage in truss.stages for action in stage.actions for name in getattr(action, "tendons", ())}
    cases = {case for stage in truss.stages for action in stage.actions for case in getattr(action, "cases", ())}
    return cases | {case for name in names for case in stressing(truss.loads).get(name, ())}


def _each_followed(work: Work, runs: Mapping[RunId, Factors]) -> list[Told]:
    """Runs after stages, each by itself; structures are put together once for all of them."""
    found = []
    for run, factors in runs.items():
        on = _on_after(work.truss, run)
        by = [*(factors.get(case, 0.0) if case in on else 1.0 for case in work.cases), 1.0]
        found += _by_stages(work.following(Followed(run, np.array(by))), {run: factors})
    return found


def _on_after(truss: Truss, run: RunId) -> set[RunId]:
    """The cases that are on after the stage of a run."""
    moment = beginning(truss)
    for stage in truss.stages:
        for action in stage.actions:
            moment = after(moment, action)
        if run.startswith(f"{stage.id}/"):
            break
    by_tendon = stressing(truss.loads)
    return {*moment.on, *(case for name in moment.stressed for case in by_tendon.get(name, ()))}


def _by_stages(work: Work, runs: Mapping[RunId, Factors]) -> list[Told]:
    """Runs after stages."""
    found: list[Told] = []
    left = dict(runs)
    for number, stage in enumerate(work.stages() if runs else ()):
        own = {run: left.pop(run) for run in runs if run.startswith(f"{stage.id}/")}
        if own:
            told = _after_stage(work, own)
            found.append(told)
            for run, pushes in told.pushes_up():
                work.refuse_lifting(pushes, f"/stages/{number}", f"run {run}")
        if not left and work.followed is not None:
            break
    return found


def _after_stage(work: Work, runs: Mapping[RunId, Factors]) -> Told:
    on = work.on
    off = {case for case, is_on in zip(work.cases, on, strict=False) if not is_on}
    asked = {case for factors in runs.values() for case, factor in factors.items() if factor} & off
    coming = _tensed(work, asked)
    shares = {**dict.fromkeys(coming, 1.0), **work.moment.stressed}
    told = told_by(work.structure(), work.locked, on, cases=work.cases, runs=runs, shares=shares)
    if work.followed is not None:
        told = with_giving(told, work.locked, [*shares])
    for run, legs in _tight(told, runs, work).items():
        refuse_slack(run, legs)
    return told


def _at_once(
    work: Work, runs: Mapping[RunId, Factors], errors: dict[RunId, CannotAnalyseError], *, one_by_one: bool
) -> list[Told]:
    """Bare runs: the final structure, loaded at once. Runs that cannot be go to the errors."""
    work.moment = ending(work.truss)
    shares = dict.fromkeys(_tensed(work, work.truss.loads.cases), 1.0)
    blank = nothing(work.truss, len(work.cases) + 1)
    off = np.zeros(len(work.cases) + 1)
    whole = told_by(work.structure(), blank, off, cases=work.cases, runs=runs, shares=shares)
    found = []
    for told in whole.each() if one_by_one else [whole]:
        settled = told
        try:
            settled = with_giving(told, blank, [*shares]) if one_by_one else told
        except CannotAnalyseError as error:
            errors[told.runs[0]] = error
            continue
        slack = _slack(_tight(settled, runs, work))
        errors |= slack
        found.append(settled.without(slack))
    return found


def _slack(legs: Mapping[RunId, Mapping[str, list[float]]]) -> dict[RunId, CannotAnalyseError]:
    """The runs in which a tendon would have to push."""
    found = {}
    for run, tendons in legs.items():
        try:
            refuse_slack(run, tendons)
        except CannotAnalyseError as error:
            found[run] = error
    return found


def _tight(told: Told, runs: Mapping[RunId, Factors], work: Work) -> dict[RunId, dict[str, list[float]]]:
    """The forces of all legs in the runs that hold a stressed tendon."""
    tensing = {case for cases in work.tensing.values() for case in cases}
    return {
        run: {name: (legs @ row).tolist() for name, legs in told.sums.legs.items()}
        for run, row in zip(told.runs, told.factors, strict=True)
        if any(factor and case in tensing for case, factor in runs[run].items())
    }


def _tensed(work: Work, cases: Collection[RunId]) -> list[str]:
    """The tendons that some cases stress. Raises CannotAnalyseError where what one bears on is not there."""
    names = [name for name, by in work.tensing.items() if any(case in cases for case in by)]
    for name in names:
        if name not in work.structure().cables:
            raise CannotAnalyseError(
                "tendon-on-nothing",
                where=f"/tendons/{name}",
                what=f"the tendon {name} bears on a joint or a stick that is not there in the end.",
                do="Anchor it at what is there, or take it out of the runs.",
            )
    return names
