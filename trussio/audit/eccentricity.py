"""Axes that miss their joint, against the depth of what they bend, and bearings beside where the chords meet.

Terms: the *eccentricity* of a stick at a joint is the distance of the joint from its axis; times its force it
bends what runs through there. The *working point* of a heel is where the axes of both chords meet; a bearing
whose middle stands beside it bends the chord that runs on by the reaction times that distance. A quarter of the
depth as the measure of what is asked about: common practice, no source.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.audit.unevaluable import along, stick_length
from trussio.audit.wording import joint_pointers, length, member_pointers, pointer, rounded
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.truss import End, JointId, MemberId, Truss

    Point = tuple[float, float]
    Beside = tuple[str, float, tuple[str, ...]]
    """Beside what a bearing stands, how far to its right that is, and where it is said."""

MUCH: Final = 0.25
"""An eccentricity above this share of the depth is asked about."""
HEEL: Final = 0.5
"""A bearing within this share of the mean segment from where the chords meet is meant to stand under it."""


def eccentricities(subject: Subject) -> Iterator[Finding]:
    """Stick ends whose axis misses the joint by much of the depth there."""
    truss = subject.truss
    for name, member in truss.members.items():
        for end in member.offsets or {}:
            joint = member.through[0 if end == "first" else -1]
            line = _axis(truss, name, end)
            off = _from_line((truss.joints[joint].x, truss.joints[joint].y), *line)
            deepest = max(((d, other) for other, d in _depths(truss, joint).items()), default=None)
            if deepest is None or off <= MUCH * deepest[0]:
                continue
            depth, chord = deepest
            outside = "; its axis passes outside the stick" if off > depth / 2 else ""
            yield Finding(
                code="eccentric-joint",
                level="query",
                where=(
                    pointer("members", name, "offsets", end),
                    *joint_pointers([joint]),
                    *member_pointers([chord]),
                ),
                says=f"The axis of {name} misses {joint} by {length(off, truss.units)}, {off / depth:.2f} of the "
                f"depth of {chord} there, and bends it by its force times that{outside}.",
                do="Measure where the axes meet; look at the bending of the chord beside this joint.",
                evidence={"member": name, "joint": joint, "off": rounded(off), "depth": depth},
            )


def heels(subject: Subject) -> Iterator[Finding]:
    """Bearings whose middle stands beside the working point of their heel, or beside their joint."""
    truss = subject.truss
    for joint in truss.supports:
        known = _working_point(subject, joint) or _seat(truss, joint)
        depths = _depths(truss, joint)
        if known is None or not depths or abs(known[1]) <= MUCH * max(depths.values()):
            continue
        what, off, where = known
        chord = max(depths, key=lambda name: depths[name])
        yield Finding(
            code="heel-off-bearing",
            level="query",
            where=(pointer("supports", joint), *where, *member_pointers([chord])),
            says=f"The middle of the bearing at {joint} stands {length(abs(off), truss.units)} beside {what}, "
            f"{abs(off) / depths[chord]:.2f} of the depth of {chord}: the reaction bends {chord} by that much.",
            do="Measure the seat against where the axes of the chords meet; put the bearing where it is.",
            evidence={"support": joint, "off": rounded(off), "depth": depths[chord]},
        )


def _working_point(subject: Subject, joint: JointId) -> Beside | None:
    """Where both chords of a heel meet, how far to the right of the bearing; None where they meet on it."""
    truss = subject.truss
    here = _chord_ends(truss, joint)
    spot = truss.joints[joint]
    if {"top-chord", "bottom-chord"} <= {truss.members[name].role for name, _ in here}:
        lines = [_axis(truss, name, end) for name, end in here]
        offset = any(truss.members[name].offsets for name, _ in here)
        met = _meet(lines[0], lines[1]) if offset and len(lines) == 2 else None
        where = tuple(pointer("members", name, "offsets") for name, _ in here if truss.members[name].offsets)
        return None if met is None else ("where the axes of the chords meet", met[0] - spot.x, where)
    near = {
        other: hypot(place.x - spot.x, place.y - spot.y)
        for other, place in truss.joints.items()
        if {"top-chord", "bottom-chord"} <= {truss.members[name].role for name, _ in _chord_ends(truss, other)}
    }
    heel = min(near, key=lambda other: near[other], default=None)
    if heel is None or near[heel] > HEEL * subject.panel:
        return None
    return f"{heel}, where the chords meet", truss.joints[heel].x - spot.x, joint_pointers([heel])


def _seat(truss: Truss, joint: JointId) -> Beside | None:
    """How far the middle of a wall seat lies from the joint, where a stick runs on past it to its end."""
    for name_of, joined in truss.connections.items():
        wall = joined.wall
        if joined.joint != joint or wall is None or wall.to_end is None:
            continue
        for piece in joined.pieces:
            name = piece.member
            if name is None or joint not in truss.members[name].through[1:-1]:
                continue
            gone = along(truss, name, joint)
            off = wall.to_end + wall.length / 2 - min(gone, stick_length(truss, name) - gone)
            return "its joint", off, (pointer("connections", name_of, "wall"),)
    return None


def _chord_ends(truss: Truss, joint: JointId) -> list[tuple[MemberId, End]]:
    """Chords that end at a joint, by which of their ends."""
    ends: list[tuple[MemberId, End]] = []
    for name, member in truss.members.items():
        if member.role in {"top-chord", "bottom-chord"}:
            ends += [(name, "first")] if member.through[0] == joint else []
            ends += [(name, "last")] if member.through[-1] == joint else []
    return ends


def _depths(truss: Truss, joint: JointId) -> dict[MemberId, float]:
    """Depths of the chords at a joint, or where none is there of every stick."""
    met = [name for name, member in truss.members.items() if joint in member.through]
    chords = [name for name in met if truss.members[name].role in {"top-chord", "bottom-chord"}]
    sections = {name: truss.section_of(name) for name in chords or met}
    return {name: s.depth for name, s in sections.items() if s is not None and s.depth is not None}


def _axis(truss: Truss, name: MemberId, end: End) -> tuple[Point, Point]:
    """Two points of the axis of a stick at one of its ends: that end, and the next joint or other end."""
    member = truss.members[name]
    through = member.through if end == "first" else member.through[::-1]
    far: End = "last" if end == "first" else "first"
    return _end(truss, name, through[0], end), _end(truss, name, through[1], far if len(through) == 2 else None)


def _end(truss: Truss, name: MemberId, joint: JointId, end: End | None) -> Point:
    aside = (truss.members[name].offsets or {}).get(end, (0.0, 0.0)) if end is not None else (0.0, 0.0)
    return truss.joints[joint].x + aside[0], truss.joints[joint].y + aside[1]


def _from_line(point: Point, start: Point, end: Point) -> float:
    """Distance of a point from the line through two others."""
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    size = hypot(along_x, along_y)
    turned = along_x * (point[1] - start[1]) - along_y * (point[0] - start[0])
    return abs(turned) / size if size else hypot(point[0] - start[0], point[1] - start[1])


def _meet(one: tuple[Point, Point], other: tuple[Point, Point]) -> Point | None:
    """Where two lines meet; None where they run nearly alongside each other."""
    (x1, y1), (x2, y2) = one
    (x3, y3), (x4, y4) = other
    turned = (x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3)
    if abs(turned) < 1e-3 * hypot(x2 - x1, y2 - y1) * hypot(x4 - x3, y4 - y3):
        return None
    share = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / turned
    return x1 + share * (x2 - x1), y1 + share * (y2 - y1)
