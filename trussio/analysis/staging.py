"""Forces of a truss with tendons or stages: of the final structure loaded at once, and of every stage.

The steps in order: whether the stages can be done, the work stage by stage (`work`), after each what its runs are
sums of (`sums`), then the records, those of one structure together.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.locked import nothing
from trussio.analysis.signs import refuse_one_way
from trussio.analysis.slip import moved_by_slip, without_slip
from trussio.analysis.sums import records, told_by
from trussio.analysis.work import Work
from trussio.errors import CannotAnalyseError, UsageError
from trussio.model.chronology import troubles
from trussio.model.history import ending, run_factors
from trussio.model.tendon import stressing

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from trussio.analysis.sums import Told
    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Truss

    Factors = Mapping[RunId, float]


def analyse_staged(
    truss: Truss, idealisation: Idealisation = "continuous", runs: Collection[RunId] | None = None
) -> dict[RunId, RunForces]:
    """The forces of some runs (None: of all that `run_factors` names), bare runs first, then stage by stage.

    Raises CannotAnalyseError as `analyse` does, and where a stage cannot be done, leaves a mechanism or lifts a
    shore off, or where a tendon or a stick that acts one way goes slack; UsageError where a run is not there.
    """
    for trouble in troubles(truss):
        raise CannotAnalyseError("stage-impossible", where=trouble.where, what=trouble.what, do=trouble.do)
    chosen = _chosen(run_factors(truss), runs)
    found = _forces(truss, idealisation, chosen)
    refuse_one_way(truss, found)
    slips = any(member.slip for member in truss.members.values())
    return moved_by_slip(found, _forces(without_slip(truss), idealisation, chosen)) if slips else found


def _chosen(every: Mapping[RunId, Factors], runs: Collection[RunId] | None) -> dict[RunId, Factors]:
    unknown = [] if runs is None else sorted(set(runs) - set(every))
    if unknown:
        raise UsageError(
            "unknown-run",
            what=f"the document has no run {', '.join(unknown)}.",
            do=f"Choose among {', '.join(every) or 'none: it has no loads'}.",
        )
    return {run: factors for run, factors in every.items() if runs is None or run in runs}


def _forces(truss: Truss, idealisation: Idealisation, chosen: Mapping[RunId, Factors]) -> dict[RunId, RunForces]:
    """The records of some runs, in their order."""
    staged = {run: factors for run, factors in chosen.items() if "/" in run}
    bare = {run: factors for run, factors in chosen.items() if run not in staged}
    used = {case for factors in chosen.values() for case, factor in factors.items() if factor}
    used |= _put_on(truss) if staged else set()
    work = Work(truss, idealisation, [case for case in truss.loads.cases if case in used])
    told = _by_stages(work, staged) if staged else []
    if bare:
        told.append(_at_once(work, bare))
    found = records(told)
    return {run: found[run] for run in chosen}


def _put_on(truss: Truss) -> set[RunId]:
    """Every case that is on at some stage."""
    names = {name for stage in truss.stages for action in stage.actions for name in getattr(action, "tendons", ())}
    cases = {case for stage in truss.stages for action in stage.actions for case in getattr(action, "cases", ())}
    return cases | {case for name in names for case in stressing(truss.loads).get(name, ())}


def _by_stages(work: Work, runs: Mapping[RunId, Factors]) -> list[Told]:
    """Runs after stages."""
    found = []
    for number, stage in enumerate(work.stages()):
        own = {run: factors for run, factors in runs.items() if run.startswith(f"{stage.id}/")}
        if own:
            told = _after_stage(work, own)
            found.append(told)
            for run, pushes in told.pushes_up():
                work.refuse_lifting(pushes, f"/stages/{number}", f"run {run}")
    return found


def _after_stage(work: Work, runs: Mapping[RunId, Factors]) -> Told:
    on = work.on
    off = {case for case, is_on in zip(work.cases, on, strict=False) if not is_on}
    asked = {case for factors in runs.values() for case, factor in factors.items() if factor} & off
    coming = _tensed(work, asked)
    shares = {**dict.fromkeys(coming, 1.0), **work.moment.stressed}
    return told_by(work.structure(), work.locked, on, cases=work.cases, runs=runs, shares=shares)


def _at_once(work: Work, runs: Mapping[RunId, Factors]) -> Told:
    """Bare runs: the final structure, loaded at once."""
    work.moment = ending(work.truss)
    shares = dict.fromkeys(_tensed(work, work.truss.loads.cases), 1.0)
    blank = nothing(work.truss, len(work.cases) + 1)
    off = np.zeros(len(work.cases) + 1)
    return told_by(work.structure(), blank, off, cases=work.cases, runs=runs, shares=shares)


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
