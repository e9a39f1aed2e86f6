"""How one segment, straight or an arc, deforms: for the checker of proofs, with nothing but the standard library.

Frame: x along the chord from the first joint, y 90 degrees counter-clockwise from it. Forces of a segment: axial
force along the chord, moment at the first end, moment at the last (positive with the -y face in tension). What
belongs to them: lengthening of the chord, and the turn of the axis at either end against the chord. Each is the
sum along the axis of (state at unit force) x (state) / (stiffness): axial force, bending, and shear if it counts.

Straight segments have closed formulas. Arcs take Gauss sums of eight points (M. Abramowitz and I. A. Stegun,
Handbook of mathematical functions, 25.4.30, from memory; a test integrates with them) over pieces that turn by no
more than `TURN`: the remainder of what sines and cosines give there is below 1e-17 of the largest value.
Segments as a survey found them, bowed (a parabola) or with section lost (softer there, the axis shifted), do too.
"""

from __future__ import annotations

from itertools import pairwise
from math import asin, atan, ceil, cos, fsum, sin, sqrt
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    Triple = tuple[float, float, float]

TURN: Final = 1.0
BOWED: Final = 8
"""Pieces of a bowed segment, at least: with a bow of a quarter of the length the remainder is below rounding."""
CLOSE: Final = 1e-6
EPSILON: Final = 2.3e-16
"""Spacing of floats at 1."""
GAUSS: Final = tuple(
    ((1 + side * place) / 2, weight / 2)
    for place, weight in (
        (0.1834346424956498, 0.3626837833783620),
        (0.5255324099163290, 0.3137066458778873),
        (0.7966664774136267, 0.2223810344533745),
        (0.9602898564975363, 0.1012285362903763),
    )
    for side in (-1, 1)
)
"""Places and weights on (0, 1)."""


class Stretch(NamedTuple):
    """Where section is lost, from `start` to `end`: how far the axis has shifted towards +y, and its softness."""

    start: float
    end: float
    shift: float
    softness: Triple


class Worn(NamedTuple):
    """How a segment was found: out of line by `bow` towards +y in its middle, and where it has lost section."""

    bow: float
    stretches: tuple[Stretch, ...]


class Rib(NamedTuple):
    """A segment: its chord, the turn of its tangent per length (0: straight), its length along the axis, softness.

    `softness` is 1 / EA, 1 / GA of shear (0 where it does not count) and 1 / EI.
    """

    chord: float
    curvature: float
    length: float
    softness: Triple
    worn: Worn | None = None


def rib_of(chord: float, radius: float | None, softness: Triple, *, to_left: bool) -> Rib:
    """A straight segment, or the lesser arc that bulges to the left (towards +y) or right of its chord."""
    if radius is None:
        return Rib(chord, 0.0, chord, softness)
    radius = max(radius, chord / 2)
    return Rib(chord, (-1 if to_left else 1) / radius, 2 * radius * asin(chord / 2 / radius), softness)


def place(rib: Rib, at: float) -> tuple[float, float, float]:
    """x, y and the angle of the tangent at a length along the axis."""
    x, y, angle = at, 0.0, 0.0
    if rib.curvature:
        half, direction = rib.curvature * at / 2, rib.curvature * (at - rib.length) / 2
        reach = at * (sin(half) / half if half else 1.0)
        x, y, angle = reach * cos(direction), reach * sin(direction), rib.curvature * (at - rib.length / 2)
    if rib.worn:
        part = at / rib.length
        off = 4 * rib.worn.bow * part * (1 - part) + sum(
            s.shift for s in rib.worn.stretches if s.start <= at < s.end
        )
        x, y = x - off * sin(angle), y + off * cos(angle)
        angle += atan(4 * rib.worn.bow * (1 - 2 * part) / rib.length)
    return x, y, angle


def plain(rib: Rib) -> bool:
    """Whether a segment is straight and nothing was found of it, so that closed formulas hold."""
    return not rib.curvature and rib.worn is None


def flexibility(rib: Rib) -> tuple[Triple, Triple, Triple]:
    """Deformations by unit forces."""
    if plain(rib):
        stretch, shear, bend = rib.softness
        own, other = rib.chord * bend / 3 + shear / rib.chord, rib.chord * bend / 6 - shear / rib.chord
        return (rib.chord * stretch, 0.0, 0.0), (0.0, own, other), (0.0, other, own)
    points = list(gauss_points(rib, (0.0, rib.length)))
    states = [(_states(rib, at), weight, softness_at(rib, at)) for at, weight in points]
    rows = [
        [fsum(weight * _together(soft, unit[i], unit[j]) for unit, weight, soft in states) for j in range(3)]
        for i in range(3)
    ]
    first, second, third = ((row[0], row[1], row[2]) for row in rows)
    return first, second, third


