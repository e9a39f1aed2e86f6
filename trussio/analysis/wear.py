"""Segments that are no longer what they were: stretches of less section, and segments out of line.

Where section is lost the axis lies along the centroid of what is left, so that axial force bends the stick by its
size times the shift; a bow puts the axis off its chord as a parabola, and the moment is force times bow.
Shapes: m segments, p pieces, q points on a piece.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.properties import pointer
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.analysis.lines import Lines
    from trussio.analysis.pieces import Pieces
    from trussio.model.condition import Worn
    from trussio.model.truss import MemberId, Truss


class Stretch(NamedTuple):
    """Part of a segment, from `start` to `end` along it: how far its axis has moved, and what a length gives.

    `gives` are 1 / E A, 1 / E I and 1 / G As.
    """

    segment: int
    start: float
    end: float
    shift: float
    gives: tuple[float, float, float]


class Wear(NamedTuple):
    """The stretches of all segments, and the bows by number of the segment."""

    stretches: list[Stretch]
    bows: dict[int, float]


def wear_of(truss: Truss, shape: Lines) -> Wear:
    """What is worn and out of line. Raises CannotAnalyseError `no-inertia` where what is left has none."""
    stretches, bows = [], {}
    first: dict[MemberId, int] = {}
    for number, segment in enumerate(truss.segments):
        first.setdefault(segment.member, number)
    for name, number in first.items():
        member = truss.members[name]
        count = len(member.through) - 1
        places = np.cumsum([0.0, *shape.length[number : number + count]]).tolist()
        bows.update({number + index: by for index, by in member.bows})
        for worn in member.worn:
            given = _gives(truss, name, worn)
            for index, (low, high) in enumerate(pairwise(places)):
                start, end = max(worn.start, low), min(worn.end, high)
                if start < end:
                    stretches.append(Stretch(number + index, start - low, end - low, worn.shift, given))
    return Wear(stretches, bows)


def _gives(truss: Truss, name: MemberId, worn: Worn) -> tuple[float, float, float]:
    material = truss.material_of(name)
    E, G = (None, None) if material is None else (material.E, material.G)
    area, inertia, shear_area = worn.section.gross_area, worn.section.bending_inertia, worn.section.shear_area
    if not inertia:
        raise CannotAnalyseError(
            "no-inertia",
            where=pointer("members", name),
            what=f"what is left of {name} bends, and its inertia is not stated.",
            do="State the inertia that is left; no force may be believed without it.",
        )
    return (
        1.0 / (E * area) if E and area else 0.0,
        1.0 / (E * inertia) if E else 0.0,
        1.0 / (G * shear_area) if G and shear_area else 0.0,
    )


def deviated(wear: Wear, shape: Lines, cut: Pieces, soft: Floats) -> tuple[Pieces, Floats]:
    """Pieces with their true axes, and their gives (3, p) where section is lost."""
    off, rise, given = deviations(wear, shape, cut, soft)
    return displaced(cut, off, rise / shape.length[cut.segments][cut.of, None]), given


def deviations(wear: Wear, shape: Lines, cut: Pieces, soft: Floats) -> tuple[Floats, Floats, Floats]:
    """How far the true axes lie off, their slopes times the length of the segment, both (p, q), and the gives."""
    numbers = cut.segments[cut.of]
    rise, off, given = np.zeros_like(cut.place), np.zeros_like(cut.place), soft.copy()
    for segment, by in wear.bows.items():
        piece = numbers == segment
        part = cut.place[piece] / shape.length[segment]
        off[piece] = 4.0 * by * part * (1.0 - part)
        rise[piece] = 4.0 * by * (1.0 - 2.0 * part)
    middle = cut.start + cut.length / 2
    for stretch in wear.stretches:
        piece = (numbers == stretch.segment) & (stretch.start < middle) & (middle < stretch.end)
        off[piece] += stretch.shift
        given[:, piece] = np.array(stretch.gives)[:, None]
    return off, rise, given


def displaced(cut: Pieces, off: Floats, slope: Floats) -> Pieces:
    """Pieces whose axes lie `off` (p, q) towards the side, at a `slope` to what they were."""
    along, across = cut.cos - cut.sin * slope, cut.sin + cut.cos * slope
    size = np.hypot(along, across)
    x, y = cut.x - off * cut.sin, cut.y + off * cut.cos
    return cut._replace(x=x, y=y, cos=along / size, sin=across / size)
