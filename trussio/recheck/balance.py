"""Equilibrium of forces that somebody gives, joint by joint, without any stiffness.

The axial forces are those given; the loads are the document's. Held and sprung directions are left out, since a
table of member forces says nothing of reactions. End moments are not given either: of all that there could be,
those are taken that leave least unbalanced, so that what is left is the fault of the axial forces whatever bends.
In the same way the best is taken of what later loads may have stretched a tendon by; how it was jacked is known.
What each figure's rounding can do is carried along and bounds what may be left.

An imbalance that one member alone could mend is pinned to it: what mends it is what that force is off by.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from trussio.model.truss import JointId
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]

SEEN: Final = 1e-6
"""An axial force whose effect on the equations is smaller than this is hidden behind the end moments."""
NOISE: Final = 1e-11
"""Part of the largest force that arithmetic alone may leave."""


class Balance(NamedTuple):
    """Equations without reactions and end moments: what each axial force does (`pull`) and what loads do.

    `joint` gives the joint of each equation; `loads` has a row per case, `size` the largest load of each before
    end moments and tendons took their part. Moments count divided by a mean length.
    """

    pull: Array
    loads: Array
    size: Array
    joint: NDArray[np.intp]


class Imbalance(NamedTuple):
    """What given forces leave unbalanced at worst: where, how much, and what rounding can explain there.

    `mends` lists (segment, change) for each segment that alone would restore balance everywhere, where there is
    something to mend.
    """

    joint: JointId
    residual: float
    allowed: float
    mends: Sequence[tuple[int, float]]


def balance_of(reading: Reading, known: Array | None = None, stretched: Array | None = None) -> Balance:
    """The equations that given axial forces must satisfy.

    After stages `known` (equations, c) is what acts, in place of cases, and `stretched` (equations, t) is what
    tendons do under unit forces of which nothing is known.
    """
    eq, segments = reading.equations, len(reading.truss.segments)
    bends = slice(segments, segments + len(eq.moments))
    free = eq.free[:, ~np.any(eq.free[[row for row, _ in eq.springs]] != 0.0, axis=0)]
    base = np.argmax(np.abs(free) > 0.0, axis=0)
    joints = 2 * len(reading.truss.joints)
    turn_joint = [list(reading.truss.joints).index(joint) for joint, _ in eq.turns]
    owner = np.concatenate((np.arange(joints) // 2, np.array(turn_joint, dtype=np.intp)))
    level = np.where(base < joints, 1.0, 1 / reading.axes.chord.mean())[:, None]
    given = eq.forces[:, bends]
    moments = level * (free.T @ (given if stretched is None else np.hstack((given, stretched))))
    pull = level * (free.T @ eq.forces[:, :segments])
    loads = level * (free.T @ (reading.loads.joints.T if known is None else known))
    size = np.abs(loads).max(axis=0, initial=0.0)
    if moments.shape[1]:
        spanned = _spanned(moments)
        pull, loads = pull - spanned @ (spanned.T @ pull), loads - spanned @ (spanned.T @ loads)
    return Balance(pull=pull, loads=loads.T, size=size, joint=owner[base])


def _spanned(moments: Array) -> Array:
    """An orthonormal basis of what unknown forces can do; the costlier one where some of them do nothing new."""
    even = moments / np.linalg.norm(moments, axis=0).clip(1e-300)
    basis, corner = np.linalg.qr(even)
    if len(even) >= even.shape[1] and np.abs(np.diag(corner)).min() > 1e-8:
        return basis
    left, values, _ = np.linalg.svd(even, full_matrices=False)
    return left[:, values > 1e-10 * values.max(initial=0.0)]


def imbalance(
    balance: Balance, joints: Sequence[JointId], factors: Array, claimed: Array, tolerance: Array
) -> Imbalance:
    """What is left unbalanced by claimed axial forces, each known to its tolerance.

    `joints` are those of the truss in order, `factors` those of the run on each case.
    """
    pushed = factors @ balance.loads
    left = balance.pull @ claimed + pushed
    noise = NOISE * max(np.abs(claimed).max(initial=0.0), float(np.abs(factors) @ balance.size))
    allowed = np.abs(balance.pull) @ tolerance + noise
    at_joints = np.sqrt(np.bincount(balance.joint, left**2, len(joints)))
    may = np.sqrt(np.bincount(balance.joint, allowed**2, len(joints)))
    over = at_joints - may
    worst = int(np.argmax(over)) if np.any(over > 0) else int(np.argmax(at_joints))
    mends = _mends(balance, left, allowed) if np.any(np.abs(left) > allowed) else []
    return Imbalance(joint=joints[worst], residual=float(at_joints[worst]), allowed=float(may[worst]), mends=mends)


def _mends(balance: Balance, left: Array, allowed: Array) -> list[tuple[int, float]]:
    """Each segment that alone could take away what is left, to within what may be left."""
    square = np.sum(balance.pull**2, axis=0)
    seen = square > SEEN**2
    change = np.where(seen, -(left @ balance.pull) / np.where(seen, square, 1.0), 0.0)
    after = np.abs(left[:, None] + balance.pull * change) - allowed[:, None]
    return [
        (int(segment), float(change[segment])) for segment in np.flatnonzero(seen & np.all(after <= 0, axis=0))
    ]
