"""Buckling lengths of segments: between panel points in the truss plane, between what holds them across it.

A joint where only one line runs through (a purlin point, a butt) holds nothing in the plane. Lengths in the
truss's own units, along straight lines or arcs. Source: statics; effective length factor 1 between panel points.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, hypot
from typing import TYPE_CHECKING

from trussio.model.idealised import idealise

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.idealised import Station
    from trussio.model.truss import Curve, JointId, MemberId, Segment, SegmentId, Truss


@dataclass(frozen=True, kw_only=True)
class SegmentLength:
    """Lengths of one segment: its own, that between panel points, and that of its whole stick."""

    panel: float
    in_plane: float
    stick: float


def segment_lengths(
    truss: Truss, stations: Mapping[JointId, Station] | None = None
) -> Mapping[SegmentId, SegmentLength]:
    """The lengths of every segment; `stations` are those of the truss as surveyed, where its joints were moved."""
    stations = idealise(truss, "pinned").stations if stations is None else stations
    own = {segment.id: _length(truss, segment) for segment in truss.segments}
    sticks: dict[MemberId, float] = {}
    for segment in truss.segments:
        sticks[segment.member] = sticks.get(segment.member, 0.0) + own[segment.id]
    found: dict[SegmentId, SegmentLength] = {}
    for segment in truss.segments:
        at = next((joint for joint in (segment.first, segment.last) if joint in stations), None)
        between = own[segment.id]
        if at is not None:
            between = _distance(truss, stations[at].before, stations[at].after)
        found[segment.id] = SegmentLength(panel=own[segment.id], in_plane=between, stick=sticks[segment.member])
    return found


def _length(truss: Truss, segment: Segment) -> float:
    chord = _distance(truss, segment.first, segment.last)
    curve: Curve | None = truss.members[segment.member].curve
    return chord if curve is None else 2 * curve.radius * asin(min(1.0, chord / (2 * curve.radius)))


def _distance(truss: Truss, first: JointId, last: JointId) -> float:
    start, end = truss.joints[first], truss.joints[last]
    return hypot(end.x - start.x, end.y - start.y)
