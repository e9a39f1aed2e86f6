"""Finds the plane that a drawing was made in and the frame that puts it upright.

Terms: a *slip* is a line with an end far off the plane on which all others lie, picked at the wrong depth; the
*depth* of a point is its distance from the plane. Elevations are drawn in the xy plane, or stood up in xz or yz;
any other plane is an odd one, and which way is up in it is for a person to say.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.extents import extent
from trussio.drawing.records import Frame
from trussio.model.change import Change, Question

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.drawing.records import Spot

SILENT: Final = 1 / 64
"""Inches; a smaller depth is below what a tape can read."""
REPORTED: Final = 1.0
"""Inches; up to this depth a drawing is flattened and says so."""
SHARE_IN_PLANE: Final = 0.75
"""Share of the lines that must lie in one plane for the others to be slips."""
FAR: Final = 20.0
"""An offset is removed when a coordinate passes this many times the size of the drawing."""
VERTICAL: Final = 1e-3
MOST_TOLD: Final = 50

_AXES: Final[tuple[tuple[int, Spot, Spot, str], ...]] = (
    (2, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), "xy"),
    (1, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), "xz"),
    (0, (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), "yz"),
)


@dataclass(frozen=True, kw_only=True)
class Plane:
    """The frame of a drawing, and what had to be done or asked to find it."""

    frame: Frame
    changes: tuple[Change, ...] = ()
    questions: tuple[Question, ...] = ()


def find_plane(ends: NDArray[np.float64], handles: list[str], inches: float, up: Spot | None = None) -> Plane:
    """The plane of lines (n, 2, 3), with `inches` to one drawing unit for the tolerances.

    `up` is the user's word on which way is up, heard where the plane is an odd one; the question that it answers
    stands beside it, so that both can be recorded.
    """
    if not len(ends):
        return Plane(frame=Frame())
    points = ends.reshape(-1, 3)
    spans = extent(points)
    for limit in (SILENT, REPORTED):
        for axis, across, above, _ in _AXES:
            if spans[axis] * inches <= limit:
                depth = float(spans[axis])
                changes = () if limit == SILENT else (_flattened(depth, inches),)
                return Plane(frame=_framed(points, across, above), changes=changes)
    return _with_slips(ends, handles, inches) or _odd_plane(ends, handles, inches, up)


def in_plane(places: NDArray[np.float64], frame: Frame) -> NDArray[np.float64]:
    """Places (..., 3) in the plane, (..., 2)."""
    return along_plane(places - np.array(frame.origin), frame)


def along_plane(vectors: NDArray[np.float64], frame: Frame) -> NDArray[np.float64]:
    """Vectors (..., 3) in the plane, (..., 2)."""
    turned: NDArray[np.float64] = vectors @ np.array([frame.right, frame.up]).T
    return turned


def _with_slips(ends: NDArray[np.float64], handles: list[str], inches: float) -> Plane | None:
    for axis, right, up, name in _AXES:
        depth = np.abs(ends[:, :, axis] - np.median(ends[:, :, axis])).max(axis=1)
        slips = depth * inches > REPORTED
        if slips.mean() <= 1 - SHARE_IN_PLANE:
            frame = _framed(ends[~slips].reshape(-1, 3), right, up)
            flat = float(depth[~slips].max(initial=0.0))
            changes = [_slip(handles[row], float(depth[row]), name) for row in np.flatnonzero(slips)[:MOST_TOLD]]
            if flat * inches > SILENT:
                changes.append(_flattened(flat, inches))
            return Plane(frame=frame, changes=tuple(changes))
    return None


def _odd_plane(ends: NDArray[np.float64], handles: list[str], inches: float, wanted: Spot | None) -> Plane:
    points = ends.reshape(-1, 3)
    middle = points.mean(axis=0)
    away = np.vstack([points - middle, np.zeros((1, 3))])  # three rows at least, so that there is a third axis
    normal = np.linalg.svd(away, full_matrices=False)[2][2]
    depth = np.abs((points - middle) @ normal)
    deepest = float(depth.max())
    if deepest * inches > REPORTED:
        axis = int(np.abs(normal).argmax())
        across, above = next((right, up) for number, right, up, _ in _AXES if number == axis)
        worst = handles[int(depth.reshape(-1, 2).max(axis=1).argmax())]
        return Plane(frame=_framed(points, across, above), questions=(_no_plane(deepest, inches, worst),))
    right, up = _upright(normal, wanted)
    tilt = degrees(acos(min(1.0, abs(float(normal[2])))))
    changes = [Change(kind="plane", says=f"The drawing lies in a plane at {tilt:.1f} degrees to the xy plane.")]
    if deepest * inches > SILENT:
        changes.append(_flattened(2 * deepest, inches))
    vertical = abs(float(normal[2])) < VERTICAL
    return Plane(
        frame=_framed(points, right, up),
        changes=tuple(changes),
        questions=() if vertical else (_which_way_up(up),),
    )


def _upright(normal: NDArray[np.float64], wanted: Spot | None) -> tuple[Spot, Spot]:
    """Right and up in a plane: up leans to y in a plane nearer the horizontal, to z in a steeper one."""
    lean = np.array([0.0, 1.0, 0.0]) if abs(normal[2]) > 0.5 else np.array([0.0, 0.0, 1.0])
    up = lean - (lean @ normal) * normal
    if wanted is not None:
        asked = np.array(wanted, dtype=np.float64)
        asked -= (asked @ normal) * normal
        up = asked if float(np.linalg.norm(asked)) > VERTICAL else up
    up /= np.linalg.norm(up)
    right = np.cross(up, normal)
    if right[int(np.abs(right).argmax())] < 0:
        right = -right
    return _spot(right), _spot(up)


def _framed(points: NDArray[np.float64], right: Spot, up: Spot) -> Frame:
    """A frame on the plane; its origin is moved next to the drawing where that lies far away."""
    normal = np.cross(right, up)
    depth = float(np.median(points @ normal))
    axes = np.array([right, up])
    flat = points @ axes.T
    size = float(extent(flat).max())
    middle = np.median(flat, axis=0)
    shift = np.round(middle) if size and float(np.abs(flat).max()) > FAR * size else np.zeros(2)
    return Frame(origin=_spot(depth * normal + shift @ axes), right=right, up=up)


def _flattened(depth: float, inches: float) -> Change:
    says = f"Points lie up to {depth:g} drawing units ({depth * inches:.3g} in) off one plane; flattened."
    return Change(kind="flattened", says=says, distance=depth)


def _slip(handle: str, depth: float, name: str) -> Change:
    return Change(
        kind="off-plane",
        says=f"An end lies {depth:g} drawing units off the {name} plane that holds the others; put into it.",
        distance=depth,
        handles=(handle,),
    )


def _no_plane(depth: float, inches: float, handle: str) -> Question:
    return Question(
        code="not-one-plane",
        asks=f"The lines lie in no one plane: some stand {depth:g} drawing units ({depth * inches:.3g} in) off "
        "the nearest. Which of them make up the truss?",
        taken="all of them, seen square to the axis that they lie most nearly square to",
        settle="Save the truss alone, drawn in one plane.",
        handles=(handle,),
    )


def _which_way_up(up: Spot) -> Question:
    shown = " ".join(f"{part:.6g}" for part in up)
    return Question(
        code="which-way-up",
        asks="The drawing lies in a tilted plane. Which way is up in it?",
        taken=shown,
        settle="Answer with the three numbers of a direction in the answers file, such as 0 0 1.",
    )


def _spot(vector: NDArray[np.float64]) -> Spot:
    x, y, z = (float(part) + 0.0 for part in vector)
    return (x, y, z)
