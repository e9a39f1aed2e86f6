"""Axes: the lines on which members work, straight or true arcs, kept by columns in base lengths.

Terms: an axis runs from `first` to `last`; a *station* is a distance along it from `first`; `off` is the
distance of a point from the full line or circle, positive to the left of travel. Angles in radians,
counter-clockwise.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from trussio.drawing.records import Strokes

    Floats = NDArray[np.float64]
    Ints = NDArray[np.intp]
    Flags = NDArray[np.bool_]

Handles = tuple[str, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class Axes:
    """One row per axis.

    `centre` is nan, `radius` inf and `sweep` 0 for a straight axis. `depth` is the drawn depth of the member, nan
    where it was drawn as a single line. `residual` is how far the drawn curve stands off the arc. `row` is the
    stroke that speaks for the axis (layer, line type); `handles` are all the entities behind it.
    """

    first: Floats
    last: Floats
    centre: Floats
    radius: Floats
    sweep: Floats
    depth: Floats
    residual: Floats
    row: Ints
    handles: tuple[Handles, ...]

    def __len__(self) -> int:
        return len(self.handles)

    @property
    def straight(self) -> NDArray[np.bool_]:
        """Which axes are straight, (n,)."""
        straight: NDArray[np.bool_] = self.sweep == 0.0
        return straight

    @cached_property
    def lengths(self) -> Floats:
        """Length of each axis along itself, (n,)."""
        lengths: Floats = np.hypot(*(self.last - self.first).T)
        bent = np.flatnonzero(self.sweep)
        lengths[bent] = self.radius[bent] * np.abs(self.sweep[bent])
        return lengths

    def take(self, rows: Ints) -> Axes:
        """The axes that `rows` names, in that order."""
        return Axes(
            first=self.first[rows],
            last=self.last[rows],
            centre=self.centre[rows],
            radius=self.radius[rows],
            sweep=self.sweep[rows],
            depth=self.depth[rows],
            residual=self.residual[rows],
            row=self.row[rows],
            handles=tuple([self.handles[row] for row in rows.tolist()]),
        )

    def without(self, rows: Iterable[int]) -> Axes:
        """All axes but those named."""
        kept = np.ones(len(self), dtype=bool)
        kept[list(rows)] = False
        return self.take(np.flatnonzero(kept))

    def with_handles(self, changed: dict[int, Handles]) -> Axes:
        """The same axes with other entities behind some of them."""
        handles = list(self.handles)
        for row, names in changed.items():
            handles[row] = names
        return replace(self, handles=tuple(handles))


def axes_of(strokes: Strokes, factor: float) -> Axes:
    """Every stroke as an axis of unknown depth, drawing units times `factor`."""
    count = len(strokes)
    return Axes(
        first=strokes.first * factor,
        last=strokes.last * factor,
        centre=strokes.centre * factor,
        radius=strokes.radius * factor,
        sweep=strokes.sweep,
        depth=np.full(count, np.nan),
        residual=strokes.residual * factor,
        row=np.arange(count),
        handles=tuple([(handle,) for handle in strokes.handles]),
    )


def together(parts: Sequence[Axes]) -> Axes:
    """Several sets of axes as one, in order."""
    return Axes(
        first=np.concatenate([part.first for part in parts]),
        last=np.concatenate([part.last for part in parts]),
        centre=np.concatenate([part.centre for part in parts]),
        radius=np.concatenate([part.radius for part in parts]),
        sweep=np.concatenate([part.sweep for part in parts]),
        depth=np.concatenate([part.depth for part in parts]),
        residual=np.concatenate([part.residual for part in parts]),
        row=np.concatenate([part.row for part in parts]),
        handles=tuple(names for part in parts for names in part.handles),
    )


def stations(axes: Axes, rows: Ints, points: Floats) -> tuple[Floats, Floats]:
    """Station and signed offset of `points` (k, 2) on the axes `rows` (k,).

    A station below 0 or beyond the length lies outside the axis; on a circle the nearer end counts.
    """
    first = axes.first[rows]
    along = axes.last[rows] - first
    lengths = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-300)
    away = points - first
    at: Floats = (away[:, 0] * along[:, 0] + away[:, 1] * along[:, 1]) / lengths
    off: Floats = (along[:, 0] * away[:, 1] - along[:, 1] * away[:, 0]) / lengths
    bent = np.flatnonzero(axes.sweep[rows])
    if bent.size:
        at[bent], off[bent] = _stations_on_arcs(axes, rows[bent], points[bent])
    return at, off


def _stations_on_arcs(axes: Axes, rows: Ints, points: Floats) -> tuple[Floats, Floats]:
    centre, radius, sweep = axes.centre[rows], axes.radius[rows], axes.sweep[rows]
    turn = np.sign(sweep)
    start = axes.first[rows] - centre
    away = points - centre
    angle = np.arctan2(
        start[:, 0] * away[:, 1] - start[:, 1] * away[:, 0], start[:, 0] * away[:, 0] + start[:, 1] * away[:, 1]
    )
    ahead = np.mod(angle * turn, 2 * np.pi)
    behind = ahead - 2 * np.pi
    beyond = ahead - np.abs(sweep)
    ahead = np.where((beyond > 0) & (-behind < beyond), behind, ahead)
    return ahead * radius, turn * (radius - np.hypot(away[:, 0], away[:, 1]))


def places(axes: Axes, rows: Ints, at: Floats) -> Floats:
    """The points at stations `at` (k,) of the axes `rows` (k,), (k, 2)."""
    first = axes.first[rows]
    along = axes.last[rows] - first
    lengths = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-300)
    found: Floats = first + along * (at / lengths)[:, None]
    bent = np.flatnonzero(axes.sweep[rows])
    if bent.size:
        some = rows[bent]
        centre, start = axes.centre[some], axes.first[some] - axes.centre[some]
        angle = at[bent] / axes.radius[some] * np.sign(axes.sweep[some])
        cos, sin = np.cos(angle), np.sin(angle)
        found[bent, 0] = centre[:, 0] + start[:, 0] * cos - start[:, 1] * sin
        found[bent, 1] = centre[:, 1] + start[:, 0] * sin + start[:, 1] * cos
    return found


def headings(axes: Axes, rows: Ints, at_last: NDArray[np.bool_]) -> Floats:
    """Unit directions that leave the axes `rows` outwards, beyond their last end or else their first, (k, 2)."""
    along = axes.last[rows] - axes.first[rows]
    bent = np.flatnonzero(axes.sweep[rows])
    if bent.size:
        some = rows[bent]
        end = np.where(at_last[bent, None], axes.last[some], axes.first[some])
        spoke = (end - axes.centre[some]) * np.sign(axes.sweep[some])[:, None]
        along[bent] = np.stack((-spoke[:, 1], spoke[:, 0]), axis=1)
    along = along / np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-300)[:, None]
    return np.where(at_last[:, None], along, -along)


def tangents(axes: Axes, rows: Ints, at: Floats) -> Floats:
    """Unit directions of travel at stations `at` (k,) of the axes `rows` (k,), (k, 2)."""
    ahead = -headings(axes, rows, np.zeros(rows.size, dtype=bool))
    bent = np.flatnonzero(axes.sweep[rows])
    if bent.size:
        some = rows[bent]
        angle = at[bent] / axes.radius[some] * np.sign(axes.sweep[some])
        cos, sin = np.cos(angle), np.sin(angle)
        x, y = ahead[bent].T
        ahead[bent] = np.stack((x * cos - y * sin, x * sin + y * cos), axis=1)
    return ahead


def samples(axes: Axes, step: float) -> tuple[Ints, Floats]:
    """Axis numbers and points along every axis, no further apart than `step`, both ends included."""
    lengths = axes.lengths
    counts = np.ceil(lengths / step).astype(np.intp) + 1
    rows = np.repeat(np.arange(len(axes)), counts)
    offsets = np.cumsum(counts) - counts
    index = np.arange(rows.size) - offsets[rows]
    at = lengths[rows] * index / np.maximum(counts[rows] - 1, 1)
    return rows, places(axes, rows, at)
