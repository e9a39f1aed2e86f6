"""What is there at each moment of the stages: sticks, shores, cases that are on, tendons that are stressed.

Terms: a *moment* lies before the first action or after any; the *structure* of a moment is the truss of what is
there, as a document of its own would say it. The *final* structure is that after the last action, which bare runs
load at once. A stick is there from the start unless the first that is said of it is that it comes in.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from trussio.model.loading import (
    LEAST,
    JointLoad,
    LineLoad,
    Longer,
    PointLoad,
    RunId,
    SelfWeight,
    SupportMovement,
    Warmer,
)
from trussio.model.staging import (
    NOW,
    Add,
    Jack,
    PutOn,
    Release,
    Remove,
    Replace,
    Shore,
    TakeOff,
    Tension,
)
from trussio.model.tendon import TendonLoad, loses, stressing
from trussio.model.truss import Support

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

    from trussio.model.loading import Load, LoadCase, Loads
    from trussio.model.staging import Action, Stage
    from trussio.model.truss import Idealisation, JointId, MemberId, Truss


class Moment(NamedTuple):
    """What is there: sticks; shores by joint; cases on, in the order in which they came; tendons with their share.

    `beside` gives the action by which a stick came in beside another.
    """

    members: frozenset[MemberId]
    shores: Mapping[JointId, Shore]
    on: tuple[RunId, ...]
    stressed: Mapping[str, float]
    beside: Mapping[MemberId, Add]


def beginning(truss: Truss) -> Moment:
    """The moment before the first action."""
    said: set[MemberId] = set()
    later: set[MemberId] = set()
    for stage in truss.stages:
        for action in stage.actions:
            said.update(_taken_out(action))
            later.update(name for name in _put_in(action) if name not in said)
            said.update(_put_in(action))
    names = {member.part_of or name for name, member in truss.members.items()}
    return Moment(members=frozenset(names - later), shores={}, on=(), stressed={}, beside={})


def after(moment: Moment, action: Action) -> Moment:
    """The moment after an action."""
    on, shores, stressed = moment.on, dict(moment.shores), dict(moment.stressed)
    match action:
        case PutOn():
            on = (*on, *action.cases)
        case TakeOff():
            on = tuple(case for case in on if case not in action.cases)
        case Shore():
            shores.update(dict.fromkeys(action.joints, action))
        case Release():
            shores = {joint: shore for joint, shore in shores.items() if joint not in action.joints}
        case Tension():
            stressed.update(dict.fromkeys(action.tendons, action.to))
            stressed = {name: share for name, share in stressed.items() if share}
        case Add() | Remove() | Replace():
            return _exchanged(moment, action)
        case Jack():
            pass
    return moment._replace(on=on, shores=shores, stressed=stressed)


def _exchanged(moment: Moment, action: Add | Remove | Replace) -> Moment:
    out, into = _taken_out(action), _put_in(action)
    beside = {name: how for name, how in moment.beside.items() if name not in out}
    if isinstance(action, Add) and action.beside is not None:
        beside.update(dict.fromkeys(into, action))
    return moment._replace(members=moment.members.difference(out).union(into), beside=beside)


def meetings(truss: Truss, moment: Moment) -> set[tuple[MemberId, JointId]]:
    """Every stick that is there with every joint that it, or a part of it, still runs through."""
    return {
        (member.part_of or name, joint)
        for name, member in truss.members.items()
        if (member.part_of or name) in moment.members
        for joint in member.through
    }


def ending(truss: Truss) -> Moment:
    """The moment after the last action."""
    moment = beginning(truss)
    for stage in truss.stages:
        for action in stage.actions:
            moment = after(moment, action)
    return moment


def at_first(truss: Truss) -> Truss:
    """The structure before the first action, without tendons: what a survey saw."""
    there = structure(truss, beginning(truss)) if truss.stages else truss
    return replace(there, tendons={}, loads=replace(there.loads, cases=_untensed(there.loads)))


def final(truss: Truss) -> Truss:
    """The structure after the last action; the truss itself where it has no stages."""
    return structure(truss, ending(truss)) if truss.stages else truss


def structure(truss: Truss, moment: Moment, *, free: Collection[JointId] = ()) -> Truss:
    """What is there at a moment, without stages. Shores at joints that are `free` do not hold."""
    members = {name: one for name, one in truss.members.items() if (one.part_of or name) in moment.members}
    touched = {joint for member in members.values() for joint in member.through}
    ever = {joint for member in truss.members.values() for joint in member.through}
    joints = {name: joint for name, joint in truss.joints.items() if name in touched or name not in ever}
    supports = {name: support for name, support in truss.supports.items() if name in joints}
    for joint, shore in moment.shores.items():
        if joint in joints and joint not in free:
            held = supports.get(joint, Support())
            springs = {**held.springs, **(shore.springs or {})}
            supports[joint] = Support(holds=(*held.holds, *shore.holds), springs=springs)
    there = replace(truss, members=members, joints=joints, supports=supports, stages=())
    return replace(
        there,
        loads=_loads_there(there),
        connections={
            name: connection
            for name, connection in truss.connections.items()
            if all(piece.member is None or piece.member in members for piece in connection.pieces)
        },
        condition={name: one for name, one in truss.condition.items() if one.member in moment.members},
    )


def _loads_there(there: Truss) -> Loads:
    """The loads that act on something that is there."""
    cases = {
        name: replace(case, loads=tuple(load for every in case.loads for load in _left_of(there, every)))
        for name, case in there.loads.cases.items()
    }
    return replace(there.loads, cases=cases)


def _untensed(loads: Loads) -> dict[RunId, LoadCase]:
    """Cases without what they do to tendons."""
    return {
        name: replace(case, loads=tuple(load for load in case.loads if not isinstance(load, TendonLoad)))
        for name, case in loads.cases.items()
    }


def _left_of(there: Truss, load: Load) -> tuple[Load, ...]:
    match load:
        case JointLoad():
            kept = load.joint in there.joints
        case SupportMovement():
            kept = load.support in there.supports
        case SelfWeight():
            if load.of == "all":
                return (load,)
            weighed = tuple(name for name in load.of if name in there.members)
            return (replace(load, of=weighed),) if weighed else ()
        case LineLoad() | PointLoad() | Longer() | Warmer():
            kept = load.on.member is None or load.on.member in there.members
        case _:
            kept = True
    return (load,) if kept else ()


def without(stages: Sequence[Stage], lost: Collection[MemberId]) -> tuple[Stage, ...]:
    """The stages of a truss some of whose sticks are not there any more: what would take them out is left out."""
    return tuple(
        stage._replace(actions=tuple(left for action in stage.actions for left in _without(action, lost)))
        for stage in stages
    )


def _without(action: Action, lost: Collection[MemberId]) -> tuple[Action, ...]:
    if isinstance(action, Remove):
        kept = tuple(name for name in action.members if name not in lost)
        return (action._replace(members=kept),) if kept else ()
    if isinstance(action, Replace) and action.member in lost:
        return (Add(members=(action.by,), notes=action.notes),)
    if isinstance(action, Add) and action.beside in lost:
        return (Add(members=action.members, notes=action.notes),)
    return (action,)


def _taken_out(action: Action) -> tuple[MemberId, ...]:
    if isinstance(action, Remove):
        return action.members
    return (action.member,) if isinstance(action, Replace) else ()


def _put_in(action: Action) -> tuple[MemberId, ...]:
    if isinstance(action, Add):
        return action.members
    return (action.by,) if isinstance(action, Replace) else ()


def run_factors(truss: Truss) -> dict[RunId, Mapping[RunId, float]]:
    """Every run that a document with tendons or stages has, as factors by case; bare runs first.

    After each stage stands the run `stage/now`, with every case that is on as it is, and those that the stage asks
    for; after the last stage, where it does not say, every combination. Runs that hold tendons to the end have a
    second one with their least force.
    """
    found: dict[RunId, Mapping[RunId, float]] = {}
    by_tendon = stressing(truss.loads)
    losing = {
        case
        for name, cases in by_tendon.items()
        if name in truss.tendons and loses(truss.tendons[name])
        for case in cases
    }
    for run, factors in truss.loads.runs.items():
        found[run] = factors
        if any(factors.get(case) for case in losing):
            found[_least(run)] = factors
    moment = beginning(truss)
    for index, stage in enumerate(truss.stages):
        for action in stage.actions:
            moment = after(moment, action)
        last = index == len(truss.stages) - 1
        for run, factors in _of_stage(truss, moment, stage.runs, last=last):
            name = RunId(f"{stage.id}/{run}")
            found[name] = factors
            if last and any(factors.get(case) for case in losing):
                found[_least(name)] = factors
    return found


def beyond_plain(truss: Truss, idealisation: Idealisation) -> tuple[Truss, tuple[RunId, ...]]:
    """The final structure as a plain truss, and the runs that are more than that truss under its loads.

    Runs after stages always are; bare runs are where a tendon takes part in them, or where sticks that came in
    beside others slip along them or are glued to them.
    """
    ended = final(truss)
    tensing = stressing(truss.loads)
    members = any(name in truss.tendons and truss.tendons[name].acts == "member" for name in tensing)
    tied = any(
        how.slip or how.along or (how.glued and idealisation == "continuous")
        for how in ending(truss).beside.values()
    )
    stresses = {case for cases in tensing.values() for case in cases}
    found = tuple(
        run
        for run, factors in run_factors(truss).items()
        if "/" in run or members or tied or any(factors.get(case) for case in stresses)
    )
    cases = _untensed(ended.loads)
    kept = {run: by for run, by in ended.loads.combinations.items() if run not in found}
    left = {
        name: case for name, case in cases.items() if name not in found or any(name in by for by in kept.values())
    }
    loads = replace(ended.loads, cases=left, combinations=kept)
    return replace(ended, tendons={}, loads=loads), found


def untouched(truss: Truss, stopped: Collection[RunId]) -> list[RunId]:
    """The runs that do not depend on what is stopped: a case of their own, or one that a stage puts on."""
    put_on = {case for stage in truss.stages for action in stage.actions for case in getattr(action, "cases", ())}
    staged_too = not put_on.intersection(stopped)
    found = []
    for run, factors in run_factors(truss).items():
        bare = run.removesuffix(LEAST)
        base, staged = bare.rpartition("/")[2], "/" in bare
        if not {base, bare, *(case for case, by in factors.items() if by)} & set(stopped) and (
            staged_too or not staged
        ):
            found.append(run)
    return found


def _of_stage(
    truss: Truss, moment: Moment, asked: Iterable[RunId] | None, *, last: bool
) -> Iterator[tuple[RunId, Mapping[RunId, float]]]:
    every = truss.loads.runs
    on = dict.fromkeys(moment.on, 1.0)
    on |= {case: 1.0 for name in moment.stressed for case in stressing(truss.loads).get(name, ())}
    yield RunId(NOW), on
    for run in asked if asked is not None else truss.loads.combinations if last else ():
        if run in every:
            yield run, every[run]


def _least(run: RunId) -> RunId:
    return RunId(f"{run}{LEAST}")
