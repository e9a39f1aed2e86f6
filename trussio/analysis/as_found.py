"""The truss as the survey found it: its condition applied, so that what is severed, missing or worn acts so.

A severed stick becomes parts with a free gap between them. The first part that stands keeps the stick's id, the
others are called `stick.2`, `stick.3`; their segments keep the name of the stick, so that untouched segments keep
their ids. A joint that an entry makes bears the entry's id: `c1` where a stick has come away, `c1.1` and `c1.2` on
the two sides of a cut. What hangs on a hinge alone or on nothing is left out, its loads brought to the joint that
it hangs on; in `pinned` a piece between a joint and a cut always is. A joint that nothing meets any more is left
out unless it is loaded; where it bears, its bearing then takes the load whatever its direction.
The digest of a truss as found is still that of its document.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from trussio.analysis.condition_findings import findings_of
from trussio.analysis.known_along import known_along
from trussio.analysis.lost_sections import remains, within
from trussio.analysis.moved_loads import Fate, moved_loads
from trussio.analysis.properties import pointer
from trussio.analysis.stick_parts import fixed_ends, point_on, stick_of, taken_apart
from trussio.late import loaded
from trussio.model.condition import Bow
from trussio.model.loading import JointLoad, SupportMovement
from trussio.model.truss import Joint, MemberId, SectionId

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Mapping, Sequence

    from trussio.analysis.lost_sections import Remains
    from trussio.analysis.stick_parts import Node, Stick
    from trussio.model.condition import Condition
    from trussio.model.connection import Connection
    from trussio.model.finding import Finding
    from trussio.model.material import Section
    from trussio.model.staging import Stage
    from trussio.model.truss import End, Idealisation, JointId, Member, Truss
T = TypeVar("T")


class _Made(NamedTuple):
    """What a truss as found is put together from."""

    joints: dict[JointId, Joint]
    members: dict[MemberId, Member]
    sections: dict[SectionId, Section]
    fates: dict[MemberId, Fate]
    places: dict[str, str]


def as_found(truss: Truss, idealisation: Idealisation) -> tuple[Truss, tuple[Finding, ...], dict[str, str]]:
    """A truss with its condition applied, and what there is to say of that.

    Third comes, for the JSON Pointer of what only the truss as found has, that of what it comes from.
    """
    entries: dict[MemberId, dict[str, Condition]] = {}
    for name, one in truss.condition.items():
        entries.setdefault(one.member, {})[name] = one
    made = _Made({**truss.joints}, {}, {**truss.sections}, {}, {})
    for member in truss.members:
        if member in entries:
            _apply(truss, stick_of(truss, member), entries[member], idealisation, made)
        else:
            made.members[member] = truss.members[member]
    loads, came_from = moved_loads(truss, made.fates)
    for place, index in came_from.items():
        case, _, number = place.rpartition("/")
        if number != str(index):
            mine, real = (pointer("loads", "cases", case, "loads", which) for which in (number, index))
            made.places[mine] = real
    there = {member.part_of or name for name, member in made.members.items()}
    found = replace(
        truss,
        joints=made.joints,
        members=made.members,
        sections=made.sections,
        loads=loads,
        connections=_connections(truss, made),
        condition={},
        stages=_stages(truss, [name for name in truss.members if name not in there]),
    )
    return _without_lone_joints(truss, found), tuple(findings_of(truss, made.fates)), made.places


def _stages(truss: Truss, lost: Sequence[MemberId]) -> tuple[Stage, ...]:
    """The stages without what would be done to sticks that are lost."""
    if not truss.stages or not lost:
        return truss.stages
    left: Callable[[Sequence[Stage], Sequence[MemberId]], tuple[Stage, ...]] = loaded(
        "trussio.model.history:without"
    )
    return left(truss.stages, lost)


def _apply(
    truss: Truss, stick: Stick, entries: Mapping[str, Condition], idealisation: Idealisation, made: _Made
) -> None:
    """Enter what became of one stick."""
    parts, stretches = taken_apart(truss, stick, entries, made.joints, idealisation)
    left = remains(truss, stick, entries)
    section = truss.members[stick.name].section
    if left.section is not None:
        entry, whole = left.section
        section = SectionId(_unused(f"{section or stick.name}.{entry}", made.sections))
        made.sections[section] = whole
        made.places[pointer("sections", section)] = pointer("condition", entry)
    names: list[MemberId] = []
    for nodes in parts:
        name = stick.name
        if names:
            name = MemberId(_unused(f"{stick.name}.{len(names) + 1}", (*truss.members, *made.members)))
            made.places[pointer("members", name)] = pointer("members", stick.name)
        names.append(name)
        part = _part(truss, stick, entries, nodes, left)
        made.members[name] = replace(part, section=section, part_of=None if name == stick.name else stick.name)
        for node in nodes:
            if node.loose:
                x, y = point_on(truss, stick, node.place)
                made.joints[node.joint] = Joint(x=x, y=y)
                made.places[pointer("joints", node.joint)] = pointer("members", stick.name)
    made.fates[stick.name] = Fate(stick, tuple(stretches), tuple(names))


def _part(
    truss: Truss, stick: Stick, entries: Mapping[str, Condition], nodes: Sequence[Node], left: Remains
) -> Member:
    """One part of a stick as a member."""
    member = truss.members[stick.name]
    through = tuple(node.joint for node in nodes)
    start, end = nodes[0].place, nodes[-1].place
    ends: dict[End, bool] = {"first": through[0] == member.through[0], "last": through[-1] == member.through[-1]}
    if not all(ends.values()):
        places = dict(zip(member.through, stick.places, strict=True))
        member = known_along(member, places, start, end)
    fixed = tuple(which for which in fixed_ends(truss, stick, entries) if ends[which])
    return replace(
        member,
        through=through,
        fixed=fixed,
        offsets=_of_ends(member.offsets, [which for which in ends if ends[which]]),
        slip=_of_ends(member.slip, [which for which in ends if ends[which]]),
        play=_of_ends(member.play, [which for which in ends if ends[which]]),
        turning=_of_ends(member.turning, fixed),
        worn=within(left.worn, start, end),
        bows=tuple(_bows(entries, stick, through)),
    )


def _of_ends(values: Mapping[End, T] | None, ends: Collection[End]) -> dict[End, T] | None:
    """What is said of the ends that a part still has."""
    return None if values is None else {end: value for end, value in values.items() if end in ends}


def _bows(
    entries: Mapping[str, Condition], stick: Stick, through: Sequence[JointId]
) -> Iterator[tuple[int, float]]:
    """The segments of a part that are out of line, by index; one that is cut has lost its bow."""
    pairs = [*pairwise(through)]
    for one in entries.values():
        if isinstance(one, Bow):
            between = one.between or (stick.segments[0].first, stick.segments[0].last)
            pair = between if between in pairs else between[::-1]
            if pair in pairs:
                yield pairs.index(pair), one.by


def _connections(truss: Truss, made: _Made) -> dict[str, Connection]:
    """The connections whose sticks all still stand, with the parts that reach the joint."""
    found = {}
    for name, connection in truss.connections.items():
        names = {
            old: _at(connection.joint, old, made)
            for old in (*(piece.member for piece in connection.pieces), connection.into)
            if old is not None
        }
        if None not in names.values():
            pieces = tuple(
                piece._replace(member=None if piece.member is None else names[piece.member])
                for piece in connection.pieces
            )
            into = None if connection.into is None else names[connection.into]
            found[name] = connection._replace(pieces=pieces, into=into)
    return found


def _at(joint: JointId | None, name: MemberId, made: _Made) -> MemberId | None:
    """The part of a stick that reaches a joint, None where none does."""
    if name not in made.fates:
        return name
    parts = made.fates[name].parts
    if joint is None:
        return parts[0] if parts else None
    return next((part for part in parts if joint in made.members[part].through), None)


def _without_lone_joints(before: Truss, found: Truss) -> Truss:
    """A truss without the joints that lost all sticks and are not loaded; loaded ones that bear are held fast."""
    met = {joint for member in found.members.values() for joint in member.through}
    lost = {joint for member in before.members.values() for joint in member.through} - met
    loads = [load for case in found.loads.cases.values() for load in case.loads]
    loaded = {load.joint for load in loads if isinstance(load, JointLoad)}
    gone = lost - loaded - {load.support for load in loads if isinstance(load, SupportMovement)}
    supports = {
        name: replace(support, holds=("x", "y")) if name in lost else support
        for name, support in found.supports.items()
        if name not in gone
    }
    joints = {name: joint for name, joint in found.joints.items() if name not in gone}
    return replace(found, joints=joints, supports=supports)


def _unused(name: str, taken: Collection[str]) -> str:
    """A name that nothing bears yet."""
    while name in taken:
        name += "~"
    return name
