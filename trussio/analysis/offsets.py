"""Sticks whose axes end beside their joints: rigid arms from the joint to the stick's end.

An arm turns with its joint, so that what the stick does to its end bends whatever shares the joint's rotation: by
the force across the arm times its length. In `pinned` nothing turns, and sticks run from joint to joint.
Shapes: m segments, n movements, c load cases.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.properties import pointer
from trussio.errors import CannotAnalyseError
from trussio.geometry import arc_between

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Flags, Floats
    from trussio.analysis.frame import Frame
    from trussio.analysis.lines import Lines
    from trussio.analysis.loading import Applied
    from trussio.model.idealised import Idealised
    from trussio.model.truss import End, JointId, Segment, Truss


def offset(truss: Truss, ideal: Idealised, shape: Lines) -> Lines:
    """The lines of segments from where their axes truly begin to where they end.

    Raises CannotAnalyseError `offset-on-hinge` where nothing shares the rotation of a joint beside which a stick
    ends.
    """
    arms = np.zeros((len(shape.chord), 2, 2))
    for number, segment in enumerate(truss.segments):
        for end, joint, at in _offsets(truss, segment):
            if joint not in ideal.shared:
                raise CannotAnalyseError(
                    "offset-on-hinge",
                    where=pointer("members", segment.member, "offsets", end),
                    what=f"{segment.member} ends beside {joint}, where nothing shares the joint's rotation.",
                    do="Say which stick runs through the joint or is fixed there; the offset bends that one.",
                )
            arms[number, 0 if end == "first" else 1] = at
    starts, ends = (shape.joints[shape.ends[:, end]] + arms[:, end] for end in (0, 1))
    across = ends - starts
    chord = np.hypot(across[:, 0], across[:, 1])
    length, half = np.where(shape.half == 0.0, chord, shape.length), shape.half.copy()
    for number, segment in enumerate(truss.segments):
        curve = truss.members[segment.member].curve
        if curve is not None and arms[number].any():
            (ax, ay), (bx, by) = starts[number].tolist(), ends[number].tolist()
            arc = arc_between((ax, ay), (bx, by), max(curve.radius, chord[number] / 2), curve.bows)
            length[number], half[number] = arc.length, -arc.sweep / 2
    return shape._replace(along=across / chord[:, None], chord=chord, length=length, half=half, arms=arms)


def _offsets(truss: Truss, segment: Segment) -> list[tuple[End, JointId, tuple[float, float]]]:
    """The ends of a segment that lie beside their joints."""
    member = truss.members[segment.member]
    ends: tuple[tuple[End, JointId, bool], ...] = (
        ("first", segment.first, segment.index == 0),
        ("last", segment.last, segment.index == len(member.through) - 2),
    )
    offsets = member.offsets or {}
    return [(end, joint, offsets[end]) for end, joint, outer in ends if outer and any(offsets.get(end, ()))]


def spread(made: Applied, measured: Floats, length: Floats) -> Applied:
    """Loads that are placed along segments as `measured` from joint to joint, on their true `length`.

    Places keep their part of the way and line loads their sums; so does what segments are longer by.
    """
    ratio = (length / measured).tolist()
    patches = [
        patch._replace(
            start=patch.start * ratio[patch.segment],
            end=patch.end * ratio[patch.segment],
            at_start=patch.at_start / ratio[patch.segment],
            at_end=patch.at_end / ratio[patch.segment],
        )
        for patch in made.patches
    ]
    points = [point._replace(place=point.place * ratio[point.segment]) for point in made.points]
    strains = made.strains * (measured / length)[:, None]
    return made._replace(patches=patches, points=points, strains=strains)


def with_arms(frame: Frame, ideal: Idealised, truss: Truss, arms: Floats) -> Frame:
    """A frame whose ends beside their joints turn with these, hinged or not."""
    first = frame.total - len(ideal.rotations)
    turns, hinged = frame.turns.copy(), np.zeros(frame.turns.shape, dtype=bool)
    for number, segment in enumerate(truss.segments):
        for end, joint in enumerate((segment.first, segment.last)):
            if arms[number, end].any():
                hinged[number, end] = turns[number, end] == frame.total
                turns[number, end] = first + ideal.shared[joint]
    return frame._replace(turns=turns, arms=arms, hinged=hinged)


def turn_arms(frame: Frame, segments: Counts, end: int, forces: tuple[Floats, Floats], loads: Floats) -> None:
    """Add to the loads (n, c) what forces (c, s) in x and y on ends of segments do to the turns of their arms."""
    if frame.arms is None:
        return
    arm: Flags = frame.arms[segments, end].any(axis=1)
    x, y = frame.arms[segments, end].T
    turn = (x * forces[1] - y * forces[0]).T
    np.add.at(loads, frame.turns[segments, end][arm], turn[arm])
