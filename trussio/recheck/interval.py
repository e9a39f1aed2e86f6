"""Between which bounds each axial force must lie, proved from the forces and movements of least energy.

With forces f in balance and movements u, each true force lies within sqrt(G s) of f (Prager and Synge 1947;
the two lines stand in `proof`): G is the energy of f - f_u, f_u being the forces that u would cause, and s the
entry of the force on the diagonal of the inverse of its segment's own flexibility. Nothing that was solved is
trusted: f may be off balance and u may be wrong, the bounds only become wider.

Floats leave both a little off. Each number that enters has seen fewer than `STEPS` roundings of 1.2e-16 and one
more for each term of its sum; what that may do is added up from sizes. What f leaves unbalanced is charged by
*paths*: forces that nearly carry a unit load along each free movement, of size p; such a load truly causes no more
than 2 p (see `gaps`). `proof` does the same for forces in exact balance, without numpy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.recheck.flexibility import unit_states

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.recheck.energy import Found
    from trussio.recheck.problem import Problem
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]

STEPS: Final = 40
UNIT: Final = 1.2e-16
ROOM: Final = 1.0 + 1e-6


class Bounds(NamedTuple):
    """By column the size within which f and f_u lie of the true forces; 2 p of the path of each free movement."""

    size: Array
    reach: Array


def half_widths(
    reading: Reading, problem: Problem, found: Found, factors: Mapping[RunId, Array]
) -> dict[RunId, Array] | None:
    """How far each axial force may be off, by run (segments,); None where the paths carry too little to tell."""
    at = np.array(list(factors.values())).T
    used = np.abs(at[: len(reading.loads.joints)])
    on_joints, inside = load_sizes(reading, problem)
    summed = found._replace(forces=found.forces @ at, moved=found.moved @ at)
    loads = reading.loads.joints.T @ at[: len(reading.loads.joints)]
    made = bounds(
        reading,
        problem._replace(deformed=problem.deformed @ at),
        summed,
        loads,
        (on_joints.T @ used, inside @ used),
    )
    if made is None:
        return None
    stiff = np.sqrt(np.sum(problem.weight[:, : len(reading.truss.segments)] ** 2, axis=0))
    return {run: stiff * made.size[index] for index, run in enumerate(factors)}


def bounds(
    reading: Reading, problem: Problem, found: Found, loads: Array, sizes: tuple[Array, Array]
) -> Bounds | None:
    """Bounds of columns of forces and movements under `loads` (equations, c) and deformations of the problem.

    `sizes` are what loads (equations, c) and deformations (unknowns, c) are made of, without signs.
    """
    eq, forces, moved = reading.equations, found.forces, found.moved
    rounding = UNIT * (STEPS + eq.forces.shape[1])
    plain = eq.free.T @ eq.forces
    paths = _path_sizes(problem, plain, found.paths(), rounding)
    if paths is None:
        return None
    off = problem.soft @ forces + problem.deformed + eq.forces.T @ moved
    off_size = np.abs(problem.soft) @ np.abs(forces) + sizes[1] + np.abs(eq.forces.T) @ np.abs(moved)
    left = np.abs(plain @ forces + eq.free.T @ loads)
    left += rounding * (np.abs(plain) @ np.abs(forces) + np.abs(eq.free.T) @ sizes[0])
    gap = np.linalg.norm(problem.weight @ off, axis=0)
    gap += rounding * np.linalg.norm(np.abs(problem.weight) @ off_size, axis=0)
    return Bounds(size=(gap + 3 * (paths @ left)) * ROOM, reach=2 * paths)


def _path_sizes(problem: Problem, plain: Array, paths: Array, rounding: float) -> Array | None:
    """The size p of each path, or None where what they leave unbalanced is too much."""
    sizes = np.sqrt(np.maximum(np.sum(paths * (problem.soft @ paths), axis=0), 0.0)) * ROOM
    left = np.abs(plain @ paths - np.eye(len(plain))) + rounding * (np.abs(plain) @ np.abs(paths))
    return sizes if np.all(2 * (sizes @ left) <= sizes) else None


def load_sizes(reading: Reading, problem: Problem) -> tuple[Array, Array]:
    """What loads on joints (cases, equations) and deformations (unknowns, cases) are made of, without signs."""
    axes, loads, placed = reading.axes, reading.loads, reading.placed
    whole = np.zeros((len(loads.joints), len(axes.chord)))
    joints = np.zeros_like(loads.joints)
    for case, row, value in placed.joints:
        joints[case, row] += abs(value)
    for case, segment, low, high, first, last, _ in placed.pieces:
        whole[case, segment] += (high - low) * max(abs(first), abs(last))
    for case, segment, _, fx, fy in placed.points:
        whole[case, segment] += abs(fx) + abs(fy)
    reach = axes.length / axes.chord
    for end in (0, 1):
        for axis in (0, 1):
            np.add.at(joints.T, 2 * axes.ends[:, end] + axis, (whole * reach).T)
    for lever in reading.equations.levers:
        arm = abs(lever.x) + abs(lever.y)
        joints[:, lever.row] += arm * (whole * reach)[:, lever.segment]
    joints = joints @ np.abs(reading.equations.carry)
    unit = np.abs(unit_states(axes, loads)) * loads.weights[:, None, None, :]
    bounds = np.stack((2 * reach, 2 * reach, 4 * axes.length * reach), axis=1)
    softness = problem.softness[loads.span]
    for span, stretch in loads.worn:
        softness[span] = stretch.softness
    per_span = np.einsum("sukp,sk->su", unit, softness * bounds[loads.span])
    per_segment = np.zeros((len(axes.chord), 3))
    np.add.at(per_segment, loads.span, per_span)
    there = problem.column >= 0
    inside = np.zeros((len(problem.soft), len(whole)))
    inside[problem.column[there]] = (per_segment[None] * whole[:, :, None])[:, there].T
    inside += np.abs(problem.deformed[:, : len(whole)])
    return joints, inside
