"""Curved chords: arcs, bulged outlines and runs of short facets become one true arc with radius and residual.

Inner vertices of such a run are no joints. A run whose inner vertices all carry other members is no facetted
curve: it is a chord of straight pieces between panel points, and stays so.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.curves import fit_circle
from trussio.drawing.heal.axes import places
from trussio.drawing.heal.continuing import continuations, runs
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import Net, merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.curves import CircleFit
    from trussio.drawing.heal.axes import Axes, Floats, Handles
    from trussio.drawing.heal.reach import Reach

LARGEST_TURN: Final = 16 * np.pi / 180
"""Facets turn by less at every vertex."""
LEAST_FACETS: Final = 4
FREE_SHARE: Final = 1 / 3
"""At least this share of the inner vertices of a facetted curve carries nothing else."""
LEAST_BEND: Final = 2 * np.pi / 180
"""A run that turns by less in all is straight."""
LARGEST_BEND: Final = 1.2 * np.pi
"""One that turns by more is no chord."""

Run = list[int]
"""Ends by which the axes of a run are entered, in order."""


def with_arcs(net: Net, reach: Reach) -> tuple[Net, list[Change]]:
    """Runs of arcs of one circle, and runs of facets on one, each as a single arc."""
    links = continuations(net, LARGEST_TURN)
    one, other, turn = links.between()
    bent = ~net.axes.straight
    bending = (np.abs(turn) > 1e-4) | bent[one // 2] | bent[other // 2]
    if not bending.any():
        return net, []
    partner = np.full(links.partner.size, -1, dtype=np.intp)
    partner[one[bending]], partner[other[bending]] = other[bending], one[bending]
    wanted = np.zeros(len(net.axes), dtype=bool)
    wanted[one[bending] // 2] = wanted[other[bending] // 2] = True
    degree = net.degree.tolist()
    found = [arc for run in runs(partner, wanted) for arc in _arcs_of(net, run, degree, reach)]
    return _replaced(net, found, reach) if found else (net, [])


def _arcs_of(net: Net, run: Run, degree: list[int], reach: Reach) -> list[tuple[Run, CircleFit]]:
    """The run as one arc, or its parts that are arcs of one circle, or nothing."""
    bent = int(np.count_nonzero(net.axes.sweep[_rows(run)]))
    if len(run) < 2 or (bent < 2 and len(run) < LEAST_FACETS):
        return []
    circle = fit_circle(_points(net.axes, run))
    if circle is not None and _is_curve(net, run, degree, circle, reach):
        return [(run, circle)]
    return _same_circles(net.axes, run, reach) if bent >= 2 else []


def _rows(run: Run) -> list[int]:
    return [end // 2 for end in run]


def _points(axes: Axes, run: Run) -> Floats:
    """Vertices of a run in order, with points between on its arcs."""
    spots = []
    for end in run:
        row = np.array([end // 2])
        steps = np.linspace(0, 1, 5 if axes.sweep[row[0]] else 2)
        shares = steps if end % 2 == 0 else 1 - steps
        length = float(axes.lengths[row[0]])
        spots.append(places(axes, np.repeat(row, shares.size), shares * length))
    return np.concatenate([spots[0][:1], *(spot[1:] for spot in spots)])


def _is_curve(net: Net, run: Run, degree: list[int], circle: CircleFit, reach: Reach) -> bool:
    rows = _rows(run)
    straight = net.axes.sweep[rows] == 0
    if not LEAST_BEND <= abs(circle.sweep) <= LARGEST_BEND:
        return False
    drawn = float(net.axes.residual[rows].max())
    if not straight.any():
        return circle.residual <= reach.silent + drawn
    inner = [int(net.ends[end // 2, end % 2]) for end in run[1:]]
    free = sum(1 for node in inner if degree[node] == 2)
    if free < FREE_SHARE * len(inner):
        return False
    sagitta = float(np.median(net.axes.lengths[rows][straight]) ** 2 / (8 * circle.radius))
    return circle.residual <= sagitta / 4 + reach.silent + drawn


def _same_circles(axes: Axes, run: Run, reach: Reach) -> list[tuple[Run, CircleFit]]:
    """Stretches of successive arcs that lie on one circle."""
    found: list[tuple[Run, CircleFit]] = []
    stretch: Run = []
    fit: CircleFit | None = None
    for end in [*run, -1]:
        curved = end >= 0 and bool(axes.sweep[end // 2])
        grown = fit_circle(_points(axes, [*stretch, end])) if curved else None
        if grown is not None and grown.residual <= reach.silent:
            stretch, fit = [*stretch, end], grown
            continue
        if len(stretch) > 1 and fit is not None:
            found.append((stretch, fit))
        stretch = [end] if curved else []
    return found


def _replaced(net: Net, found: list[tuple[Run, CircleFit]], reach: Reach) -> tuple[Net, list[Change]]:
    """The net with one arc in the place of each run."""
    axes, ends = net.axes, net.ends.copy()
    first, last, centre = axes.first.copy(), axes.last.copy(), axes.centre.copy()
    radius, sweep, residual = axes.radius.copy(), axes.sweep.copy(), axes.residual.copy()
    handles: dict[int, Handles] = {}
    gone: set[int] = set()
    changes = []
    for run, circle in found:
        rows = _rows(run)
        kept = rows[0]
        ends[kept] = (net.ends[rows[0], run[0] % 2], net.ends[rows[-1], 1 - run[-1] % 2])
        first[kept], last[kept] = net.nodes[ends[kept]]
        centre[kept], radius[kept], sweep[kept] = circle.centre, circle.radius, circle.sweep
        residual[kept] = max(circle.residual, float(axes.residual[rows].max()))
        handles[kept] = merged(*(axes.handles[row] for row in rows))
        gone.update(rows[1:])
        changes.append(_told(axes, run, circle, handles[kept], reach))
    grown = replace(
        axes, first=first, last=last, centre=centre, radius=radius, sweep=sweep, residual=residual
    ).with_handles(handles)
    return Net(axes=grown, nodes=net.nodes, ends=ends).without(gone), changes


def _told(axes: Axes, run: Run, circle: CircleFit, handles: Handles, reach: Reach) -> Change:
    straight = bool((axes.sweep[_rows(run)] == 0).any())
    points = _points(axes, run)
    return Change(
        kind="facets-fitted" if straight else "arcs-joined",
        says=(
            f"{len(run)} {'facets' if straight else 'arcs'} were read as one arc of radius "
            f"{reach.told(circle.radius)}; none stands off it by more than {reach.told(circle.residual)}."
        ),
        where=place(points[len(points) // 2]),
        distance=circle.residual,
        handles=handles,
    )
