"""Sticks that came in beside others and slip along them: fasteners between the two at every joint.

Such a stick's axial forces differ from segment to segment by what its fasteners carry. They give by that
difference over their stiffness, which couples the flexibility of the segments: 1 / k of the fasteners at both of
its joints on each segment's own axial force, and - 1 / k between two segments that meet.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from trussio.model.staging import Add
    from trussio.model.truss import MemberId
    from trussio.recheck.problem import Problem
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]


def tied(problem: Problem, reading: Reading, ties: Sequence[tuple[MemberId, Add]]) -> Problem:
    """A problem with the fasteners of some sticks."""
    soft, weight = problem.soft.copy(), problem.weight.copy()
    for name, how in ties:
        own = [number for number, segment in enumerate(reading.truss.segments) if segment.member == name]
        gives = 1 / _stiffnesses(reading.axes.chord[own], how)
        for place, number in enumerate(own):
            soft[number, number] += gives[place] + gives[place + 1]
        for place, (one, other) in enumerate(pairwise(own), start=1):
            soft[one, other] -= gives[place]
            soft[other, one] -= gives[place]
        columns = problem.column[own]
        block = np.ix_(columns[columns >= 0], columns[columns >= 0])
        weight[block] = np.linalg.inv(np.linalg.cholesky(soft[block]))
    return problem._replace(soft=soft, weight=weight)


def _stiffnesses(lengths: Array, how: Add) -> Array:
    """The stiffness of the fasteners at each joint; those all along count at the nearer joint."""
    if how.slip is not None:
        return np.full(len(lengths) + 1, how.slip)
    halves = np.zeros(len(lengths) + 1)
    halves[:-1] += lengths / 2
    halves[1:] += lengths / 2
    return halves * (how.along or 0.0)
