"""Where the axis of each segment goes, read from the document: chord, arc, and points along it.

Terms: the *chord* of a segment is its joint-to-joint line; the *chord frame* has x from the first joint to the
last and y 90 degrees counter-clockwise from it. `curvature` is the turn of the tangent per length, positive
counter-clockwise, nought for a straight segment; positions along a segment are arc lengths from its first joint.

In a truss as found an axis may lie beside its joints by *arms*, and out of line by a *bow*, a parabola towards +y.

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

    from trussio.model.truss import End, MemberId, Segment, Truss

    Array = NDArray[np.float64]

STRAIGHT: Final = 4
CURVED: Final = 20
"""Gauss points per span."""
NO_ARM: Final = (0.0, 0.0)


class Axes(NamedTuple):
    """The axis of every segment, in the order of `Truss.segments`.

    `ends` numbers the first and last joint, `along` is the unit vector of the chord and `chord` its length.
    `begins` is where the segment starts on its stick, `stick` the length of each stick. `arms` (segments, 2, 2)
    lead from joints to where axes begin and end, `bow` (segments) is how far their middles are out of line; both
    are None where there is nothing of the kind.
    """

    ends: NDArray[np.intp]
    along: Array
    chord: Array
    length: Array
    curvature: Array
    begins: Array
    stick: Mapping[MemberId, float]
    arms: Array | None = None
    bow: Array | None = None


def read_axes(truss: Truss, *, beside: bool = False) -> Axes:
    """The axes of all segments, from joint to joint or, where they lie `beside` joints, as they truly run.

    `bows` says on which side of the chord the lesser arc of a curve lies.
    """
    number = {joint: index for index, joint in enumerate(truss.joints)}
    ends, along, chords, lengths, curvatures, begins, arms = [], [], [], [], [], [], []
    stick: dict[MemberId, float] = {}
    for segment in truss.segments:
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        arm = (_arm(truss, segment, "first"), _arm(truss, segment, "last")) if beside else (NO_ARM, NO_ARM)
        dx, dy = last.x + arm[1][0] - first.x - arm[0][0], last.y + arm[1][1] - first.y - arm[0][1]
        chord = length = hypot(dx, dy)
        curvature = 0.0
        curve = truss.members[segment.member].curve
        if curve is not None:
            radius = max(curve.radius, chord / 2) if beside else curve.radius
            length = 2 * radius * asin(min(1.0, chord / (2 * radius)))
            bulges_left = (curve.bows == "up") == (dx > 0)
            curvature = (-1 if bulges_left else 1) / radius
        arms.append(arm)
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
        arms=np.array(arms) if beside else None,
        bow=_bow(truss),
    )


def _arm(truss: Truss, segment: Segment, end: End) -> tuple[float, float]:
    """From the joint to the end of the axis, if this is the end of a stick that lies beside its joint."""
    member = truss.members[segment.member]
    outer = segment.index == (0 if end == "first" else len(member.through) - 2)
    return (member.offsets or {}).get(end, NO_ARM) if outer else NO_ARM


def _bow(truss: Truss) -> Array | None:
    """How far each segment is out of line in its middle, None where all are straight."""
    if not any(member.bows for member in truss.members.values()):
        return None
    return np.array([dict(truss.members[s.member].bows).get(s.index, 0.0) for s in truss.segments])


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


def at(
    axes: Axes, segment: NDArray[np.intp], position: Array, shift: Array | None = None
) -> tuple[Array, Array, Array]:
    """x, y and the angle of the tangent in the chord frame, at positions (one row per entry of `segment`).

    From the first joint to a point of an arc leads a chord of its own, at the mean of the two tangents. `shift` is
    how far the axis lies off to +y where section is lost to one side, for each row.
    """
    curvature, length = axes.curvature[segment, None], axes.length[segment, None]
    half = curvature * position / 2
    reach = position * np.sinc(half / np.pi)
    direction = curvature * (position - length) / 2
    x, y, angle = reach * np.cos(direction), reach * np.sin(direction), curvature * (position - length / 2)
    if axes.bow is None and shift is None:
        return x, y, angle
    by, part = (0.0 if axes.bow is None else axes.bow[segment, None]), position / length
    off = 4 * by * part * (1 - part) + (0.0 if shift is None else shift[:, None])
    turned = np.arctan(4 * by * (1 - 2 * part) / length)
    return x - off * np.sin(angle), y + off * np.cos(angle), angle + turned
