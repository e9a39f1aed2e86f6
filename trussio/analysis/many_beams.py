"""Loads on plain straight segments, in many variations of a truss at once.

Under a load along the chord or across it, what a simple beam hands to its joints and how it deforms is that of a
beam of length one, times a power of its own length. Both are found once, by `spans`; each variation then takes its
share by its slope and length.
Shapes: b segments, c load cases, p pieces, q points on a piece, n samples.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.lines import Lines
from trussio.analysis.spans import misfits, released, turned

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.many_shapes import Shapes
    from trussio.analysis.many_spans import Template
    from trussio.analysis.pieces import Pieces


class Unit(NamedTuple):
    """Loads of one kind on beams of length one.

    `ends` (2, 2, b, c) are the pushes of the joints along the chord by loads along it and across by those across,
    at the first end and the last; `gaps` (3, b, c) is what they lengthen and turn for a unit give, `sheared`
    (2, b, c) what shear turns. On a beam of length l pushes grow by l to the `power`, gaps by one and two powers
    more.
    """

    direction: str
    plan: bool
    power: int
    ends: Floats
    gaps: Floats
    sheared: Floats


class Beams(NamedTuple):
    """The loads of all kinds on some segments."""

    segments: Counts
    cases: int
    units: Sequence[Unit]


class Carried(NamedTuple):
    """What loads do in samples: `pushes` (2, 2, b, c, n) as in `Unit`, and misfits `gaps` (b, 3, c, n)."""

    pushes: Floats
    gaps: Floats


NONE = Beams(segments=np.zeros(0, dtype=np.intp), cases=0, units=())
"""No loads on plain straight segments."""


def beams(of: Template, length: Floats) -> Beams:
    """The loads of a template of plain straight segments, by the lengths (m,) of all as surveyed."""
    own = length[of.cut.segments]
    cut = _of_length_one(of.cut, own)
    none = np.zeros_like(of.forces[0])
    units = [_unit(cut, kind, 1, size, none) for kind, size in of.sizes.items()]
    for direction, force in (("right", of.forces[0]), ("down", -of.forces[1])):
        if force.any():
            units.append(_unit(cut, (direction, False), 0, np.zeros((*force.shape, cut.place.shape[1])), force))
    return Beams(segments=of.cut.segments, cases=len(none), units=units)


def _of_length_one(cut: Pieces, length: Floats) -> Pieces:
    by = length[cut.of]
    place = cut.place / by[:, None]
    return cut._replace(
        segments=np.arange(len(length)), start=cut.start / by, length=cut.length / by, place=place, x=place
    )


def _unit(cut: Pieces, kind: tuple[str, bool], power: int, size: Floats, force: Floats) -> Unit:
    """Loads `size` (c, p, q) and `force` (c, p), once along the chord and once across it."""
    count, cases = len(cut.segments), len(force)
    one = np.ones(count)
    none = np.zeros((count, 2))
    shape = Lines(
        joints=none,
        ends=np.zeros((count, 2), dtype=np.intp),
        along=np.stack([one, 0 * one], axis=1),
        chord=one,
        length=one,
        half=0 * one,
    )
    load, points = np.zeros((2, 2 * cases, *size.shape[1:])), np.zeros((2, 2 * cases, force.shape[1]))
    load[0, :cases] = load[1, cases:] = size
    points[0, :cases] = points[1, cases:] = force
    state = released(shape, cut, load, points)
    gives = np.eye(3)[:, :, None] * np.ones(len(cut.start))
    axial, bent, sheared = (misfits(shape, cut, give, state) for give in gives)
    x, y = state.ends[:cases, (0, 2)], state.ends[cases:, (1, 3)]
    return Unit(
        direction=kind[0],
        plan=kind[1],
        power=power,
        ends=np.stack([x, y], axis=1).transpose(1, 2, 3, 0),
        gaps=np.stack([axial[:, 0, :cases], bent[:, 1, cases:], bent[:, 2, cases:]]),
        sheared=sheared[:, 1:, cases:].transpose(1, 0, 2),
    )


def carried(of: Beams, now: Shapes, soft: Floats) -> Carried:
    """What the loads do in samples that lie as `now` says; `soft` (3, b, n) is what a length gives."""
    at = of.segments
    cos, sin, length = now.along[at, 0], now.along[at, 1], now.chord[at]
    axial, bending, shear = soft[:, :, None]
    pushes = np.zeros((2, 2, len(at), of.cases, length.shape[1]))
    gaps = np.zeros((len(at), 3, of.cases, length.shape[1]))
    for unit in of.units:
        one, none = np.ones_like(cos), np.zeros_like(cos)
        along, across = turned(one, np.array(unit.direction), np.array(unit.plan), (cos, sin), (one, none))
        grown = length**unit.power
        if unit.power and now.packed is not None:
            grown = grown * now.packed[at]
        along, across = (part[:, None] * grown[:, None] for part in (along, across))
        wide = length[:, None]
        pushes[0] += unit.ends[0][..., None] * along
        pushes[1] += unit.ends[1][..., None] * across
        gaps[:, 0] += unit.gaps[0][..., None] * (along * wide * axial)
        for row in (1, 2):
            turn = unit.gaps[row][..., None] * wide**2 * bending + unit.sheared[row - 1][..., None] * shear
            gaps[:, row] += turn * across
    return Carried(pushes=pushes, gaps=gaps)


def on_joints(of: Carried, now: Shapes, segments: Counts) -> Floats:
    """What segments put on their joints, right and up, at the first and at the last: (2, 2, b, c, n)."""
    cos, sin = now.along[segments, 0][:, None], now.along[segments, 1][:, None]
    x, y = of.pushes
    return np.stack([y * sin - x * cos, -x * sin - y * cos], axis=1)