def stiffness(flexible: tuple[Triple, Triple, Triple], acting: Sequence[int]) -> list[list[float]]:
    """The inverse of a segment's flexibility for the forces that act on it (0: axial, 1 and 2: end moments).

    It is right to a part of `CLOSE`, or ValueError is raised.
    """
    if not acting:
        return []
    if len(acting) == 1:
        return [[1 / flexible[acting[0]][acting[0]]]]
    rows = [[flexible[i][j] for j in acting] + [float(i == j) for j in acting] for i in acting]
    for step in range(len(acting)):
        top = [part / rows[step][step] for part in rows[step]]
        rows = [
            top if place == step else [part - row[step] * own for part, own in zip(row, top, strict=True)]
            for place, row in enumerate(rows)
        ]
    inverse = [row[len(acting) :] for row in rows]
    for place, i in enumerate(acting):
        off = [flexible[i][j] * inverse[k][place] for k, j in enumerate(acting)]
        if abs(sum(off) - 1) > CLOSE or max(map(abs, off)) > CLOSE / EPSILON:
            raise ValueError("A segment is too flat or too soft for its stiffness to be trusted.")
    return inverse


def handed(rib: Rib, at: float, pull: float, push: float) -> tuple[float, float]:
    """What a force (along, across the chord) at a place hands to the last joint by the lever."""
    x, y, _ = place(rib, at)
    return x * pull / rib.chord, (x * push - y * pull) / rib.chord


def misfit(
    rib: Rib, flexible: tuple[Triple, Triple, Triple], at: float, pull: float, push: float
) -> tuple[Triple, Triple]:
    """Deformations of the segment on simple supports by a force at a place, and the sizes of what made them."""
    if plain(rib):
        part, bend = at / rib.chord, push * rib.chord**2 * rib.softness[2]
        bent = -bend * part * (1 - part) / 6
        return (0.0, bent * (2 - part), bent * (1 + part)), (0.0, abs(bend), abs(bend))
    last_pull, last_push = handed(rib, at, pull, push)
    first_pull, first_push = pull - last_pull, push - last_push
    x, y, _ = place(rib, at)
    sums: list[list[float]] = [[], [], []]
    energy = []
    for there, weight in gauss_points(rib, (0.0, at, rib.length)):
        here_x, here_y, angle = place(rib, there)
        beyond = there > at
        cut_x, cut_y = (first_pull - pull, first_push - push) if beyond else (first_pull, first_push)
        moment = here_y * cut_x - here_x * cut_y - (x * push - y * pull if beyond else 0.0)
        state = (cut_x * cos(angle) + cut_y * sin(angle), cut_x * sin(angle) - cut_y * cos(angle), moment)
        soft = softness_at(rib, there)
        for terms, unit in zip(sums, _states(rib, there), strict=True):
            terms.append(weight * _together(soft, unit, state))
        energy.append(weight * _together(soft, state, state))
    first, second, third = (fsum(terms) for terms in sums)
    size = sqrt(fsum(energy))
    (longer, _, _), (_, turn, _), (_, _, other_turn) = flexible
    return (first, second, third), (size * sqrt(longer), size * sqrt(turn), size * sqrt(other_turn))


def _states(rib: Rib, at: float) -> tuple[Triple, Triple, Triple]:
    """Axial force, shear and moment at a place by unit axial force and unit end moments."""
    x, y, angle = place(rib, at)
    c, s, chord = cos(angle), sin(angle), rib.chord
    return (c, s, y), (s / chord, -c / chord, 1 - x / chord), (-s / chord, c / chord, x / chord)


def softness_at(rib: Rib, at: float) -> Triple:
    """1 / EA, 1 / GA and 1 / EI at a place."""
    there = [s.softness for s in rib.worn.stretches if s.start <= at < s.end] if rib.worn else []
    return there[-1] if there else rib.softness


def _together(softness: Triple, one: Triple, other: Triple) -> float:
    stretch, shear, bend = softness
    return one[0] * other[0] * stretch + one[1] * other[1] * shear + one[2] * other[2] * bend


def gauss_points(rib: Rib, cuts: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Places and weights of Gauss sums along the axis, cut at the places given and where it has turned enough."""
    least = 1
    if rib.worn:
        bounds = (bound for s in rib.worn.stretches for bound in (s.start, s.end))
        cuts = [cuts[0], *sorted({*cuts[1:-1], *(b for b in bounds if cuts[0] < b < cuts[-1])}), cuts[-1]]
        least = BOWED if rib.worn.bow else 1
    for start, end in pairwise(cuts):
        pieces = max(least, ceil(abs(rib.curvature) * (end - start) / TURN))
        size = (end - start) / pieces
        for piece in range(pieces):
            for part, weight in GAUSS:
                yield start + (piece + part) * size, weight * size
