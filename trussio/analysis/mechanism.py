"""Which joints of a frame can move without straining anything, and the refusal that says so.

Rank of the basic deformations by the unknown movements, made free of units: moments count by the length of their
segment, turns by the mean length. Stiffness has no part in it, so that a soft member is no mechanism.
Source: S. Pellegrino and C. R. Calladine, Matrix analysis of statically and kinematically indeterminate
frameworks, Int. J. Solids Structures 22 (1986) (cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.frame import across, acting, deformation_matrix
from trussio.analysis.properties import pointer
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.frame import Frame
    from trussio.model.truss import JointId, Support, Truss

NOTHING = 1e-9
"""A singular value below this part of the largest is a mechanism's; drawings are rounded far more coarsely."""
STILL = 1e-6
"""A joint stands still that moves by less than this part of the one that moves most."""
NAMED = 4
"""So many joints are named in a message; the rest are counted."""


def refusal(truss: Truss, frame: Frame) -> CannotAnalyseError:
    """Why a frame of this truss cannot be solved: what can move, or that it is too near to moving.

    Joints come first among the movements of a frame, two to each, in the order of the document.
    """
    if not any(_bears(support) for support in truss.supports.values()):
        return CannotAnalyseError(
            "no-support",
            where="/supports",
            what="nothing holds the truss: no joint is supported in x, in y or along an inclined bearing.",
            do="Say where it bears and what each bearing holds, usually one end `x` and `y`, the other `y` alone.",
        )
    joints = list(truss.joints)
    moved = motions(frame)
    shifts = moved[: 2 * len(joints)].reshape(len(joints), 2, -1)
    sizes = np.sqrt((shifts**2).sum(axis=(1, 2)))
    moving = [index for index in range(len(joints)) if sizes[index] > STILL * sizes.max()]
    if not moved.shape[1]:
        return CannotAnalyseError(
            "near-mechanism",
            what="the truss is so near to a mechanism that no force in it can be computed to be trusted.",
            do="Look for joints that hardly anything holds, and for stiffnesses far too small or too large.",
        )
    count = moved.shape[1]
    mechanisms = "1 mechanism" if count == 1 else f"{count} mechanisms"
    return CannotAnalyseError(
        "mechanism",
        where=pointer("joints", joints[moving[0]]),
        what=f"{_listed([joints[index] for index in moving])} can move{_whither(shifts, moving)} ({mechanisms}).",
        do="Ask what holds it in the roof: a member, a bearing or a stick that runs through is missing here.",
    )


def _bears(support: Support) -> bool:
    return any(direction != "turn" for direction in (*support.holds, *support.springs))


def motions(frame: Frame) -> Floats:
    """Movements without strain, one to a column, shape (n, mechanisms)."""
    length = np.hypot(*across(frame).T)
    turns = 1.0 / length.mean() if len(length) else 1.0
    by_length = np.stack([np.ones_like(length), length, length], axis=1)
    rows = deformation_matrix(frame)[acting(frame).ravel()] * by_length[acting(frame)][:, None]
    rows = np.concatenate([rows, np.eye(frame.total)[frame.springs > 0.0]])
    unit = np.ones(frame.total)
    unit[_turning(frame)] = turns
    spread = np.eye(frame.total)[:, frame.free] if frame.ties is None else frame.ties
    _, values, right = np.linalg.svd((rows * unit) @ spread)
    rank = int(np.count_nonzero(values > NOTHING * values.max(initial=0.0)))
    found: Floats = unit[:, None] * (spread @ right[rank:].T)
    return found


def _turning(frame: Frame) -> Counts:
    """The movements that are turns."""
    turns = np.unique(frame.turns)
    return turns[turns < frame.total]


def _whither(shifts: Floats, moving: list[int]) -> str:
    """The direction of the only joint that moves, in words, where it has one."""
    if len(moving) > 1 or shifts.shape[2] > 1:
        return ""
    x, y = np.abs(shifts[moving[0], :, 0])
    if y < STILL * x:
        return " sideways"
    return " up and down" if x < STILL * y else " askew"


def _listed(names: list[JointId]) -> str:
    if len(names) > NAMED + 1:
        return f"{', '.join(names[:NAMED])} and {len(names) - NAMED} more joints"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
