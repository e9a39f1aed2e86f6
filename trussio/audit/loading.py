"""Queries and notes over loads: what reaches nothing, what is empty, what pushes the wrong way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.audit.unevaluable import targets
from trussio.audit.wording import counted, listed, pointer
from trussio.model.finding import Finding
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, SupportMovement, Warmer

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.loading import Load, RunId
    from trussio.model.truss import Truss

GRAVITY: Final = frozenset({"dead", "roof-live", "live"})
"""Kinds of case that weigh down; of snow that does not, see `one_way`."""


def loading(subject: Subject) -> Iterator[Finding]:
    """Everything that is odd about loads and can still be evaluated."""
    truss = subject.truss
    if not truss.loads.cases:
        yield Finding(
            code="no-loads",
            level="note",
            where=("/loads",),
            says="There is no load: nothing can be calculated yet.",
            do="Give the dead load at least; forces come run by run.",
        )
    for case, content in truss.loads.cases.items():
        if not content.loads:
            yield Finding(
                code="empty-case",
                level="query",
                where=(pointer("loads", "cases", case),),
                says=f"The case {case} holds no load.",
                do="Give its loads, or delete the case; as it is, it counts as no load at all.",
                evidence={"case": case},
            )
        for index, load in enumerate(content.loads):
            place = pointer("loads", "cases", case, "loads", index)
            yield from _reaches_nothing(subject, load, place, case)
            yield from _upright(truss, load, place, case)
            if content.kind in GRAVITY and _pushes_up(load):
                yield _upward(place, case, content.kind)
    yield from _combinations(truss)


def _reaches_nothing(subject: Subject, load: Load, place: str, case: RunId) -> Iterator[Finding]:
    why = _nothing(subject, load)
    if why:
        yield Finding(
            code="load-reaches-nothing",
            level="query",
            where=(place,),
            says=f"A load of case {case} reaches nothing: {why}.",
            do="Say where it acts and how large it is, or delete it.",
            evidence={"case": case},
        )


def _nothing(subject: Subject, load: Load) -> str:
    """Why a load does nothing; empty where it does something."""
    why = ""
    match load:
        case SelfWeight():
            why = "" if load.of else "it names no member"
        case JointLoad():
            met = any(load.joint in (s.first, s.last) for s in subject.truss.segments)
            why = "" if met else f"no member meets {load.joint}"
        case SupportMovement():
            idle = set(load.moves) == {"turn"} and load.support not in subject.view.idealised.shared
            why = f"no stick turns with {load.support}" if idle else ""
        case LineLoad() | PointLoad() | Longer() | Warmer():
            why = "" if targets(subject.truss, load.on) else f"no member has the role {load.on.role}"
    return why or ("" if _has_size(load) else "it has no size")


def _has_size(load: Load) -> bool:
    size = True
    match load:
        case JointLoad():
            size = bool(load.fx or load.fy or load.moment)
        case PointLoad():
            size = bool(load.fx or load.fy)
        case LineLoad():
            pair = load.value if isinstance(load.value, tuple) else (load.value, load.value)
            size = any(pair) and (load.start is None or load.start != load.end)
        case SupportMovement():
            size = any(load.moves.values())
        case Longer() | Warmer():
            size = bool(load.by)
    return size


def _upright(truss: Truss, load: Load, place: str, case: RunId) -> Iterator[Finding]:
    """Loads per plan length on vertical segments, which get none."""
    if not isinstance(load, LineLoad) or load.per != "plan" or load.direction == "across":
        return
    sticks = set(targets(truss, load.on))
    bare = [
        segment.id
        for segment in truss.segments
        if segment.member in sticks and truss.joints[segment.first].x == truss.joints[segment.last].x
    ]
    if bare:
        yield Finding(
            code="plan-load-on-vertical",
            level="note",
            where=(place,),
            says=f"A load of case {case} is per plan length; {listed(bare)} stand upright and get none.",
            do="Give it per length of the stick (`slope`) if they are loaded too.",
            evidence={"case": case, "segments": [*bare]},
        )


def _pushes_up(load: Load) -> bool:
    match load:
        case JointLoad() | PointLoad():
            return load.fy > 0
        case LineLoad():
            pair = load.value if isinstance(load.value, tuple) else (load.value, load.value)
            return load.direction == "down" and max(pair) <= 0 and min(pair) < 0
        case _:
            return False


def _upward(place: str, case: RunId, kind: str) -> Finding:
    return Finding(
        code="pushes-up",
        level="query",
        where=(place,),
        says=f"A load of case {case} pushes up, though the case is {kind} load.",
        do="`fy` is positive upwards, `down` positive downwards: turn the sign round if the load weighs down.",
        evidence={"case": case, "kind": kind},
    )


def _combinations(truss: Truss) -> Iterator[Finding]:
    for run, factors in truss.loads.combinations.items():
        idle = [case for case, factor in factors.items() if factor == 0]
        where = (pointer("loads", "combinations", run),)
        if not factors or len(idle) == len(factors):
            yield Finding(
                code="empty-combination",
                level="query",
                where=where,
                says=f"The combination {run} takes no case with a factor other than 0.",
                do="Give its factors, or delete it; as it is, it counts as no load at all.",
                evidence={"run": run},
            )
        elif idle:
            yield Finding(
                code="factor-zero",
                level="note",
                where=where,
                says=f"The combination {run} takes {listed(idle)} with the factor 0: "
                f"{counted(len(idle), 'case')} left out.",
                do="Delete the factor, or give the one that is meant.",
                evidence={"run": run, "cases": [*idle]},
            )
