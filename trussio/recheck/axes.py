"""Where the axis of each segment goes, read from the document: chord, arc, and points along it.

Terms: the *chord* of a segment is its joint-to-joint line; the *chord frame* has x from the first joint to the
last and y 90 degrees counter-clockwise from it. `curvature` is the turn of the tangent per length, positive
counter-clockwise, nought for a straight segment; positions along a segment are arc lengths from its first joint.

Integrals along a segment are Gauss sums over *spans*, the pieces between the places where a load begins, ends or
stands: of four points where all is straight, exact for what a linear load does, and of twenty where there
are arcs, which are right to rounding for a half circle.
Source for points and weights: G. H. Golub and J. H. Welsch, Calculation of Gauss quadrature rules, Math. Comp. 23
(1969), as eigenvalues of the Legendre recurrence (from memory; a test integrates known functions).
"""

from __future__ import annotations

from math import asin, hypot
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from trussio.model.truss import MemberId, Truss

    Array = NDArray[np.float64]

STRAIGHT: Final = 4
CURVED: Final = 20
"""Gauss points per span."""


class Axes(NamedTuple):
    """The axis of every segment, in the order of `Truss.segments`.

    `ends` numbers the first and last joint, `along` is the unit vector of the chord and `chord` its length.
    `begins` is where the segment starts on its stick, `stick` the length of each stick.
    """

    ends: NDArray[np.intp]
    along: Array
    chord: Array
    length: Array
    curvature: Array
    begins: Array
    stick: Mapping[MemberId, float]


def read_axes(truss: Truss) -> Axes:
    """The axes of all segments. `bows` says on which side of the chord the lesser arc of a curve lies."""
    number = {joint: index for index, joint in enumerate(truss.joints)}
    ends, along, chords, lengths, curvatures, begins = [], [], [], [], [], []
    stick: dict[MemberId, float] = {}
    for segment in truss.segments:
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        dx, dy = last.x - first.x, last.y - first.y
        chord = length = hypot(dx, dy)
        curvature = 0.0
        curve = truss.members[segment.member].curve
        if curve is not None:
            length = 2 * curve.radius * asin(min(1.0, chord / (2 * curve.radius)))
            bulges_left = (curve.bows == "up") == (dx > 0)
            curvature = (-1 if bulges_left else 1) / curve.radius
        ends.append((number[segment.first], number[segment.last]))
        along.append((dx / chord, dy / chord))
        chords.append(chord)
        lengths.append(length)
        curvatures.append(curvature)
        begins.append(stick.get(segment.member, 0.0))
        stick[segment.member] = begins[-1] + length
    return Axes(
        ends=np.array(ends, dtype=np.intp).reshape(-1, 2),
        along=np.array(along).reshape(-1, 2),
        chord=np.array(chords),
        length=np.array(lengths),
        curvature=np.array(curvatures),
        begins=np.array(begins),
        stick=stick,
    )


def gauss(count: int) -> tuple[Array, Array, Array]:
    """So many points on (0, 1), their weights, and the matrix that integrates from 0 up to each point."""
    order = np.arange(1.0, count)
    beside = order / np.sqrt(4 * order**2 - 1)
    points, vectors = np.linalg.eigh(np.diag(beside, 1) + np.diag(beside, -1))
    weights = vectors[0] ** 2
    legendre = np.ones((count + 1, count))
    legendre[1] = points
    for k in range(1, count):
        legendre[k + 1] = ((2 * k + 1) * points * legendre[k] - k * legendre[k - 1]) / (k + 1)
    # from -1 to t, the integral of (2 k + 1) P_k is P_(k+1) - P_(k-1); that of P_0 is t + 1
    upto = np.vstack((points + 1, legendre[2:] - legendre[:-2]))
    return (points + 1) / 2, weights, upto.T @ legendre[:-1] * weights / 2


def at(axes: Axes, segment: NDArray[np.intp], position: Array) -> tuple[Array, Array, Array]:
    """x, y and the angle of the tangent in the chord frame, at positions (one row per entry of `segment`).

    From the first joint to a point of an arc leads a chord of its own, at the mean of the two tangents.
    """
    curvature, length = axes.curvature[segment, None], axes.length[segment, None]
    half = curvature * position / 2
    reach = position * np.sinc(half / np.pi)
    direction = curvature * (position - length) / 2
    return reach * np.cos(direction), reach * np.sin(direction), curvature * (position - length / 2)
