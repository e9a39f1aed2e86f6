"""Whether stages can be done in the order in which they stand: nothing goes out that is not there.

Every trouble is told with its place, the stage and the stick, joint, case or tendon. Names that name nothing are
no matter of order and are passed over.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.model.history import after, beginning, meetings
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension
from trussio.model.tendon import stressing

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.history import Moment
    from trussio.model.staging import Action
    from trussio.model.truss import JointId, MemberId, Truss


Told = tuple[str, str, str]
"""Place within an action, what cannot be done, what to do."""


class Trouble(NamedTuple):
    """What cannot be done: `where` is a JSON Pointer."""

    where: str
    what: str
    do: str


def troubles(truss: Truss) -> Iterator[Trouble]:
    """Everything in the stages that cannot be done, in their order."""
    moment = beginning(truss)
    for number, stage in enumerate(truss.stages):
        for index, action in enumerate(stage.actions):
            where = f"/stages/{number}/actions/{index}"
            for place, what, do in _of_action(truss, moment, action):
                yield Trouble(f"{where}/{place}", f'stage "{stage.id}" {what}', do)
            moment = after(moment, action)


def _of_action(truss: Truss, moment: Moment, action: Action) -> Iterator[Told]:
    match action:
        case PutOn() | TakeOff():
            yield from _cases(truss, moment, action)
        case Shore():
            yield from _shoring(truss, moment, action)
        case Jack() | Release():
            yield from _shored(moment, action)
        case Tension():
            yield from _tensing(truss, moment, action)
        case Add() | Remove() | Replace():
            yield from _exchange(truss, moment, action)


def _exchange(truss: Truss, moment: Moment, action: Add | Remove | Replace) -> Iterator[Told]:
    if isinstance(action, Remove):
        for index, name in enumerate(action.members):
            yield from _goes(truss, moment, name, action.members, f"remove/{index}")
    elif isinstance(action, Replace):
        yield from _goes(truss, moment, action.member, (action.member,), "replace")
        yield from _comes(moment, action.by, "with")
    else:
        for index, name in enumerate(action.members):
            yield from _comes(moment, name, f"add/{index}")
            yield from _beside(truss, moment, name, action)


def _shored(moment: Moment, action: Jack | Release) -> Iterator[Told]:
    key, does = ("jack", "jacks") if isinstance(action, Jack) else ("release", "releases")
    for index, joint in enumerate(action.joints):
        if joint not in moment.shores:
            what = f"{does} a shore at {joint}, where none stands."
            yield f"{key}/{index}", what, "Set it first, or name the joint that is meant."
        elif key == "jack" and not _bears_up(moment.shores[joint]):
            what = f"jacks the shore at {joint}, which does not hold it upwards."
            yield f"{key}/{index}", what, "Let the shore hold y."


def _bears_up(shore: Shore) -> bool:
    return "y" in (*shore.holds, *(shore.springs or {}))


def _cases(truss: Truss, moment: Moment, action: PutOn | TakeOff) -> Iterator[Told]:
    coming = isinstance(action, PutOn)
    tensing = {case for cases in stressing(truss.loads).values() for case in cases}
    for index, case in enumerate(action.cases):
        if coming and case in tensing:
            what = f"puts {case} on, which stresses tendons."
            yield f"load/{index}", what, 'Name the tendons: {"tension": [...]}.'
        if coming and case in moment.on:
            yield f"load/{index}", f"puts {case} on, which is on already.", "Put each case on once."
        if not coming and case not in moment.on:
            yield f"unload/{index}", f"takes {case} off, which is not on.", "Put it on in an earlier action."


def _shoring(truss: Truss, moment: Moment, action: Shore) -> Iterator[Told]:
    standing = _joints_there(truss, moment)
    for index, joint in enumerate(action.joints):
        if joint in moment.shores or _clash(truss, joint, action):
            what = f"sets a shore at {joint}, which is held there already."
            yield f"shore/{index}", what, "Shore another joint, or release what stands there first."
        elif joint in truss.joints and joint not in standing:
            what = f"sets a shore at {joint}, where no stick is."
            yield f"shore/{index}", what, "Shore a joint that a stick runs through at that moment."


def _clash(truss: Truss, joint: JointId, shore: Shore) -> bool:
    """Whether a bearing at the joint holds what the shore would hold, or either is inclined."""
    if joint not in truss.supports:
        return False
    support = truss.supports[joint]
    held, asked = {*support.holds, *support.springs}, {*shore.holds, *(shore.springs or {})}
    return bool(held & asked) or any(isinstance(way, tuple) for way in held | asked)


def _goes(
    truss: Truss, moment: Moment, name: MemberId, together: Sequence[MemberId], place: str
) -> Iterator[Told]:
    if name not in moment.members:
        yield place, f"takes out {name}, which is not there.", "It is out already, or comes in later."
        return
    leaning = sorted(other for other, how in moment.beside.items() if how.beside == name and other not in together)
    if leaning:
        what = f"takes out {name}, to which {', '.join(leaning)} is tied."
        yield place, what, "Take that out before it or with it."
    for tendon in moment.stressed:
        if tendon in truss.tendons and any(point.bears_on == name for point in truss.tendons[tendon].path):
            what = f"takes out {name}, which the stressed tendon {tendon} bears on."
            yield place, what, f"Let {tendon} off first: tension it to 0."


def _comes(moment: Moment, name: MemberId, place: str) -> Iterator[Told]:
    if name in moment.members:
        yield place, f"puts in {name}, which is there already.", "Take it out first, or name another stick."


def _beside(truss: Truss, moment: Moment, name: MemberId, action: Add) -> Iterator[Told]:
    old = action.beside
    if old is None or old not in truss.members or name not in truss.members:
        return
    if old not in moment.members:
        yield "beside", f"puts {name} beside {old}, which is not there.", "Name a stick that is there."
    if truss.members[name].curve is not None and (action.slip or action.along):
        what = f"lets {name} slip along {old}, and it is curved."
        yield "beside", what, "Slip is known of straight sticks only; use several, or leave the slip out."


def _tensing(truss: Truss, moment: Moment, action: Tension) -> Iterator[Told]:
    cases, there, met = stressing(truss.loads), _joints_there(truss, moment), meetings(truss, moment)
    for index, name in enumerate(action.tendons):
        place = f"tension/{index}"
        if name not in truss.tendons:
            continue
        if len(cases.get(name, ())) != 1:
            what = f"tensions {name}, whose force {len(cases.get(name, ()))} cases state."
            yield place, what, "State its force in one case of kind post-tension."
        for point in truss.tendons[name].path:
            if point.joint not in there:
                what = f"tensions {name}, which bears on {point.joint}, where no stick is."
                yield place, what, "Put in what it bears on first."
            elif point.bears_on is not None and (point.bears_on, point.joint) not in met:
                what = f"tensions {name}, which bears on {point.bears_on} at {point.joint}; that is not there."
                yield place, what, "Put in what it bears on first."


def _joints_there(truss: Truss, moment: Moment) -> set[JointId]:
    return {
        joint
        for name, member in truss.members.items()
        if (member.part_of or name) in moment.members
        for joint in member.through
    }
