"""Puts rows and smooth curves into the plane of the drawing: circular arcs stay arcs, others are fitted.

A spline or ellipse becomes one arc where it is one within a small part of its own rise, one straight piece where
it is straight, and facets otherwise; facets of one curve are a chain, so that their ends are never taken for
joints.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, nan, pi
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.content import MOST_CURVES, too_many_curves
from trussio.drawing.curves import circle_through, conic_points, fit_circle, judged
from trussio.drawing.plane import along_plane, in_plane

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from trussio.drawing.curves import CircleFit
    from trussio.drawing.layer_states import LayerStates
    from trussio.drawing.records import Frame
    from trussio.drawing.rows import Copies, Rows

CIRCULAR: Final = 1e-6
"""A conic is a circle when its radii differ, and lean to each other, by no more than this part."""
ROUND: Final = 0.005
"""A curve is an arc when it stands off it by no more than this part of the arc's rise over its chord."""
ANCHORED: Final = 0.02
"""The same where the points that the curve was drawn through lie on the arc."""
STRAIGHT: Final = 1e-9
FEWEST_ANCHORS: Final = 4
EXACT: Final = 1e-3
"""Points that a curve was drawn through lie on a circle within this part of its rise over the chord."""
OVAL: Final = 0.02
"""An ellipse whose axes differ by more than this part is worth a question."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Bent:
    """A curve that was no circular arc in the file, in the plane.

    `points` (n, 2) are the ends of its pieces, two for a straight line or an arc; `arc` is the circle that it
    follows, None where it follows none. `oval` is the shorter axis over the longer of an ellipse, None for a
    spline. `row` is the row that it replaces, 0 where it replaces none.
    """

    points: NDArray[np.float64]
    arc: CircleFit | None
    closed: bool
    kind: int
    handle: str
    entity: int
    chain: int
    row: int
    layer: int
    linetype: int
    hidden: int
    path: int
    oval: float | None = None

    @property
    def is_circle(self) -> bool:
        """Whether it is a full circle."""
        return self.closed and self.arc is not None


@dataclass(frozen=True, kw_only=True, eq=False)
class FlatRows:
    """Columns of the rows in the plane; `kept` tells which rows are no curve of `bent`."""

    first: NDArray[np.float64]
    last: NDArray[np.float64]
    centre: NDArray[np.float64]
    radius: NDArray[np.float64]
    sweep: NDArray[np.float64]
    kept: NDArray[np.bool_]


def flat_rows(rows: Rows, frame: Frame) -> FlatRows:
    """The rows in the plane, circular arcs with centre, radius and sweep.

    Raises UnreadableError `too-many-curves` where more than a few thousand arcs are parts of ellipses.
    """
    count = len(rows.handles)
    flat = FlatRows(
        first=in_plane(rows.ends[:, 0], frame),
        last=in_plane(rows.ends[:, 1], frame),
        centre=np.full((count, 2), nan),
        radius=np.full(count, inf),
        sweep=np.zeros(count),
        kept=np.ones(count, dtype=bool),
    )
    if not len(rows.conics):
        return flat
    u, v = along_plane(rows.conics[:, 3:6], frame), along_plane(rows.conics[:, 6:9], frame)
    long, other = np.hypot(*u.T), np.hypot(*v.T)
    largest = np.maximum(long, other)
    circular = (np.abs(long - other) <= CIRCULAR * largest) & (
        np.abs((u * v).sum(axis=1)) <= CIRCULAR * largest**2
    )
    side = np.sign(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    arcs = rows.conic_rows[circular]
    flat.centre[arcs] = in_plane(rows.conics[circular, :3], frame)
    flat.radius[arcs] = (long[circular] + other[circular]) / 2
    flat.sweep[arcs] = side[circular] * (rows.conics[circular, 10] - rows.conics[circular, 9])
    if np.count_nonzero(~circular) > MOST_CURVES:
        raise too_many_curves(rows.handles[rows.conic_rows[~circular][0]])
    flat.kept[rows.conic_rows[~circular]] = False
    return flat


def bent_curves(
    rows: Rows, flat: FlatRows, copies: Sequence[Copies], states: LayerStates, frame: Frame
) -> Iterator[Bent]:
    """Every curve that is no circular arc: ellipses, arcs of blocks scaled unequally, splines."""
    yield from _ellipses(rows, flat, frame)
    for block in copies:
        for curve in block.content.smooth:
            lent, places = block.lent(curve.origin, states), in_plane(block.moved(curve.points), frame)
            through = in_plane(block.moved(curve.anchors), frame)
            for copy in range(block.count):
                points, arc = shape_of(places[copy], closed=curve.closed, anchors=through[copy])
                yield Bent(
                    points=points,
                    arc=arc,
                    closed=curve.closed,
                    kind=curve.origin.kind,
                    handle=curve.origin.handle,
                    entity=block.entities + copy * (block.content.seen + 1) + curve.entity,
                    chain=block.chains + copy * (block.content.chains + 1) + curve.chain,
                    row=0,
                    layer=int(lent.layer[copy]),
                    linetype=int(lent.linetype[copy]),
                    hidden=int(lent.hidden[copy]),
                    path=int(lent.path[copy]),
                )


def _ellipses(rows: Rows, flat: FlatRows, frame: Frame) -> Iterator[Bent]:
    number = {row: index for index, row in enumerate(rows.conic_rows.tolist())}
    for row in np.flatnonzero(~flat.kept).tolist():
        conic = rows.conics[number[row]]
        centre, (u, v) = in_plane(conic[:3], frame), along_plane(conic[3:9].reshape(2, 3), frame)
        along = conic_points(centre, u, v, float(conic[9]), float(conic[10]))
        points, arc = shape_of(along, closed=False, anchors=along[:0])
        axes = np.linalg.svd(np.array([u, v]), compute_uv=False)
        yield Bent(
            points=points,
            arc=arc,
            closed=bool(rows.closed[row]),
            kind=int(rows.kind[row]),
            handle=rows.handles[row],
            entity=int(rows.entity[row]),
            chain=int(rows.chain[row]),
            row=row,
            layer=int(rows.layer[row]),
            linetype=int(rows.linetype[row]),
            hidden=int(rows.hidden[row]),
            path=int(rows.path[row]),
            oval=float(axes[1] / axes[0]) if axes[0] else 0.0,
        )


def shape_of(
    points: NDArray[np.float64], *, closed: bool, anchors: NDArray[np.float64]
) -> tuple[NDArray[np.float64], CircleFit | None]:
    """What a curve given by points (n, 2) is: the ends of its pieces, and the circle if it follows one.

    The circle through `anchors` goes before the one nearest to the points, since a spline flattens toward its
    ends and the points that it was drawn through do not.
    """
    ends = points[[0, -1]]
    chord = ends[1] - ends[0]
    length = float(np.hypot(*chord))
    if not closed and length:
        away = points - points[0]
        off = np.abs(chord[0] * away[:, 1] - chord[1] * away[:, 0]) / length
        if float(off.max()) <= STRAIGHT * length:
            return ends, None
    if _may_be_round(points, closed=closed):
        full = 2 * pi * (1 - ROUND)
        for fit, share in ((_through(anchors, points), ANCHORED), (fit_circle(points), ROUND)):
            if fit is not None and fit.residual <= share * fit.sagitta and (abs(fit.sweep) >= full) == closed:
                return ends, fit
    moved = (points[1:] != points[:-1]).any(axis=1)
    return (points[np.append(moved, [True])] if moved.any() else ends), None


def _through(anchors: NDArray[np.float64], points: NDArray[np.float64]) -> CircleFit | None:
    """The circle through the anchors, judged by all points of the curve."""
    if len(anchors) < FEWEST_ANCHORS:
        return None
    fit = fit_circle(anchors)
    return None if fit is None or fit.residual > EXACT * fit.sagitta else judged(fit, points)


def _may_be_round(points: NDArray[np.float64], *, closed: bool) -> bool:
    """A quick look before the fit: whether the points stay near the circle through three of them."""
    last = len(points) - 1
    three = points[[0, last // 3, 2 * last // 3]] if closed else points[[0, last // 2, last]]
    fit = circle_through(three)
    if fit is None:
        return False
    off = float(np.abs(np.hypot(*(points - fit[0]).T) - fit[1]).max())
    rise = float(np.hypot(*(three[1] - (three[0] + three[2]) / 2)))
    return off <= 2 * ANCHORED * rise
