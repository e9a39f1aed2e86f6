"""A stick that is severed, parted, released or gone, taken apart into what of it still stands.

Terms: a *node* is a joint of the stick at its place along the stick, *loose* where nothing else meets there any
more; a *part* is a run of nodes that is still one stick; a *stretch* is a piece of the stick's length and what
became of it. A part that hangs on one hinge alone, or on nothing, does not stand.
Places run along the stick from its first joint, along the arc where it is curved.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING, NamedTuple

from trussio.geometry import segment_arc, segment_length
from trussio.model.condition import Missing, Parted, Released, Severed
from trussio.model.truss import JointId

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from trussio.geometry import Point
    from trussio.model.condition import Condition
    from trussio.model.truss import End, Idealisation, MemberId, Segment, Truss


LONGEST = 60
"""So many characters of an entry's id go into that of a joint."""


class Stick(NamedTuple):
    """A stick of the document: its segments, and the places of its joints."""

    name: MemberId
    segments: tuple[Segment, ...]
    places: tuple[float, ...]


class Node(NamedTuple):
    """A joint at its place along the stick."""

    joint: JointId
    place: float
    loose: bool = False


class Stretch(NamedTuple):
    """A piece of a stick's length, and the part that it belongs to by number.

    Where no part stands there (None), loads on it go `onto` a joint, or where that is None too to the joints of
    the segment that they act on, by the lever. `weighs` tells whether it is still there to be weighed.
    """

    start: float
    end: float
    part: int | None = None
    onto: JointId | None = None
    weighs: bool = True


def stick_of(truss: Truss, name: MemberId) -> Stick:
    """A stick with the places of its joints."""
    segments = tuple(segment for segment in truss.segments if segment.member == name)
    places = [0.0]
    for segment in segments:
        places.append(places[-1] + segment_length(truss, segment))
    return Stick(name, segments, tuple(places))


def point_on(truss: Truss, stick: Stick, place: float) -> Point:
    """The point of a stick at a place."""
    index = min(bisect_right(stick.places, place), len(stick.segments)) - 1
    segment, start = stick.segments[index], stick.places[index]
    part = (place - start) / (stick.places[index + 1] - start)
    arc = segment_arc(truss, segment)
    if arc is not None:
        return arc.at(part)
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    return first.x + part * (last.x - first.x), first.y + part * (last.y - first.y)


def fixed_ends(truss: Truss, stick: Stick, entries: Mapping[str, Condition]) -> tuple[End, ...]:
    """The ends of a stick that still turn with their joints."""
    member = truss.members[stick.name]
    loose = {one.at for one in entries.values() if isinstance(one, (Parted, Released))}
    return tuple(end for end in member.fixed if member.through[0 if end == "first" else -1] not in loose)


def taken_apart(
    truss: Truss,
    stick: Stick,
    entries: Mapping[str, Condition],
    taken: Collection[str],
    idealisation: Idealisation,
) -> tuple[list[list[Node]], list[Stretch]]:
    """The parts of a stick that stand, and what became of its whole length.

    `taken` are the ids that a new joint may not have.
    """
    if any(isinstance(one, Missing) for one in entries.values()):
        return [], [Stretch(0.0, stick.places[-1], weighs=False)]
    rigid = {
        truss.members[stick.name].through[0 if end == "first" else -1] for end in fixed_ends(truss, stick, entries)
    }
    parts: list[list[Node]] = []
    stretches: list[Stretch] = []
    for run in _runs(truss, stick, entries, taken):
        kept = _standing(run, rigid, idealisation)
        if kept:
            stretches += _stretches(run, kept, len(parts))
            parts.append(kept)
        else:
            stretches.append(Stretch(run[0].place, run[-1].place, onto=_hangs_on(truss, stick, entries, run)))
    return parts, stretches


def _runs(
    truss: Truss, stick: Stick, entries: Mapping[str, Condition], taken: Collection[str]
) -> list[list[Node]]:
    """The nodes of a stick from cut to cut and hinge to hinge."""
    through = truss.members[stick.name].through
    parted = {one.at: name for name, one in entries.items() if isinstance(one, Parted)}
    released = {one.at for one in entries.values() if isinstance(one, Released)} - {through[0], through[-1]}
    cuts = sorted((one.at, name) for name, one in entries.items() if isinstance(one, Severed))
    runs: list[list[Node]] = [[]]
    for joint, place in zip(through, stick.places, strict=True):
        while cuts and cuts[0][0] < place:
            cut, name = cuts.pop(0)
            runs[-1].append(Node(_new_joint(name, taken, ".1"), cut, loose=True))
            runs.append([Node(_new_joint(name, taken, ".2"), cut, loose=True)])
        loose = joint in parted
        node = Node(_new_joint(parted[joint], taken) if loose else joint, place, loose)
        runs[-1].append(node)
        if joint in released:
            runs.append([node])
    return runs


def _new_joint(name: str, taken: Collection[str], ending: str = "") -> JointId:
    """An id for a joint that an entry makes: that of the entry, changed where a joint may not have it."""
    made = name.replace("-", "_")[:LONGEST] + ending
    while made in taken:
        made += "~"
    return JointId(made)


def _standing(run: list[Node], rigid: Collection[JointId], idealisation: Idealisation) -> list[Node]:
    """What of a run stands: held by two joints, or rigid at its one; in `pinned` only what lies between joints."""
    held = [index for index, node in enumerate(run) if not node.loose]
    if len(held) >= 2:
        return run if idealisation == "continuous" else run[held[0] : held[-1] + 1]
    cantilever = len(held) == 1 and len(run) == 2 and run[held[0]].joint in rigid
    return run if cantilever and idealisation == "continuous" else []


def _stretches(run: list[Node], kept: list[Node], part: int) -> list[Stretch]:
    """A part, and what hung on its ends."""
    first, last = kept[0], kept[-1]
    every = [
        Stretch(run[0].place, first.place, onto=first.joint),
        Stretch(first.place, last.place, part),
        Stretch(last.place, run[-1].place, onto=last.joint),
    ]
    return [stretch for stretch in every if stretch.start < stretch.end]


def _hangs_on(truss: Truss, stick: Stick, entries: Mapping[str, Condition], run: Sequence[Node]) -> JointId:
    """The joint that a run hangs on; where it fell, the nearest one that the stick still reaches."""
    held = [node.joint for node in run if not node.loose]
    if held:
        return held[0]
    parted = {one.at for one in entries.values() if isinstance(one, Parted)}
    middle = (run[0].place + run[-1].place) / 2
    joints = zip(truss.members[stick.name].through, stick.places, strict=True)
    return min(joints, key=lambda joint: (joint[0] in parted, abs(joint[1] - middle)))[0]
