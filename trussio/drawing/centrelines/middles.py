"""The axis of a bundle of edges: the bisector of its outer edges, or the arc halfway between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.axes import Axes, places, stations
from trussio.drawing.heal.net import merged

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.centrelines.pairing import Bundle
    from trussio.drawing.heal.axes import Floats


@dataclass(frozen=True, kw_only=True)
class Middle:
    """One axis with its ends and circle; `slack` is half of what the two edges differ by at either end."""

    first: Floats
    last: Floats
    centre: Floats
    radius: float
    sweep: float
    slack: tuple[float, float] = (0.0, 0.0)


def middle_axes(edges: Axes, made: Sequence[Bundle]) -> tuple[Axes, Floats]:
    """One axis for each bundle, with its depth, and how uncertain either end of it is along itself, (n, 2)."""
    middles = [_middle(edges, bundle) for bundle in made]
    axes = Axes(
        first=np.array([middle.first for middle in middles]).reshape(-1, 2),
        last=np.array([middle.last for middle in middles]).reshape(-1, 2),
        centre=np.array([middle.centre for middle in middles]).reshape(-1, 2),
        radius=np.array([middle.radius for middle in middles]),
        sweep=np.array([middle.sweep for middle in middles]),
        depth=np.array([bundle.spacing for bundle in made]),
        residual=np.array([float(edges.residual[list(bundle.rows)].max()) for bundle in made]),
        row=np.array([int(edges.row[bundle.rows[0]]) for bundle in made], dtype=np.intp),
        handles=tuple(merged(*(edges.handles[row] for row in bundle.rows)) for bundle in made),
    )
    return axes, np.array([middle.slack for middle in middles]).reshape(-1, 2)


def _middle(edges: Axes, bundle: Bundle) -> Middle:
    one, other = bundle.rows[0], bundle.rows[-1]
    return _arc(edges, one, other) if edges.sweep[one] else _line(edges, one, other)


def _line(edges: Axes, one: int, other: int) -> Middle:
    """The bisector of two edges, from halfway between their ends to halfway between their other ends."""
    a, b = edges.first[one], edges.last[one]
    c, d = edges.first[other], edges.last[other]
    if float((b - a) @ (d - c)) < 0:
        c, d = d, c
    along = (b - a) / np.hypot(*(b - a)) + (d - c) / np.hypot(*(d - c))
    along = along / np.hypot(*along)
    base = _on_bisector(a, b, c, d, along)
    at = [float((spot - base) @ along) for spot in (a, b, c, d)]
    low, high = (at[0] + at[2]) / 2, (at[1] + at[3]) / 2
    return Middle(
        first=base + along * low,
        last=base + along * high,
        centre=np.full(2, np.nan),
        radius=np.inf,
        sweep=0.0,
        slack=(abs(at[0] - at[2]) / 2, abs(at[1] - at[3]) / 2),
    )


def _on_bisector(a: Floats, b: Floats, c: Floats, d: Floats, along: Floats) -> Floats:
    """A point halfway between two edges, where both are."""
    at = np.array([float((spot - a) @ along) for spot in (a, b, c, d)])
    low, high = max(at[0], at[2]), min(at[1], at[3])
    middle = (low + high) / 2
    one = a + (b - a) * ((middle - at[0]) / (at[1] - at[0]))
    two = c + (d - c) * ((middle - at[2]) / (at[3] - at[2]))
    halfway: Floats = (one + two) / 2
    return halfway


def _arc(edges: Axes, one: int, other: int) -> Middle:
    centre = (edges.centre[one] + edges.centre[other]) / 2
    radius = float(edges.radius[one] + edges.radius[other]) / 2
    at, _ = stations(edges, np.array([one, one]), np.stack((edges.first[other], edges.last[other])))
    length = float(edges.lengths[one])
    start, stop = (float(at.min()) + 0.0) / 2, (float(at.max()) + length) / 2
    ends = places(edges, np.array([one, one]), np.array([start, stop])) - edges.centre[one]
    ends = ends / np.hypot(*ends.T)[:, None] * radius + centre
    return Middle(
        first=ends[0],
        last=ends[1],
        centre=centre,
        radius=radius,
        sweep=float(np.sign(edges.sweep[one])) * (stop - start) / float(edges.radius[one]),
    )
