"""What can be checked with a pencil: the sum of the loads, and the moment near midspan over the depth there.

The loads are those that the document states, brought to the joints; the reactions and the chord force are
those of the results. So the two sides of each check come from different hands.

Method of sections (any textbook on statics): cut the truss upright, close beside a joint J of the top chord, where
of all segments cut only one of the bottom chord does not meet J. About J, the loads and reactions on the left have
a moment M, and only that segment has a lever, its distance d from J. Its force is M / d: exact between pins, and
close where sticks bend. A tendon that crosses the cut has a moment of its own, which is taken off first; sticks
beside the chord share its force.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from trussio.drawing.sticks import span_of
from trussio.geometry import off_axis
from trussio.model.loading import JointLoad

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import RunForces
    from trussio.model.truss import JointId, Segment, SegmentId, Truss


@dataclass(frozen=True, kw_only=True)
class Sum:
    """Loads and reactions of one run added up, right and up positive, in base units."""

    loads: tuple[float, float]
    reactions: tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Section:
    """The cut at midspan: moment about `joint` of what is left of it, over `depth` to the chord `segment`.

    `beside` are sticks beside that segment, whose force counts with it; `tendons` have had their own moment taken
    off.
    """

    joint: JointId
    segment: Segment
    moment: float
    depth: float
    axial: float
    beside: tuple[SegmentId, ...] = ()
    tendons: tuple[str, ...] = ()

    @property
    def force(self) -> float:
        """The chord's force by the method of sections, tension positive."""
        return self.moment / self.depth


def sums(applied: Mapping[JointId, tuple[float, float]], forces: RunForces) -> Sum:
    """Loads on all joints and all reactions."""
    return Sum(
        loads=(sum(x for x, _ in applied.values()), sum(y for _, y in applied.values())),
        reactions=(sum(r.x for r in forces.reactions.values()), sum(r.y for r in forces.reactions.values())),
    )


def midspan_section(
    truss: Truss, applied: Mapping[JointId, tuple[float, float]], forces: RunForces
) -> Section | None:
    """The cut nearest to the middle, or None where no cut near it frees one bottom-chord segment alone."""
    cut = None if _has_moments(truss) else _cut(truss)
    if cut is None:
        return None
    here, segment = truss.joints[cut.joint], cut.segment
    acting = [*applied.items(), *((name, (r.x, r.y)) for name, r in forces.reactions.items())]
    left = [(truss.joints[name], force) for name, force in acting if truss.joints[name].x < cut.x]
    moment = sum((here.x - place.x) * fy + (place.y - here.y) * fx for place, (fx, fy) in left)
    moment -= sum(r.turn for name, r in forces.reactions.items() if truss.joints[name].x < cut.x)
    tendons = _tendons(truss, forces, cut)
    return Section(
        joint=cut.joint,
        segment=segment,
        moment=moment - sum(tendons.values()),
        depth=_depth(truss, cut.joint, segment),
        axial=sum(forces.segments[name].axial for name in (segment.id, *cut.beside)),
        beside=cut.beside,
        tendons=tuple(tendons),
    )


def _tendons(truss: Truss, forces: RunForces, cut: _Cut) -> dict[str, float]:
    """The moments about the joint of a cut of the tendons that cross it."""
    here = truss.joints[cut.joint]
    found: dict[str, float] = {}
    for name, legs in forces.tendons.items():
        places = [
            (truss.joints[point.joint], off_axis(truss, point.bears_on, point.joint, point.offset))
            if point.bears_on is not None
            else (truss.joints[point.joint], (0.0, 0.0))
            for point in truss.tendons[name].path
        ]
        line = [(joint.x + x, joint.y + y) for joint, (x, y) in places]
        for one, other, force in zip(line, line[1:], legs, strict=False):
            first, last = sorted((one, other))
            if first[0] < cut.x < last[0]:
                dx, dy = last[0] - first[0], last[1] - first[1]
                arm = (dx * (here.y - first[1]) - dy * (here.x - first[0])) / hypot(dx, dy)
                found[name] = found.get(name, 0.0) + force * arm
    return found


@dataclass(frozen=True, kw_only=True)
class _Cut:
    """An upright cut at `x`, beside a joint of the top chord, through one segment of the bottom chord.

    `beside` are segments between the same joints.
    """

    x: float
    joint: JointId
    segment: Segment
    beside: tuple[SegmentId, ...]


def _has_moments(truss: Truss) -> bool:
    """Whether a moment is applied at any joint: it acts where it stands, and would have to be taken in."""
    return any(
        isinstance(load, JointLoad) and load.moment for case in truss.loads.cases.values() for load in case.loads
    )


def _cut(truss: Truss) -> _Cut | None:
    """The cut of which everything but one bottom-chord segment meets its joint, in the middle half of the span."""
    left, _, right, _ = span_of(truss)
    middle, wide = (left + right) / 2, right - left
    upper = {joint for member in truss.members.values() if member.role == "top-chord" for joint in member.through}
    near = [joint for joint in truss.joints if joint in upper and abs(truss.joints[joint].x - middle) <= wide / 4]
    near.sort(key=lambda joint: abs(truss.joints[joint].x - middle))
    for joint in near:
        for side in (-1e-6, 1e-6):
            x = truss.joints[joint].x + side * wide
            away = [s for s in truss.segments if _spans(truss, s, x) and joint not in {s.first, s.last}]
            lower = [s for s in away if truss.members[s.member].role == "bottom-chord"]
            alike = len({frozenset((s.first, s.last)) for s in away}) == 1
            if lower and alike and _depth(truss, joint, lower[0]) > 1e-3 * wide:
                beside = tuple(s.id for s in away if s is not lower[0])
                return _Cut(x=x, joint=joint, segment=lower[0], beside=beside)
    return None


def _spans(truss: Truss, segment: Segment, x: float) -> bool:
    first, last = truss.joints[segment.first].x, truss.joints[segment.last].x
    return min(first, last) < x < max(first, last)


def _depth(truss: Truss, joint: JointId, segment: Segment) -> float:
    """Distance of a joint above the line of a segment that goes from left to right, square to it."""
    here = truss.joints[joint]
    ends = sorted((truss.joints[segment.first], truss.joints[segment.last]), key=lambda place: place.x)
    dx, dy = ends[1].x - ends[0].x, ends[1].y - ends[0].y
    return (dx * (here.y - ends[0].y) - dy * (here.x - ends[0].x)) / hypot(dx, dy)
