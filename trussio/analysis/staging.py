"""Forces of a truss with tendons or stages: of the final structure loaded at once, and of every stage.

The steps in order: whether the stages can be done, the work stage by stage (`work`), after each what its runs are
sums of (`sums`), then the records, those of one structure together. Where something carries one way, no run is a
sum of cases: each is followed through the work by itself (`giving`). So is every run in which a tendon would have
to push at any moment: it is slack there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.giving import Followed, gives_way, with_giving
from trussio.analysis.locked import nothing
from trussio.analysis.signs import pushing
from trussio.analysis.slip import moved_by_slip, without_slip
from trussio.analysis.sums import records, told_by
from trussio.analysis.work import Work
from trussio.errors import CannotAnalyseError, UsageError
from trussio.model.chronology import troubles
from trussio.model.history import after, beginning, ending, run_factors
from trussio.model.loading import RunId
from trussio.model.staging import NOW
from trussio.model.tendon import stressing

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from trussio.analysis.sums import Told
    from trussio.model.forces import RunForces
    from trussio.model.truss import Idealisation, Truss

    Factors = Mapping[RunId, float]
    Open = dict[RunId, RunForces | CannotAnalyseError]


def analyse_staged(
    truss: Truss, idealisation: Idealisation = "continuous", runs: Collection[RunId] | None = None
) -> Open:
    """The forces of some runs (None: of all that `run_factors` names), bare runs first, then stage by stage.

    A bare run that no set of tendons and members that carry one way balances has that error instead.
    Raises CannotAnalyseError as `analyse` does, and where a stage cannot be done, leaves a mechanism or lifts a
    shore off, or where a run after a stage cannot be; UsageError where a run is not there.
    """
    for trouble in troubles(truss):
        raise CannotAnalyseError("stage-impossible", where=trouble.where, what=trouble.what, do=trouble.do)
    chosen = _chosen(run_factors(truss), runs)
    told, errors = _told_of(truss, idealisation, chosen)
    found = _in_order({**records(told), **errors}, chosen)
    if not any(member.slip or member.play for member in truss.members.values()):
        return found
    plain = {run: one for run, one in found.items() if not isinstance(one, CannotAnalyseError)}
    told, errors = _told_of(without_slip(truss), idealisation, chosen)
    return {**found, **moved_by_slip(plain, _in_order({**records(told), **errors}, chosen))}


def told_runs(truss: Truss, idealisation: Idealisation, runs: Collection[RunId]) -> tuple[list[Told], list[RunId]]:
    """Some runs on the structures that stand in them, for what needs more than their records.

    Also the load cases whose columns come first. Runs that nothing balances are left out.
    """
    chosen = _chosen(run_factors(truss), runs)
    return _told_of(truss, idealisation, chosen)[0], _used(truss, chosen)


def _chosen(every: Mapping[RunId, Factors], runs: Collection[RunId] | None) -> dict[RunId, Factors]:
    unknown = [] if runs is None else sorted(set(runs) - set(every))
    if unknown:
        raise UsageError(
            "unknown-run",
            what=f"the document has no run {', '.join(unknown)}.",
            do=f"Choose among {', '.join(every) or 'none: it has no loads'}.",
        )
    return {run: factors for run, factors in every.items() if runs is None or run in runs}


def _in_order(found: Open, chosen: Collection[RunId]) -> Open:
    return {run: found[run] for run in chosen}


def _used(truss: Truss, chosen: Mapping[RunId, Factors]) -> list[RunId]:
    """The cases that some runs need."""
    used = {case for factors in chosen.values() for case, factor in factors.items() if factor}
    used |= _put_on(truss) if any("/" in run for run in chosen) else set()
    return [case for case in truss.loads.cases if case in used]


def _told_of(
    truss: Truss, idealisation: Idealisation, chosen: Mapping[RunId, Factors]
) -> tuple[list[Told], dict[RunId, CannotAnalyseError]]:
    """Some runs on the structures that stand in them, and why bare ones cannot be."""
    staged = {run: factors for run, factors in chosen.items() if "/" in run}
    bare = {run: factors for run, factors in chosen.items() if run not in staged}
    one_by_one, work = gives_way(truss), Work(truss, idealisation, _used(truss, chosen))
    pushed: dict[RunId, Factors] = dict(staged) if one_by_one else {}
    told = [] if one_by_one else _by_stages(work, staged, pushed)
    told += _each_followed(work, pushed)
    errors: dict[RunId, CannotAnalyseError] = {}
    if bare:
        at_once = _at_once(work, bare, errors, one_by_one=one_by_one)
        told += [one for one in at_once if one.runs]
    return told, errors


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
        followed = Followed(run, np.array(by), stresses=_stresses(work, factors))
        found += _by_stages(work.following(followed), {run: factors}, {})
    return found


def _stresses(work: Work, factors: Factors) -> bool:
    """Whether a run stresses a tendon."""
    return any(factors.get(case) for cases in work.tensing.values() for case in cases)


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


def _by_stages(work: Work, runs: Mapping[RunId, Factors], pushed: dict[RunId, Factors]) -> list[Told]:
    """Runs after stages, but for those in which a tendon would have to push: they are put to `pushed`.

    What is on after a stage is put there too then, whether it is asked for or not: no stage passes unseen.
    """
    found: list[Told] = []
    left = dict(runs)
    for number, stage in enumerate(work.stages() if runs else ()):
        if work.followed is None and work.pushes_now:
            on = zip(work.cases, work.on[:-1].tolist(), strict=True)
            pushed[RunId(f"{stage.id}/{NOW}")] = {case: by for case, by in on if by}
        own = {run: left.pop(run) for run in runs if run.startswith(f"{stage.id}/")}
        if own:
            told = _after_stage(work, own, pushed)
            found += [told] if told.runs else []
            for run, pushes in told.pushes_up():
                work.refuse_lifting(pushes, f"/stages/{number}", f"run {run}")
        if not left and work.followed is not None:
            break
    return found


def _after_stage(work: Work, runs: Mapping[RunId, Factors], pushed: dict[RunId, Factors]) -> Told:
    on = work.on
    off = {case for case, is_on in zip(work.cases, on, strict=False) if not is_on}
    asked = {case for factors in runs.values() for case, factor in factors.items() if factor} & off
    coming = _tensed(work, asked)
    shares = {**dict.fromkeys(coming, 1.0), **work.moment.stressed}
    told = told_by(work.structure(), work.locked, on, cases=work.cases, runs=runs, shares=shares)
    if work.followed is not None:
        return with_giving(told, work.locked, [*shares], stresses=work.followed.stresses)
    came = np.ones((len(on), len(runs)))
    came[:-1] = np.where(on[:-1, None] != 0.0, told.factors[:, : len(on) - 1].T, 1.0)
    before = {run for run, has in zip(told.runs, work.have_pushed(came), strict=True) if has}
    new = {run: runs[run] for run in _pushing(told, runs, work, before)}
    pushed.update(new)
    return told.without(new) if new else told


def _at_once(
    work: Work, runs: Mapping[RunId, Factors], errors: dict[RunId, CannotAnalyseError], *, one_by_one: bool
) -> list[Told]:
    """Bare runs: the final structure, loaded at once. Runs that cannot be go to the errors."""
    work.moment = ending(work.truss)
    shares = dict.fromkeys(_tensed(work, work.truss.loads.cases), 1.0)
    blank = nothing(work.truss, len(work.cases) + 1)
    off = np.zeros(len(work.cases) + 1)
    whole = told_by(work.structure(), blank, off, cases=work.cases, runs=runs, shares=shares)
    alone = set(whole.runs) if one_by_one else _pushing(whole, runs, work)
    found = [whole.without(alone)] if alone else [whole]
    for told in whole.each() if alone else ():
        (run,) = told.runs
        if run not in alone:
            continue
        try:
            found.append(with_giving(told, blank, [*shares], stresses=_stresses(work, runs[run])))
        except CannotAnalyseError as error:
            errors[run] = error
    return found


def _pushing(told: Told, runs: Mapping[RunId, Factors], work: Work, before: Collection[RunId] = ()) -> set[RunId]:
    """The runs that hold a stressed tendon and in which one would have to push, or has had to `before`."""
    legs = told.sums.legs.values()
    return {
        run
        for run, row in zip(told.runs, told.factors, strict=True)
        if _stresses(work, runs[run])
        and (run in before or any(pushing((forces @ row).tolist()) for forces in legs))
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
