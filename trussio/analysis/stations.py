"""Stations of a pinned truss: joints that stay on the line between their neighbours and hand their loads to them.

Terms: the *neighbours* of a station are the next joints on either side that are none. The segments between two
neighbours are a simple beam together, which the loads across their line bend. Along the line a station moves as
its segments let it. Joints that slide on inclined bearings are tied in the same way: to a direction.
Shapes: n movements, k unknowns, m segments, c load cases; movements are two to a joint.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.analysis.bearings import Bearings
    from trussio.analysis.lines import Lines
    from trussio.model.idealised import Idealised
    from trussio.model.truss import Truss


BESIDE = 1e-6
"""Segments beside each other between the same joints have lengths that differ by less than this part."""


class Stop(NamedTuple):
    """A station and its neighbours, by number: it lies `share` of the way from `before`, the lower, to `after`.

    `along` is the unit vector of that way, `span` its length.
    """

    joint: int
    before: int
    after: int
    share: float
    along: Floats
    span: float


def stops(truss: Truss, ideal: Idealised) -> list[Stop]:
    """The stations of a truss, in the order of its joints."""
    number = {name: index for index, name in enumerate(truss.joints)}
    found = []
    for name, station in ideal.stations.items():
        before, after, share = number[station.before], number[station.after], station.share
        start, end = truss.joints[station.before], truss.joints[station.after]
        across = np.array([end.x - start.x, end.y - start.y])
        if before > after:
            before, after, share, across = after, before, 1.0 - share, -across
        span = float(np.hypot(*across))
        found.append(Stop(number[name], before, after, share, across / span, span))
    return found


def ties(made: Bearings, among: list[Stop]) -> Floats | None:
    """The movements (n, k) by unknowns where joints slide on inclined bearings or are stations, else None."""
    directions = [*made.slides.items(), *((stop.joint, stop.along) for stop in among)]
    if not directions:
        return None
    plain = ~made.held
    for joint, _ in directions:
        plain[2 * joint : 2 * joint + 2] = False
    numbers = np.flatnonzero(plain)
    tied = np.zeros((len(plain), len(numbers) + len(directions)))
    tied[numbers, np.arange(len(numbers))] = 1.0
    for index, (joint, direction) in enumerate(directions):
        tied[2 * joint : 2 * joint + 2, len(numbers) + index] = direction
    return tied + _levers(tied, among)


def carried(start: Floats, among: list[Stop]) -> Floats:
    """Prescribed movements (n, c) with what they do to the stations between."""
    return start + _levers(start, among)


def handed(among: list[Stop], left: Floats) -> Floats:
    """Forces (n, c) at movements after those across the line of each station have gone to its neighbours."""
    passed = left.copy()
    for joint, before, after, share, along, _ in among:
        across = _across(along)
        push = np.outer(across, across @ left[2 * joint : 2 * joint + 2])
        passed[2 * joint : 2 * joint + 2] -= push
        passed[2 * before : 2 * before + 2] += (1.0 - share) * push
        passed[2 * after : 2 * after + 2] += share * push
    return passed


def chain_moments(shape: Lines, among: list[Stop], left: Floats) -> Floats:
    """Moments (m, 2, c) at the ends of segments from the forces (n, c) that stations hand to their neighbours."""
    moments = np.zeros((len(shape.chord), 2, left.shape[1]))
    for chain in chains(shape, among):
        first = chain[0]
        shares = np.array([stop.share for stop in chain])
        low, high = np.minimum.outer(shares, shares), np.maximum.outer(shares, shares)
        across = np.stack([_across(first.along) @ left[2 * stop.joint : 2 * stop.joint + 2] for stop in chain])
        bending = -first.span * (low * (1.0 - high)) @ across
        for stop, moment in zip(chain, bending, strict=True):
            for segment, end, sign in _carriers(shape, stop):
                moments[segment, end] += sign * moment
    return moments


def chains(shape: Lines, among: list[Stop]) -> list[list[Stop]]:
    """The stations that one simple beam joins."""
    chain_of = {stop.joint: [stop] for stop in among}
    for first, last in shape.ends.tolist():
        one, other = chain_of.get(first), chain_of.get(last)
        if one is not None and other is not None and one is not other:
            one += other
            for stop in other:
                chain_of[stop.joint] = one
    return list({id(chain): chain for chain in chain_of.values()}.values())


def _carriers(shape: Lines, stop: Stop) -> list[tuple[int, int, float]]:
    """Segment, end and part of the moment at a station; segments that lie beside each other share it alike."""
    found: list[tuple[int, int, float]] = []
    touching = np.flatnonzero((shape.ends == stop.joint).any(axis=1)).tolist()
    forward = {segment: float(shape.along[segment] @ stop.along) > 0.0 for segment in touching}
    end = {segment: int(shape.ends[segment, 1] == stop.joint) for segment in touching}
    for ahead in (True, False):
        side = [segment for segment in touching if (forward[segment] == (end[segment] == 0)) == ahead]
        nearest = min(shape.chord[segment] for segment in side)
        carry = [segment for segment in side if shape.chord[segment] <= nearest * (1.0 + BESIDE)]
        found += [(segment, end[segment], (1.0 if forward[segment] else -1.0) / len(carry)) for segment in carry]
    return found


def _across(along: Floats) -> Floats:
    return np.array([-along[1], along[0]])


def _levers(values: Floats, among: list[Stop]) -> Floats:
    """What the values (n, ...) of the neighbours make each station do across its line."""
    levers = np.zeros_like(values)
    for joint, before, after, share, along, _ in among:
        across = _across(along)
        between = (1.0 - share) * values[2 * before : 2 * before + 2] + share * values[2 * after : 2 * after + 2]
        levers[2 * joint : 2 * joint + 2] = np.outer(across, across @ between)
    return levers
