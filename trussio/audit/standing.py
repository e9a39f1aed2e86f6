"""Both idealisations side by side: what stands only because a stick bends, what stands only on a line.

"As pinned: one mechanism at B3; it stands only because the bottom chord bends there" explains many old failures.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.cures import cure_words, cures
from trussio.audit.instability import moves_of
from trussio.audit.mechanisms import mechanisms, plainest
from trussio.audit.wording import counted, joint_pointers, listed, member_pointers
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from trussio.audit.cures import Cure
    from trussio.audit.mechanisms import Mechanism
    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, MemberId

    Array = NDArray[np.float64]

BENT: Final = 1e-6
"""A stick bends where its turn from segment to segment, for motions of unit size over a panel, is above this."""


def standing(subject: Subject) -> Iterator[Finding]:
    """Mechanisms of one idealisation that are none in the other; overhangs are said elsewhere."""
    pinned, continuous = subject.views["pinned"], subject.views["continuous"]
    if not pinned.statics.holds:
        return
    for group in mechanisms(pinned.compat, pinned.rank.motions):
        free = all(np.count_nonzero(pinned.compat.ends == joint) == 1 for joint in group.joints)
        if not free and not any(subject.names[joint] in continuous.statics.moving for joint in group.joints):
            yield _by_bending(subject, group, _bending(subject, group))
    for group in mechanisms(continuous.compat, continuous.rank.motions):
        if not any(subject.names[joint] in pinned.statics.moving for joint in group.joints):
            yield _hinges_in_line(subject, group)


def _by_bending(subject: Subject, group: Mechanism, bending: dict[MemberId, list[JointId]]) -> Finding:
    view, names = subject.views["pinned"], subject.names
    moving = [names[joint] for joint in group.joints]
    offered = cures(names, view.compat, group)
    sticks = listed(f"{member} bends at {listed(joints)}" for member, joints in bending.items()) or "sticks bend"
    if subject.asked == "pinned":  # a stop tells what moves and what would hold it
        says = f"As continuous it stands only because {sticks}."
    else:
        moved = f"As pinned: {counted(group.count, 'mechanism')} at {listed(moving)}"
        says = f"{moved}; it stands only because {sticks}.{_held(subject, offered)}"
    return Finding(
        code="stands-by-bending",
        level="query",
        where=(*joint_pointers(moving), *member_pointers(bending)),
        says=says,
        do="See that these sticks run through there unbroken, and look at their bending first.",
        evidence={
            "mechanisms": group.count,
            "motions": [moves_of(names, shape) for shape in plainest(group)],
            "bends": {member: [*joints] for member, joints in bending.items()},
            "cures": [[[first, last] for first, last in cure.members] for cure in offered if cure.members],
        },
    )


def _held(subject: Subject, offered: Sequence[Cure]) -> str:
    """What would hold it without bending, as a sentence of its own."""
    if not offered:
        return ""
    words = cure_words({name: (j.x, j.y) for name, j in subject.truss.joints.items()}, offered)
    return f" {words[0].upper()}{words[1:]} without bending."


def _bending(subject: Subject, group: Mechanism) -> dict[MemberId, list[JointId]]:
    """Where sticks would have to bend for the group to move: where they turn with another or with a bearing."""
    compat = subject.views["continuous"].compat
    moved = group.motions.reshape(-1, 2, group.count)
    across = compat.xy[compat.ends[:, 1]] - compat.xy[compat.ends[:, 0]]
    lengths = np.hypot(across[:, 0], across[:, 1])
    apart = moved[compat.ends[:, 1]] - moved[compat.ends[:, 0]]
    normal = np.column_stack((-compat.along[:, 1], compat.along[:, 0]))
    turns = np.einsum("sx,sxk->sk", normal, apart) / lengths[:, None] * subject.panel
    meeting: dict[int, list[int]] = {}
    idealised = subject.views["continuous"].idealised
    for segment, end in compat.moments:
        rotation = idealised.ends[segment][end]
        if rotation is not None:
            meeting.setdefault(rotation, []).append(segment)
    clamped = {idealised.shared[joint] for joint, name in compat.holds if name == "turn"}
    bends: dict[MemberId, list[JointId]] = {}
    for rotation, segments in meeting.items():
        turned = np.vstack((turns[segments], np.zeros((int(rotation in clamped), group.count))))
        if np.ptp(turned, axis=0).max() > BENT:
            for member in dict.fromkeys(subject.truss.segments[segment].member for segment in segments):
                bends.setdefault(member, []).append(idealised.rotations[rotation].joint)
    return bends


def _hinges_in_line(subject: Subject, group: Mechanism) -> Finding:
    names, view = subject.names, subject.views["continuous"]
    moving = [names[joint] for joint in group.joints]
    return Finding(
        code="hinges-in-line",
        level="query",
        where=joint_pointers(moving),
        says=f"As continuous: {counted(group.count, 'mechanism')} at {listed(moving)}; as pinned it stands only "
        "because joints where members of one line meet are taken to stay on that line.",
        do="If one stick runs through there, list its joints in one member; if two sticks meet there, something "
        "must hold them sideways.",
        evidence={
            "mechanisms": group.count,
            "motions": [moves_of(names, shape) for shape in plainest(group)],
            "count": view.statics.count,
        },
    )
