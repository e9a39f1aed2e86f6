"""What is to be made least: flexibility of every unknown, and what loads and the ground deform them by.

Unknowns are those of `equilibrium`. What a segment or a spring is deformed by is told for each case as if it were
cut free of all others.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.late import loaded
from trussio.recheck.equilibrium import row_of
from trussio.recheck.flexibility import flexibility, softness_of
from trussio.recheck.holding import held_directions

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from trussio.recheck.giving import Yielding
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]


class Problem(NamedTuple):
    """What is to be made least: inv(L) `weight` and F `soft` of all unknowns, and what they are deformed by.

    `softness` is that of `softness_of`; `column` (segments, 3) is the place of each segment's axial force and end
    moments among the unknowns, -1 at a hinge. `deformed` (unknowns, cases) is the deformation of all unknowns that
    are cut free, the ground of springs included, `forced` (equations, cases) how supports move joints. Behind the
    cases stands a column for each of `yielding`, as if that member were shortened by one.
    """

    softness: Array
    column: NDArray[np.intp]
    weight: Array
    soft: Array
    deformed: Array
    forced: Array
    yielding: Sequence[Yielding] = ()


def problem_of(reading: Reading) -> Problem:
    """What is to be made least for a truss that has been read."""
    truss, axes, eq = reading.truss, reading.axes, reading.equations
    segments, unknowns = len(truss.segments), eq.forces.shape[1]
    column = np.full((segments, 3), -1, dtype=np.intp)
    column[:, 0] = np.arange(segments)
    for index, (segment, end) in enumerate(eq.moments, start=segments):
        column[segment, 1 + end] = index
    there = column >= 0
    bends = there[:, 1:].any(axis=1) | (axes.curvature != 0)
    if axes.bow is not None or reading.loads.worn:
        bends |= [bool(m.bows or m.worn) for m in (truss.members[s.member] for s in truss.segments)]
    softness = softness_of(truss, bends)
    block, start = flexibility(axes, reading.loads, softness)
    for case, segment, strain in reading.placed.strains:
        start[case, segment, 0] += strain * axes.chord[segment]
    yielding: list[Yielding] = []
    if any(member.slip or member.turning or member.acts or member.play for member in truss.members.values()):
        give: Callable[[Reading, Array, Array], list[Yielding]] = loaded("trussio.recheck.giving:give")
        yielding = give(reading, block, start)
    # a hinged end stands in its block as a 1 of its own, which leaves the factors of the others as they are
    block = np.where(there[:, :, None] & there[:, None, :], block, np.eye(3))
    inverse = np.linalg.inv(np.linalg.cholesky(block))
    weight, soft = np.zeros((2, unknowns, unknowns))
    for row in range(3):
        for other in range(3):
            both = there[:, row] & there[:, other]
            rows, others = column[both, row], column[both, other]
            weight[rows, others], soft[rows, others] = inverse[both, row, other], block[both, row, other]
    for index, (_, stiffness) in enumerate(eq.springs, start=unknowns - len(eq.springs)):
        weight[index, index], soft[index, index] = stiffness**0.5, 1 / stiffness
    deformed = np.zeros((unknowns, len(start) + len(yielding)))
    deformed[column[there], : len(start)] = start[:, there].T
    for index, one in enumerate(yielding, start=len(start)):
        deformed[column[one.segment, there[one.segment]], index] = -one.own[there[one.segment]]
    forced, sprung = _ground(reading)
    deformed[unknowns - len(sprung) :, : len(start)] -= sprung
    return Problem(softness, column, weight, soft, deformed, padded(forced, len(yielding)), yielding)


def padded(values: Array, more: int) -> Array:
    """Values (n, cases) with so many columns of zeros behind them."""
    return np.pad(values, ((0, 0), (0, more))) if more else values


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
