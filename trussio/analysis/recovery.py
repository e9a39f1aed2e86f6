"""From what the cases do to what the runs do: sums of cases, true states along segments, the records of results.

Along a segment the state is the released one of its loads and that of its basic forces together. In a combination
a moment is largest elsewhere than in the cases, so that peaks are looked for anew in every run.
Shapes: n movements, m segments, b bearings, c load cases, r runs, p pieces, q points, s segments of a kind.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.peaks import peaks
from trussio.model.forces import JointMovement, Reaction, RunForces, SegmentForces

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.analysis.bearings import Bearing
    from trussio.analysis.lines import Lines
    from trussio.analysis.pieces import Pieces
    from trussio.analysis.spans import Released
    from trussio.model.idealised import Idealised
    from trussio.model.truss import JointId, SegmentId, Truss

ROWS = 9
"""Figures of a segment: axial, axial and shear and moment at both ends, the peak and its place."""


class Cases(NamedTuple):
    """What the cases do: `movements` (n, c), `basic` forces (m, 3, c), `reactions` (b, 3, c), and `spans`."""

    movements: Floats
    basic: Floats
    reactions: Floats
    spans: list[tuple[Pieces, Released]]


def recover(
    truss: Truss, ideal: Idealised, shape: Lines, *, held: list[Bearing], cases: Cases, factors: Floats
) -> list[RunForces]:
    """The records of every run; `factors` (r, c) give it as a sum of cases."""
    basic = cases.basic @ factors.T
    figures = np.zeros((len(factors), len(shape.chord), ROWS))
    for cut, state in cases.spans:
        figures[:, cut.segments] = figures_of(shape, cut, state, basic[cut.segments], factors)
    names = [segment.id for segment in truss.segments]
    movements, pushed = (factors @ cases.movements.T + 0.0).tolist(), cases.reactions @ factors.T + 0.0
    return [
        RunForces(
            segments=segment_forces(names, rows),
            joints=_joints(truss, ideal, movements[run]),
            reactions={
                bearing.name: Reaction(x=x, y=y, turn=turn)
                for bearing, (x, y, turn) in zip(held, pushed[:, :, run].tolist(), strict=True)
            },
        )
        for run, rows in enumerate((figures + 0.0).tolist())
    ]


def segment_forces(names: list[SegmentId], figures: list[list[float]]) -> dict[SegmentId, SegmentForces]:
    """The records of segments from their figures."""
    return {
        name: SegmentForces(row[0], (row[1], row[2]), (row[3], row[4]), (row[5], row[6]), row[7], row[8])
        for name, row in zip(names, figures, strict=True)
    }


def _joints(truss: Truss, ideal: Idealised, movements: list[float]) -> dict[JointId, JointMovement]:
    turns = 2 * len(truss.joints)
    return {
        name: JointMovement(
            dx=movements[2 * index],
            dy=movements[2 * index + 1],
            turn=movements[turns + ideal.shared[name]] if name in ideal.shared else None,
        )
        for index, name in enumerate(truss.joints)
    }


def figures_of(shape: Lines, cut: Pieces, state: Released, basic: Floats, factors: Floats) -> Floats:
    """The figures (r, s, 9) of segments of one kind from their basic forces (s, 3, r)."""
    axial, first, last = basic = basic.transpose(1, 2, 0)
    tilt = (last - first) / shape.chord[cut.segments]
    ends = np.tensordot(factors, state.ends, axes=1)
    final = np.append(cut.first[1:], len(cut.of)) - 1
    along = axial[:, None] + np.stack([-ends[:, 0], ends[:, 2]], axis=1)
    across = tilt[:, None] + np.stack([ends[:, 1], -ends[:, 3]], axis=1)
    cos = np.stack([cut.cos[cut.first, 0], cut.cos[final, -1]])
    sin = np.stack([cut.sin[cut.first, 0], cut.sin[final, -1]])
    normal, shear = along * cos - across * sin, along * sin + across * cos
    peak, place = peaks(cut, *_inside(shape, cut, state, basic, factors))
    return np.stack(
        [axial, normal[:, 0], normal[:, 1], shear[:, 0], shear[:, 1], first, last, peak, place], axis=2
    )


def _inside(shape: Lines, cut: Pieces, state: Released, basic: Floats, factors: Floats) -> tuple[Floats, Floats]:
    """Moment and shear (r, p, q) at the points of pieces, from basic forces (3, r, s) of their segments."""
    axial, first, last = basic[:, :, cut.of, None]
    chord = shape.chord[cut.segments][cut.of, None]
    along = np.tensordot(factors, state.along, axes=1) + axial
    across = np.tensordot(factors, state.across, axes=1) + (last - first) / chord
    part = cut.x / chord
    bending = np.tensordot(factors, state.moment, axes=1) + axial * cut.y + first * (1.0 - part) + last * part
    return bending, along * cut.sin + across * cut.cos
