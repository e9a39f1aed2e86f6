"""What placed loads do to joints and segments: forces and moments as resultants.

A load along a segment is taken as if the segment stood on simple supports at its joints: the joints get the
resultants, and inside is a state of axial force, shear and moment that the unknown forces of the segment are added
to. Its axial force is so taken that the average along the chord is nought, by which the joints take the axial
part of the load by the lever too. Forces at a cut are those of what lies beyond it upon what lies before it.
"""

from __future__ import annotations

from itertools import pairwise
from math import atan2, pi
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.recheck.axes import CURVED, STRAIGHT, at, gauss
from trussio.recheck.placing import ACROSS, DOWN, PER_PLAN, TOUCHING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from trussio.recheck.axes import Axes
    from trussio.recheck.equilibrium import Lever
    from trussio.recheck.placing import Placed
    from trussio.recheck.wearing import Stretch

    Array = NDArray[np.float64]


class Resultants(NamedTuple):
    """What cases do, in the order in which they were placed.

    `joints` (cases, equations) holds forces and moments on joints, those of loads along segments included.
    `span` is the segment of each span, `points` and `weights` (spans, points) are the places and the lengths
    of a Gauss sum along it, `inside` (cases, spans, 3, points) is axial force, shear and moment there. `handed`
    (4, cases, segments) is what simple supports hand to the first joint along and across the chord, and the last.
    Of spans where section is lost, `worn` gives (span, stretch) and `shift` how far the axis has moved.
    """

    joints: Array
    span: NDArray[np.intp]
    points: Array
    weights: Array
    inside: Array
    handed: Array
    shift: Array | None = None
    worn: Sequence[tuple[int, Stretch]] = ()


def resultants(
    axes: Axes,
    placed: Placed,
    *,
    cases: int,
    equations: int,
    levers: Sequence[Lever] = (),
    stretches: Sequence[Stretch] = (),
) -> Resultants:
    """The resultants of placed loads on so many joint equations; spans are cut at `stretches` of lost section."""
    joints = np.zeros((cases, equations))
    if placed.joints:
        case, row, value = zip(*placed.joints, strict=True)
        np.add.at(joints, (case, row), value)
    span, begin, size = _spans(axes, placed, stretches)
    worn = [
        (number, stretch)
        for stretch in stretches
        for number in np.flatnonzero(span == stretch.segment).tolist()
        if stretch.start < begin[number] + size[number] / 2 < stretch.end
    ]
    shift = _shift(worn, len(span)) if worn else None
    unit, weight, upto = gauss(STRAIGHT if axes.bow is None and not axes.curvature.any() else CURVED)
    points = begin[:, None] + size[:, None] * unit
    weights = size[:, None] * weight
    x, y, angle = at(axes, span, points, shift)
    load = _intensities(axes, placed, (span, begin, size, unit, angle), cases)
    moment = x * load[:, :, 1] - y * load[:, :, 0]
    flow = np.stack((load[:, :, 0], load[:, :, 1], moment, x * load[:, :, 0]), axis=2)
    total = (flow @ weight) * size[:, None]
    before = _before(axes, placed, (span, begin, shift), total)
    sofar = before[..., None] + (flow @ upto.T) * size[:, None, None]
    whole = before + total
    last = np.flatnonzero(np.append(span[1:] != span[:-1], True))
    first_pull, first_push, last_pull, last_push = handed = _ends(axes, whole[:, last])
    _to_joints(joints, axes, (first_pull, first_push), (last_pull, last_push), levers)
    pull = first_pull[:, span, None] - sofar[:, :, 0]
    push = first_push[:, span, None] - sofar[:, :, 1]
    cosine, sine = np.cos(angle), np.sin(angle)
    inside = np.stack(
        (pull * cosine + push * sine, pull * sine - push * cosine, y * pull - x * push - sofar[:, :, 2]), axis=2
    )
    return Resultants(
        joints=joints,
        span=span,
        points=points,
        weights=weights,
        inside=inside,
        handed=np.stack(handed),
        shift=shift,
        worn=worn,
    )


def _shift(worn: Sequence[tuple[int, Stretch]], spans: int) -> Array:
    """How far the axis of each span lies off."""
    shift = np.zeros(spans)
    for number, stretch in worn:
        shift[number] += stretch.shift
    return shift


def _spans(axes: Axes, placed: Placed, stretches: Sequence[Stretch]) -> tuple[NDArray[np.intp], Array, Array]:
    """Segment, beginning and length of every span: segments cut where a load begins, ends, stands or folds."""
    breaks: dict[int, set[float]] = {}
    for stretch in stretches:
        breaks.setdefault(stretch.segment, set()).update((stretch.start, stretch.end))
    for _, segment, low, high, _, _, kind in placed.pieces:
        breaks.setdefault(segment, set()).update((low, high))
        if kind >= PER_PLAN and axes.curvature[segment]:
            breaks[segment].update(_upright(axes, segment))
    for _, segment, place, _, _ in placed.points:
        breaks.setdefault(segment, set()).add(place)
    spans: list[tuple[int, float, float]] = []
    for segment, length in enumerate(axes.length.tolist()):
        inner = breaks.get(segment)
        if inner is None:
            spans.append((segment, 0.0, length))
            continue
        low, high = TOUCHING * length, (1 - TOUCHING) * length
        cuts = [0.0, *sorted(cut for cut in inner if low <= cut <= high), length]
        spans += [(segment, start, end - start) for start, end in pairwise(cuts)]
    segments, begins, sizes = zip(*spans, strict=True)
    return np.array(segments, dtype=np.intp), np.array(begins), np.array(sizes)


