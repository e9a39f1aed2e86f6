"""Forces by the least complementary energy: of all forces in equilibrium, those that strain the truss least.

With f the unknown forces, F their flexibility and e what loads along segments, lack of fit, warmth and moved
supports would deform them by if they were cut free, the truss takes the f that makes f F f / 2 + f e least among
all that satisfy the equations of equilibrium (the theorem of Castigliano and Engesser, found in every textbook of
structural analysis; from memory). No stiffness matrix is formed, and no movement is an unknown.

With F = L L' and g = L' f + inv(L) e the sum to make least is |g|, and the equations are B g = c, where B is
the equilibrium matrix weighted by inv(L'). The shortest g is Q inv(R') c with B' = Q R (Householder). The null
space of B is never formed: it loses digits where bending is far softer than stretching. Movements come out as the
price of each equation; no force is made from them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.errors import CannotAnalyseError
from trussio.recheck.equilibrium import row_of
from trussio.recheck.flexibility import flexibility, softness_of
from trussio.recheck.holding import held_directions
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, JointId, SegmentId, Truss
    from trussio.recheck.equilibrium import Equilibrium
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]

SUSPECT: Final = 1e-4
"""A pivot of the weighted equations below this calls for the rank of the plain ones."""
RANK: Final = 1e-9
"""Singular values below this part of the largest count as nought: drawings are rounded far more coarsely."""
STILL: Final = 1e-7
"""A joint stands still when it moves by less than this part of what moves most."""


class SecondForces(NamedTuple):
    """What one run does, by this method.

    `axial` by segment, tension positive; `moments` at both ends of it, nought at a hinge; `reactions` (x, y, turn)
    on the truss; `movements` (x, y, turn or None) of joints. `size` is the largest number that the forces are
    made of: a force, a load on a joint, a force that would arise if no joint could move; rounding is to be judged
    by it.
    """

    axial: Mapping[SegmentId, float]
    moments: Mapping[SegmentId, tuple[float, float]]
    reactions: Mapping[JointId, tuple[float, float, float]]
    movements: Mapping[JointId, tuple[float, float, float | None]]
    size: float


def second_forces(
    truss: Truss, *, idealisation: Idealisation, runs: Iterable[RunId] | None = None
) -> dict[RunId, SecondForces]:
    """Forces, reactions and movements of the runs named, or of all.

    Raises CannotAnalyseError: `mechanism` when a joint can move without strain, `property-missing` when a section
    or a material does not say what is needed, `load` when a load of these runs cannot be evaluated.
    """
    return least_energy(read(truss, idealisation=idealisation, runs=runs))


def least_energy(reading: Reading) -> dict[RunId, SecondForces]:
    """The same for a truss that has been read."""
    found = minimum(reading)
    return {run: _run(reading, found, factors) for run, factors in reading.factors.items()}


def _weighted(reading: Reading) -> tuple[Array, Array]:
    """inv(L) of all unknowns, and what each case deforms them by when they are cut free (unknowns, cases)."""
    truss, axes, eq = reading.truss, reading.axes, reading.equations
    segments, unknowns = len(truss.segments), eq.forces.shape[1]
    column = np.full((segments, 3), -1, dtype=np.intp)
    column[:, 0] = np.arange(segments)
    for index, (segment, end) in enumerate(eq.moments, start=segments):
        column[segment, 1 + end] = index
    there = column >= 0
    bends = there[:, 1:].any(axis=1) | (axes.curvature != 0)
    block, start = flexibility(axes, reading.loads, softness_of(truss, bends))
    for case, segment, strain in reading.placed.strains:
        start[case, segment, 0] += strain * axes.chord[segment]
    # a hinged end stands in its block as a 1 of its own, which leaves the factors of the others as they are
    block = np.where(there[:, :, None] & there[:, None, :], block, np.eye(3))
    inverse = np.linalg.inv(np.linalg.cholesky(block))
    weight = np.zeros((unknowns, unknowns))
    for row in range(3):
        for other in range(row + 1):
            both = there[:, row] & there[:, other]
            weight[column[both, row], column[both, other]] = inverse[both, row, other]
    for index, (_, stiffness) in enumerate(eq.springs, start=unknowns - len(eq.springs)):
        weight[index, index] = stiffness**0.5
    deformed = np.zeros((unknowns, len(start)))
    deformed[column[there]] = start[:, there].T
    return weight, deformed


def _ground(reading: Reading) -> tuple[Array, Array]:
    """Movements that supports force on joints (equations, cases), and those of the ground of springs."""
    truss, eq, cases = reading.truss, reading.equations, len(reading.loads.joints)
    forced = np.zeros((len(eq.forces), cases))
    sprung = np.zeros((len(eq.springs), cases))
    rows = {row: index for index, (row, _) in enumerate(eq.springs)}
    for case, joint, name, by in reading.placed.moves:
        row = row_of(truss, eq.turns, joint, name)
        if row is None:
            continue
        if name not in truss.supports[joint].holds:
            sprung[rows[row], case] += by
        elif name == "turn":
            forced[row, case] += by
        else:
            held = held_directions(truss, joint)
            moved = [by * (other == name) for other, _, _ in held]
            forced[row - (name == "y") + np.arange(2), case] += np.linalg.lstsq([h[1:] for h in held], moved)[0]
    return eq.carry @ forced, sprung


class Found(NamedTuple):
    """Unknowns, movements and sizes of numbers of all cases, one column each."""

    forces: Array
    moved: Array
    size: Array


def minimum(reading: Reading) -> Found:
    """Unknowns and movements of every case that was read."""
    truss, eq, on_joints = reading.truss, reading.equations, reading.loads.joints
    weight, deformed = _weighted(reading)
    forced, sprung = _ground(reading)
    deformed[len(deformed) - len(sprung) :] -= sprung
    start = deformed + eq.forces.T @ forced
    plain = eq.free.T @ eq.forces
    pushed = eq.free.T @ on_joints.T
    rows = weight @ plain.T
    scale = np.linalg.norm(rows, axis=0)
    scale[scale == 0.0] = 1.0
    if len(rows) < len(plain):
        raise _mechanism(truss, eq, plain)
    basis, corner = np.linalg.qr(rows / scale)
    if len(corner) and np.abs(np.diag(corner)).min() < SUSPECT:
        _check_rank(truss, eq, plain)
    offset = weight @ start
    inverse = np.linalg.inv(corner)
    price = inverse.T @ (((rows.T @ offset) - pushed) / scale[:, None])
    forces = weight.T @ (basis @ price - offset)
    # once more for what rounding left unbalanced
    missing = inverse.T @ ((-pushed - plain @ forces) / scale[:, None])
    forces += weight.T @ (basis @ missing)
    moved = forced - eq.free @ (inverse @ (price + missing) / scale[:, None])
    segments = len(truss.segments)
    size = np.vstack((forces[:segments], (weight.T @ offset)[:segments], on_joints.T[: 2 * len(truss.joints)]))
    return Found(forces=forces, moved=moved, size=np.abs(size).max(axis=0, initial=0.0))


def _check_rank(truss: Truss, eq: Equilibrium, plain: Array) -> None:
    """Refuse a truss that can move, whatever its stiffness; one that is only soft passes."""
    rows, columns = _even(plain)
    values = np.linalg.svd(rows[:, None] * plain * columns, compute_uv=False)
    if values[-1] < RANK * values[0]:
        raise _mechanism(truss, eq, plain)


def _even(plain: Array) -> tuple[Array, Array]:
    """Factors of rows and columns that bring forces and moments to one size."""
    rows, columns = np.ones(plain.shape[0]), np.ones(plain.shape[1])
    for _ in range(3):
        columns = _over(np.linalg.norm(rows[:, None] * plain, axis=0))
        rows = _over(np.linalg.norm(plain * columns, axis=1))
    return rows, columns


def _over(sizes: Array) -> Array:
    return np.where(sizes > 0, 1 / np.where(sizes > 0, sizes, 1.0), 1.0)


def _mechanism(truss: Truss, eq: Equilibrium, plain: Array) -> CannotAnalyseError:
    """The refusal of a truss that can move, naming the joints that move most plainly."""
    rows, columns = _even(plain)
    left, values, _ = np.linalg.svd(rows[:, None] * plain * columns)
    rank = int(np.count_nonzero(values > RANK * values[0])) if values.size else 0
    motions = eq.free @ (rows[:, None] * left[:, rank:])
    joints = 2 * len(truss.joints)
    size = np.linalg.norm(motions[:joints].reshape(len(truss.joints), -1), axis=1)
    moving = [
        name for name, moves in zip(truss.joints, size > STILL * size.max(initial=0.0), strict=True) if moves
    ]
    count = len(plain) - rank
    what = (
        f"{', '.join(moving) or 'A stick'} can move without strain ({count} mechanism{'s' if count > 1 else ''})."
    )
    where = ", ".join(f"/joints/{name}" for name in moving) or "/members"
    return CannotAnalyseError("mechanism", where=where, what=what, do="Add what holds it, or ask the surveyor.")


def _run(reading: Reading, found: Found, factors: Array) -> SecondForces:
    """One run as the sum of its cases."""
    truss, eq = reading.truss, reading.equations
    forces = found.forces @ factors
    moved = (found.moved @ factors).tolist()
    unknown = np.where(np.arange(len(forces)) < len(forces) - len(eq.springs), forces, 0.0)
    reaction = (-eq.carry.T @ (eq.forces @ unknown + factors @ reading.loads.joints)).tolist()
    values = forces.tolist()
    moments = [[0.0, 0.0] for _ in truss.segments]
    for (segment, end), value in zip(eq.moments, values[len(moments) :], strict=False):
        moments[segment][end] = value
    number = {joint: index for index, joint in enumerate(truss.joints)}
    turn = {joint: row for (joint, stick), row in eq.turns.items() if stick is None}
    return SecondForces(
        axial={segment.id: values[index] for index, segment in enumerate(truss.segments)},
        moments={s.id: (first, last) for s, (first, last) in zip(truss.segments, moments, strict=True)},
        reactions={
            joint: (
                reaction[2 * number[joint]],
                reaction[2 * number[joint] + 1],
                reaction[turn[joint]] if joint in turn else 0.0,
            )
            for joint in truss.supports
        },
        movements={
            joint: (moved[2 * index], moved[2 * index + 1], moved[turn[joint]] if joint in turn else None)
            for joint, index in number.items()
        },
        size=float(np.abs(factors) @ found.size),
    )
