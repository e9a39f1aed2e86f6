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
from trussio.late import loaded
from trussio.recheck.problem import padded, problem_of
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, JointId, SegmentId, Truss
    from trussio.recheck.problem import Problem
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]

MOBILITY: Final = "trussio.recheck.mobility"
REFINED: Final = 1
"""So often forces are bettered by what they leave undone; soft bending needs it."""
NO_SET: Final = "Look for what holds the truss then, or say that they carry both ways if they do."
SUSPECT: Final = 1e-4
"""A pivot of the weighted equations below this calls for the rank of the plain ones."""


class SecondForces(NamedTuple):
    """What one run does, by this method.

    `axial` by segment, tension positive; `moments` at both ends of it, nought at a hinge; `reactions` (x, y, turn)
    on the truss; `movements` (x, y, turn or None) of joints. `size` is the largest number that the forces are
    made of: a force, a load on a joint, a moment over a length, a force that would arise if no joint could move;
    rounding is to be judged by it.
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
    or a material does not say what is needed, `load` when a load of these runs cannot be evaluated,
    `no-acting-set` when no set of members that carry one way is found to balance a run.
    """
    reading = read(truss, idealisation=idealisation, runs=runs)
    found = least_energy(reading)
    for run in reading.factors:
        if run not in found:
            raise CannotAnalyseError("no-acting-set", where="/members", what=no_set(run), do=NO_SET)
    return found


def no_set(run: RunId) -> str:
    """That no acting set was found."""
    return f"In run {run} no set of the members that carry one way was found that balances the loads."


def least_energy(reading: Reading) -> dict[RunId, SecondForces]:
    """The same for a truss that has been read; runs without an acting set are left out."""
    problem = problem_of(reading)
    found = minimum(reading, problem)
    return forces_of(reading, found, factors_of(reading, problem, found))


def forces_of(reading: Reading, found: Found, factors: Mapping[RunId, Array]) -> dict[RunId, SecondForces]:
    """Runs as sums of columns."""
    return {run: _run(reading, found, row) for run, row in factors.items()}


class Found(NamedTuple):
    """Unknowns, movements and sizes of numbers of all cases, one column each.

    `paths` (unknowns, free movements) are forces that carry a unit load along each free movement.
    """

    forces: Array
    moved: Array
    size: Array
    paths: Callable[[], Array]


def minimum(reading: Reading, problem: Problem) -> Found:
    """Unknowns and movements of every case that was read."""
    truss, eq, weight, forced = reading.truss, reading.equations, problem.weight, problem.forced
    on_joints = padded(reading.loads.joints.T, len(problem.yielding))
    start = problem.deformed + eq.forces.T @ forced
    plain = eq.free.T @ eq.forces
    pushed = eq.free.T @ on_joints
    rows = weight @ plain.T
    scale = np.linalg.norm(rows, axis=0)
    scale[scale == 0.0] = 1.0
    if len(rows) < len(plain):
        raise loaded(f"{MOBILITY}:mechanism")(truss, eq, plain)
    basis, corner = np.linalg.qr(rows / scale)
    if len(corner) and np.abs(np.diag(corner)).min() < SUSPECT:
        loaded(f"{MOBILITY}:check_rank")(truss, eq, plain)
    inverse = np.linalg.inv(corner)

    def least(deformed: Array, load: Array) -> tuple[Array, Array]:
        """Forces, and the price of each equation."""
        offset = weight @ deformed
        price = inverse.T @ (((rows.T @ offset) - load) / scale[:, None])
        return weight.T @ (basis @ price - offset), inverse @ price / scale[:, None]

    forces, prices = least(start, pushed)
    for _ in range(REFINED):  # once more for what rounding left undone
        more, dearer = least(start + problem.soft @ forces - plain.T @ prices, pushed + plain @ forces)
        forces, prices = forces + more, prices + dearer
    moved = forced - eq.free @ prices
    segments = len(truss.segments)
    apart = (weight.T @ (weight @ start))[:segments]
    made_of = (forces[:segments], apart, on_joints[: 2 * len(truss.joints)], *_bending(reading, forces, on_joints))
    size = np.abs(np.vstack(made_of))
    return Found(
        forces=forces,
        moved=moved,
        size=size.max(axis=0, initial=0.0),
        paths=lambda: weight.T @ (basis @ (inverse.T / scale)),
    )


def _bending(reading: Reading, forces: Array, on_joints: Array) -> tuple[Array, ...]:
    """End moments over the chord of their segment, and turning loads over a mean one: as forces.

    Only springs come after them; of the axial forces before them some may have been cut out.
    """
    chord, moments, joints = reading.axes.chord, reading.equations.moments, 2 * len(reading.truss.joints)
    if not moments:
        return ()
    after = len(forces) - len(reading.equations.springs)
    ends = forces[after - len(moments) : after] / chord[[segment for segment, _ in moments], None]
    return ends, on_joints[joints:] / chord.mean()


def factors_of(reading: Reading, problem: Problem, found: Found) -> Mapping[RunId, Array]:
    """The factor of each run on every column: its cases, then how far each yielding member has shortened.

    Runs are left out where no signs of these are found that balance them.
    """
    if not problem.yielding:
        return reading.factors
    settle: Callable[[Reading, Problem, Found], Mapping[RunId, Array]]
    settle = loaded("trussio.recheck.one_way:settle")
    settled: Mapping[RunId, Array] = settle(reading, problem, found)
    return settled


def _run(reading: Reading, found: Found, factors: Array) -> SecondForces:
    """One run as the sum of its cases."""
    truss, eq, on_joints = reading.truss, reading.equations, reading.loads.joints
    forces = found.forces @ factors
    moved = (found.moved @ factors).tolist()
    unknown = np.where(np.arange(len(forces)) < len(forces) - len(eq.springs), forces, 0.0)
    reaction = (-eq.carry.T @ (eq.forces @ unknown + factors[: len(on_joints)] @ on_joints)).tolist()
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