def _upright(axes: Axes, segment: int) -> list[float]:
    """Where an arc stands upright, so that a load per plan folds there."""
    x, y = axes.along[segment]
    length, curvature = float(axes.length[segment]), float(axes.curvature[segment])
    quarter = pi / 2 - atan2(y, x)
    return [length / 2 + (quarter + turn * pi) / curvature for turn in (-1, 0, 1)]


def _intensities(
    axes: Axes, placed: Placed, grid: tuple[NDArray[np.intp], Array, Array, Array, Array], cases: int
) -> Array:
    """Load per length along and across the chord, (cases, spans, 2, points)."""
    span, begin, size, unit, angle = grid
    load = np.zeros((cases, len(span), 2, len(unit)))
    spans_of: dict[int, list[int]] = {}
    for index, segment in enumerate(span.tolist()):
        spans_of.setdefault(segment, []).append(index)
    begins, ends = begin.tolist(), (begin + size).tolist()
    rows: list[tuple[int, int, float, float, int]] = []
    for number, segment, low, high, first, last, meant in placed.pieces:
        slope = (last - first) / (high - low)
        for index in spans_of[segment]:
            if low < (begins[index] + ends[index]) / 2 < high:
                values = (first + slope * (place - low) for place in (begins[index], ends[index]))
                rows.append((number, index, *values, meant))
    if not rows:
        return load
    case, where, start, end, kind = (np.array(column) for column in zip(*rows, strict=True))
    value = start[:, None] + (end - start)[:, None] * unit
    cosine, sine = np.cos(angle[where]), np.sin(angle[where])
    along_x, along_y = axes.along[span[where]].T[:, :, None]
    value *= np.where(kind[:, None] >= PER_PLAN, np.abs(along_x * cosine - along_y * sine), 1.0)
    way = kind[:, None] % PER_PLAN
    pull = np.where(way == DOWN, -along_y, np.where(way == ACROSS, -sine, along_x))
    push = np.where(way == DOWN, -along_x, np.where(way == ACROSS, cosine, -along_y))
    np.add.at(load, (case, where), np.stack((value * pull, value * push), axis=1))
    return load


def _before(
    axes: Axes, placed: Placed, spans: tuple[NDArray[np.intp], Array, Array | None], total: Array
) -> Array:
    """Sums over what stands on a segment before each span: pull, push, their moment, and that of pull by x."""
    span, begin, shift = spans
    before = np.zeros_like(total)
    if placed.points:
        case, segment, place, force_x, force_y = (np.array(column) for column in zip(*placed.points, strict=True))
        along_x, along_y = axes.along[segment].T
        where = np.array([_span_from(span, begin, *pair) for pair in zip(segment, place, strict=True)])
        x, y, _ = at(axes, segment, place[:, None], None if shift is None else shift[where])
        pull, push = force_x * along_x + force_y * along_y, force_y * along_x - force_x * along_y
        x, y = x[:, 0], y[:, 0]
        np.add.at(before, (case, where), np.stack((pull, push, x * push - y * pull, x * pull), axis=1))
    for index in np.flatnonzero(begin > 0):
        before[:, index] += before[:, index - 1] + total[:, index - 1]
    return before


def _span_from(span: NDArray[np.intp], begin: Array, segment: int, place: float) -> int:
    """The span of a segment that begins at a place."""
    return int(np.flatnonzero((span == segment) & (begin == place))[0])


def _ends(axes: Axes, whole: Array) -> tuple[Array, Array, Array, Array]:
    """What simple supports hand to the first and last joint along and across the chord, by the lever."""
    pull, push, moment, moment_of_pull = np.moveaxis(whole, 2, 0)
    last_pull, last_push = moment_of_pull / axes.chord, moment / axes.chord
    return pull - last_pull, push - last_push, last_pull, last_push


def _to_joints(
    joints: Array,
    axes: Axes,
    first: tuple[Array, Array],
    last: tuple[Array, Array],
    levers: Sequence[Lever],
) -> None:
    along_x, along_y = axes.along.T
    for end, (pull, push) in enumerate((first, last)):
        right, up = pull * along_x - push * along_y, pull * along_y + push * along_x
        for axis, force in enumerate((right, up)):
            for case, values in enumerate(force):
                np.add.at(joints[case], 2 * axes.ends[:, end] + axis, values)
        for lever in levers:
            if lever.end == end:
                joints[:, lever.row] += lever.x * up[:, lever.segment] - lever.y * right[:, lever.segment]
