"""Mechanisms told apart: which joints move together, how, as what, and how far.

Terms: a *mechanism group* is a set of joints whose motions have nothing to do with those of other joints. `kind`
is `whole` (the truss moves as one piece on its supports), `part` (a part not connected to the rest does so),
`lone` (a joint that no member meets), `local` (one joint) or `internal`. A motion is *infinitesimal* when
some self-stress resists it once it has begun: the members stop it after a small movement, under very large
forces; without one it goes on (`finite`).
Source for the test: S. Pellegrino, Analysis of prestressed mechanisms, Int. J. Solids Structures 26 (1990) (from
memory): the product of self-stress and motion, sum of force / length x (sideways movement) squared.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from trussio.audit.rank import STILL

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.audit.compatibility import Compatibility

    Array = NDArray[np.float64]

Kind = Literal["whole", "part", "lone", "local", "internal"]
MOST_SEARCHED: Final = 3
"""Groups of more mechanisms than this are shown in an echelon basis instead of the sparsest one."""


@dataclass(frozen=True, kw_only=True)
class Mechanism:
    """One group: the numbers of its joints in document order, an orthonormal basis of motions (2 joints, k)."""

    kind: Kind
    joints: tuple[int, ...]
    motions: Array

    @property
    def count(self) -> int:
        """How many independent mechanisms."""
        return int(self.motions.shape[1])


def mechanisms(compat: Compatibility, motions: Array) -> list[Mechanism]:
    """The groups of a space of motions, in the document order of their first joints."""
    moved = compat.movement @ motions
    left, values, _ = np.linalg.svd(moved, full_matrices=False)
    basis = left[:, values > STILL]
    projector = basis @ basis.T
    joints = len(compat.xy)
    coupled = np.abs(projector).reshape(joints, 2, joints, 2).max(axis=(1, 3), initial=0.0) > STILL
    parts = labels(_adjacency(compat))
    groups = labels(coupled)
    found = []
    for group in np.unique(groups[coupled.any(axis=1)]):
        rows = np.flatnonzero(np.repeat(groups == group, 2))
        left, values, _ = np.linalg.svd(projector[np.ix_(rows, rows)])
        space = np.zeros((2 * joints, int(np.count_nonzero(values > 0.5))))
        space[rows] = left[:, values > 0.5]
        members = tuple(int(joint) for joint in np.flatnonzero(groups == group))
        found.append(Mechanism(kind=_kind(compat, members, space, parts), joints=members, motions=space))
    return found


def labels(linked: Array | NDArray[np.bool_]) -> NDArray[np.intp]:
    """For each thing the smallest number among the things it is linked to, over any number of steps."""
    label = np.arange(len(linked))
    reach = linked.astype(bool) | np.eye(len(linked), dtype=bool)
    while True:
        spread = np.where(reach, label[None, :], len(linked)).min(axis=1, initial=len(linked))
        if (spread == label).all():
            return label
        label = spread


def plainest(mechanism: Mechanism) -> list[Array]:
    """A basis of motions that touch few joints, shape (joints, 2) each, the largest component 1."""
    blocks = mechanism.motions.reshape(-1, 2, mechanism.count)
    many = mechanism.count > MOST_SEARCHED
    candidates = list(_echelon(mechanism.motions).T) if many else _circuits(blocks)
    shapes = [_scaled(blocks @ candidate) for candidate in candidates]
    shapes.sort(key=lambda shape: (_touched(shape), *(-np.abs(shape).round(6).ravel())))
    chosen: list[Array] = []
    for shape in shapes:
        stacked = np.array([s.ravel() for s in [*chosen, shape]])
        if np.linalg.matrix_rank(stacked, tol=1e-6) == len(stacked):
            chosen.append(shape)
    return chosen


def extent(compat: Compatibility, stresses: Array, motion: Array) -> Literal["finite", "infinitesimal"]:
    """Whether a motion, shape (joints, 2), goes on or is stopped by the members after a small movement."""
    across = compat.xy[compat.ends[:, 1]] - compat.xy[compat.ends[:, 0]]
    moved = motion[compat.ends[:, 1]] - motion[compat.ends[:, 0]]
    lengths = np.hypot(across[:, 0], across[:, 1])
    sideways = (across[:, 0] * moved[:, 1] - across[:, 1] * moved[:, 0]) / lengths
    sideways[np.abs(sideways) < STILL] = 0.0
    forms = (sideways**2 / lengths) @ stresses[: len(lengths)]
    size = float((sideways**2 / lengths).sum())
    return "infinitesimal" if np.abs(forms).max(initial=0.0) > 1e-6 * size else "finite"


def _adjacency(compat: Compatibility) -> Array:
    linked = np.zeros((len(compat.xy), len(compat.xy)))
    linked[compat.ends[:, 0], compat.ends[:, 1]] = 1.0
    linked[compat.ends[:, 1], compat.ends[:, 0]] = 1.0
    return linked


def _kind(compat: Compatibility, joints: tuple[int, ...], space: Array, parts: NDArray[np.intp]) -> Kind:
    if any(joint not in compat.ends for joint in joints):
        return "lone"
    if len(joints) == 1:
        return "local"
    part = np.flatnonzero(parts == parts[joints[0]])
    if _is_rigid(compat.xy[part], space.reshape(-1, 2, space.shape[1])[part]):
        met = len(np.unique(compat.ends))
        return "whole" if len(part) == met else "part"
    return "internal"


def _is_rigid(xy: Array, moved: Array) -> bool:
    """Whether points move as one piece in every one of the motions, shape (points, 2, k)."""
    centred = xy - xy.mean(axis=0)
    scale = np.abs(centred).max(initial=0.0) or 1.0
    turn = np.column_stack((-centred[:, 1], centred[:, 0])) / scale
    rigid = np.column_stack((np.tile((1.0, 0.0), len(xy)), np.tile((0.0, 1.0), len(xy)), turn.ravel()))
    flat = moved.reshape(2 * len(xy), -1)
    orthonormal, _ = np.linalg.qr(rigid)
    return bool(np.abs(flat - orthonormal @ (orthonormal.T @ flat)).max(initial=0.0) < 1e-6)


def _circuits(blocks: Array) -> list[Array]:
    """Combinations of motions in which as many joints as possible stand still, by pinning one after another."""
    count = blocks.shape[2]
    if count == 1:
        return [np.ones(1)]
    found: list[Array] = []
    seen: set[bytes] = set()
    for block in blocks:
        _, values, right = np.linalg.svd(block)
        free = right[int(np.count_nonzero(values > STILL)) :].T
        key = (free @ free.T).round(6).tobytes()
        if 0 < free.shape[1] < count and key not in seen:
            seen.add(key)
            found += [free @ combination for combination in _circuits(blocks @ free)]
    return found or list(np.eye(count))


def _echelon(motions: Array) -> Array:
    """Combinations that make the motions an echelon: each has one movement that the others lack."""
    reduced = motions.copy()
    combine = np.eye(motions.shape[1])
    for column in range(motions.shape[1]):
        row = int(np.argmax(np.abs(reduced[:, column])))
        pivot = reduced[row] / reduced[row, column]
        pivot[column] = 0.0
        reduced -= np.outer(reduced[:, column], pivot)
        combine -= np.outer(combine[:, column], pivot)
    return combine


def _scaled(shape: Array) -> Array:
    flat = shape.ravel()
    largest = int(np.argmax(np.abs(flat) > np.abs(flat).max() * (1 - 1e-6)))
    scaled: Array = shape / flat[largest]
    scaled[np.abs(scaled) < STILL] = 0.0
    return scaled


def _touched(shape: Array) -> int:
    return int(np.count_nonzero(np.abs(shape).max(axis=1) > 1e-6))
