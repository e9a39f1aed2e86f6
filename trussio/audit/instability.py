"""Stops over statics: a truss without support, and mechanisms, one finding for each group of joints that moves.

The sentence says which joints can move and where to, the evidence gives every motion (the largest component 1),
whether it goes on or is stopped by the members, and what would hold it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.cures import cure_words, cures
from trussio.audit.mechanisms import extent, mechanisms, plainest
from trussio.audit.rank import decompose
from trussio.audit.wording import counted, heading, joint_pointers, listed, rounded
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from trussio.audit.compatibility import Compatibility
    from trussio.audit.cures import Cure
    from trussio.audit.mechanisms import Mechanism
    from trussio.audit.rank import Rank
    from trussio.model.truss import Idealisation, JointId, Json, Truss

    Array = NDArray[np.float64]

ASK: Final = (
    "Ask what holds it in the roof: a member, a bearing or a stick that runs through which the model lacks. "
    "Until that is settled no force may be believed."
)


MOST_TOLD: Final = 8
"""So many groups are told each by itself."""


def instability(truss: Truss, compat: Compatibility, rank: Rank, *, idealisation: Idealisation) -> list[Finding]:
    """Every mechanism of a truss in one idealisation; of one without support, what remains on a bearing."""
    found: list[Finding] = []
    if not truss.members:
        return [_no_member(idealisation)]
    if not any(name != "turn" for _, name in compat.holds):
        found.append(_no_support(truss))
        compat_matrix = np.vstack((compat.matrix, _anchor(compat)))
        rank = decompose(compat_matrix)
    groups = mechanisms(compat, rank.motions)
    found += [_finding(truss, compat, rank, group, idealisation=idealisation) for group in groups[:MOST_TOLD]]
    if len(groups) > MOST_TOLD:
        found.append(_rest(truss, groups[MOST_TOLD:], idealisation=idealisation))
    return found


def _rest(truss: Truss, groups: list[Mechanism], *, idealisation: Idealisation) -> Finding:
    """What is left of very many mechanisms, told in one finding without motions and cures."""
    names = list(truss.joints)
    moving = [names[joint] for group in groups for joint in group.joints]
    number = sum(group.count for group in groups)
    return Finding(
        code="mechanism",
        level="stop",
        where=joint_pointers(moving),
        says=f"Besides, {listed(moving)} can move ({counted(number, 'mechanism')}).",
        do="Settle those above first and audit again; so many loose joints mostly mean that few lines meet.",
        evidence={"idealisation": idealisation, "mechanisms": number, "kind": "many", "groups": len(groups)},
    )


def moves_of(names: Sequence[JointId], shape: Array) -> dict[str, Json]:
    """The joints that a motion moves, with the movement of each."""
    return {
        name: [rounded(float(x)), rounded(float(y))] for name, (x, y) in zip(names, shape, strict=True) if x or y
    }


def _no_member(idealisation: Idealisation) -> Finding:
    return Finding(
        code="mechanism",
        level="stop",
        where=("/members",),
        says="There is no member: nothing carries a load.",
        do="Add the members.",
        evidence={"idealisation": idealisation, "mechanisms": 0, "kind": "nothing"},
    )


def _no_support(truss: Truss) -> Finding:
    lowest = min(joint.y for joint in truss.joints.values()) if truss.joints else 0.0
    low = [name for name, joint in truss.joints.items() if joint.y == lowest]
    return Finding(
        code="no-support",
        level="stop",
        where=("/supports",),
        says="Nothing holds the truss: no joint is supported in x, in y or along an inclined bearing.",
        do="Say where it bears and what each bearing holds, usually one end `x` and `y`, the other `y` alone.",
        evidence={"lowest_joints": [*low]},
    )


def _anchor(compat: Compatibility) -> Array:
    """Three rows that hold the first segment still, so that only what is loose within the truss is left."""
    if not len(compat.ends):
        return np.zeros((0, compat.matrix.shape[1]))
    first, last = compat.ends[0]
    along = compat.along[0]
    x, y = compat.movement[2 * last], compat.movement[2 * last + 1]
    return np.vstack((compat.movement[2 * first], compat.movement[2 * first + 1], along[0] * y - along[1] * x))


def _finding(
    truss: Truss,
    compat: Compatibility,
    rank: Rank,
    group: Mechanism,
    *,
    idealisation: Idealisation,
) -> Finding:
    names = list(truss.joints)
    moving = [names[joint] for joint in group.joints]
    shapes = plainest(group)
    extents = [extent(compat, rank.stresses, shape) for shape in shapes]
    offered = cures(names, compat, group)
    tail = ""
    if offered:
        tail = "; " + cure_words({name: (j.x, j.y) for name, j in truss.joints.items()}, offered)
    stopped = all(kind == "infinitesimal" for kind in extents)
    limit = " The members would stop the movement, but only under forces far beyond the loads." if stopped else ""
    return Finding(
        code="mechanism",
        level="stop",
        where=joint_pointers(moving),
        says=f"{_says(moving, group, shapes)} ({counted(group.count, 'mechanism')}){tail}.{limit}",
        do=ASK + (_through(truss, moving, idealisation) if group.kind in {"internal", "local"} else ""),
        evidence={
            "idealisation": idealisation,
            "mechanisms": group.count,
            "kind": group.kind,
            "motions": [
                {"extent": kind, "moves": moves_of(names, shape)}
                for kind, shape in zip(extents, shapes, strict=True)
            ],
            "cures": [_cure(cure) for cure in offered],
        },
    )


def _says(moving: Sequence[JointId], group: Mechanism, shapes: Sequence[Array]) -> str:
    if group.kind == "lone":
        return f"{listed(moving)} can move: no member meets {'it' if len(moving) == 1 else 'them'}"
    single = shapes[0][group.joints[0]] if len(shapes) == 1 else None
    if group.kind == "whole":
        turns = single is None or np.ptp(shapes[0], axis=0).max() > 1e-6
        how = (
            "turn or slide"
            if turns and len(shapes) > 1
            else "turn"
            if turns
            else f"slide {heading(*shapes[0][0])}"
        )
        return f"The whole truss can {how} on its bearings"
    if group.kind == "part":
        return f"{listed(moving)} are joined to each other but not held by the rest: they can move as one piece"
    if group.kind == "local":
        return f"{moving[0]} can move {'in any direction' if single is None else heading(*single)}"
    if single is None:
        return f"{listed(moving)} can move"
    most = max(group.joints, key=lambda joint: round(float(np.hypot(*shapes[0][joint])), 6))
    name = moving[group.joints.index(most)]
    return f"{listed(moving)} can move together, {name} most, {heading(*shapes[0][most])}"


def _through(truss: Truss, moving: Sequence[JointId], idealisation: Idealisation) -> str:
    """The reminder that a stick may run through where two sticks end in a line of their own."""
    if idealisation == "pinned":
        return ""
    ends = [
        joint
        for joint in moving
        if sum(joint in (s.first, s.last) for s in truss.segments) == 2
        and all(joint not in member.through[1:-1] for member in truss.members.values())
    ]
    if not ends:
        return ""
    where = f"{listed(ends)}, where two sticks end"
    return f" If one stick runs through {where}, list its joints in one member."


def _cure(cure: Cure) -> dict[str, Json]:
    if cure.holds:
        return {"holds": [[joint, axis] for joint, axis in cure.holds]}
    return {"members": [[first, last] for first, last in cure.members]}
