"""How near a truss is to a mechanism, in meaning: how far one joint need move for it to become one.

The smallest singular value of the compatibility matrix is 0 at a mechanism. Its change with the place of a joint
is u . dC v, u and v the singular vectors; value over change is the distance, to first order. The result is
said only when the truss with that joint moved is indeed five times nearer. Stiffness plays no part.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.compatibility import compatibility
from trussio.audit.wording import heading, joint_pointers, length, rounded
from trussio.model.finding import Finding
from trussio.model.truss import Joint

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from trussio.audit.subject import Subject, View
    from trussio.model.truss import Idealisation, Truss

    Array = NDArray[np.float64]

NEAR: Final = 0.05
"""A truss is near a mechanism when a move by this share of the mean segment length makes it one."""
LOOKED_AT: Final = 3
"""So many of the smallest singular values are looked at."""
SMALL: Final = 0.05
"""A singular value above this share of the middle one is not looked at."""


def near_mechanisms(subject: Subject) -> Iterator[Finding]:
    """A truss that a small move of one joint would make a mechanism."""
    seen: set[int] = set()
    for idealisation in (subject.asked, subject.other):
        view = subject.views[idealisation]
        if view.statics.mechanisms or not len(view.compat.ends):
            continue
        values = view.rank.values
        middle = float(np.median(values))
        for index in range(len(values) - 1, max(-1, len(values) - 1 - LOOKED_AT), -1):
            if values[index] > SMALL * middle:
                break
            move = _move(view, index)
            joint = int(np.argmax([bool(x or y) for x, y in move]))
            size = float(np.hypot(*move[joint]))
            if (
                0 < size < NEAR * subject.panel
                and joint not in seen
                and _nearer(subject, view, joint, move[joint])
            ):
                seen.add(joint)
                yield _finding(subject, idealisation, joint, move[joint], float(values[index] / values[0]))


def _move(view: View, index: int) -> Array:
    """The shortest move of a single joint that brings a singular value to 0 to first order, else zeros."""
    compat, rank = view.compat, view.rank
    force, motion = rank.left[:, index], rank.right[index]
    across = compat.xy[compat.ends[:, 1]] - compat.xy[compat.ends[:, 0]]
    lengths = np.hypot(across[:, 0], across[:, 1])
    normal = np.column_stack((-compat.along[:, 1], compat.along[:, 0]))
    moved = (compat.movement @ motion).reshape(-1, 2)
    apart = moved[compat.ends[:, 1]] - moved[compat.ends[:, 0]]
    change = (force[: len(lengths)] * (normal * apart).sum(axis=1) / lengths)[:, None] * normal
    for row, (segment, _) in enumerate(compat.moments, start=len(lengths)):
        along = compat.along[segment]
        felt = compat.matrix[row] @ motion + normal[segment] @ apart[segment]
        turned = (along @ apart[segment]) * normal[segment] / lengths[segment]
        change[segment] += force[row] * (turned + felt * along / lengths[segment])
    slope = np.zeros_like(compat.xy)
    np.add.at(slope, compat.ends[:, 1], change)
    np.add.at(slope, compat.ends[:, 0], -change)
    steep = np.hypot(slope[:, 0], slope[:, 1])
    joint = int(np.argmax(steep.round(9)))
    move = np.zeros_like(slope)
    if steep[joint] > 0:
        move[joint] = -rank.values[index] * slope[joint] / steep[joint] ** 2
    return move


def _nearer(subject: Subject, view: View, joint: int, move: Array) -> bool:
    """Whether the truss with the joint moved is at least five times nearer to a mechanism.

    In `pinned` a joint that comes to lie on a line by the move is no station for that: it was none before.
    """
    moved = _with_moved(subject.truss, joint, move)
    matrix = compatibility(moved, view.idealised).matrix
    values = np.linalg.svdvals(matrix)
    return bool(len(values) and values[-1] < view.rank.values[-1] / 5)


def _with_moved(truss: Truss, joint: int, move: Array) -> Truss:
    name = list(truss.joints)[joint]
    old = truss.joints[name]
    return replace(truss, joints={**truss.joints, name: Joint(x=old.x + float(move[0]), y=old.y + float(move[1]))})


def _finding(subject: Subject, idealisation: Idealisation, joint: int, move: Array, ratio: float) -> Finding:
    name = subject.names[joint]
    far = float(np.hypot(*move))
    asked = idealisation == subject.asked
    return Finding(
        code="near-mechanism",
        level="query" if asked else "note",
        where=joint_pointers([name]),
        says=f"{'Nearly' if asked else f'As {idealisation} nearly'} a mechanism: moving {name} by "
        f"{length(far, subject.truss.units)} ({heading(*(float(m) for m in move))}) would make it unstable.",
        do=f"Measure {name} and what meets there again; forces depend much on so small a distance.",
        evidence={
            "idealisation": idealisation,
            "joint": name,
            "distance": rounded(far),
            "move": [rounded(float(move[0])), rounded(float(move[1]))],
            "singular_ratio": rounded(ratio),
        },
    )
