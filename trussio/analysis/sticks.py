"""Where segments lie along the sticks that they are pieces of, and which sticks a load acts on.

Terms: a *place* is a distance along a stick's axis from its first joint, along the curve of an arc.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.analysis.lines import Lines
    from trussio.model.idealised import Idealised
    from trussio.model.loading import Target
    from trussio.model.truss import JointId, MemberId, Truss

ON_STICK = 1e-6
"""A place may pass the end of its stick by this part of its length (drawings are rounded)."""
AT_JOINT = 1e-9
"""A place nearer to a joint than this part of the stick is the joint's."""


class Sticks(NamedTuple):
    """The sticks of a truss.

    `joints` numbers the joints; `turns` gives the movement that is a joint's turn, where it has one. The segments
    of a member are numbered from `first` on, and its joints lie at `places`.
    """

    truss: Truss
    joints: Mapping[JointId, int]
    turns: Mapping[JointId, int]
    first: Mapping[MemberId, int]
    places: Mapping[MemberId, list[float]]


def sticks(truss: Truss, ideal: Idealised, shape: Lines) -> Sticks:
    """The sticks of a truss; movements are two to a joint, then the rotations."""
    lengths = shape.length.tolist()
    first: dict[MemberId, int] = {}
    places: dict[MemberId, list[float]] = {}
    for index, segment in enumerate(truss.segments):
        first.setdefault(segment.member, index)
        along = places.setdefault(segment.member, [0.0])
        along.append(along[-1] + lengths[index])
    turns = {joint: 2 * len(truss.joints) + index for joint, index in ideal.shared.items()}
    joints = {name: index for index, name in enumerate(truss.joints)}
    return Sticks(truss=truss, joints=joints, turns=turns, first=first, places=places)


def segments_of(among: Sticks, name: MemberId) -> slice:
    """The numbers of a member's segments."""
    return slice(among.first[name], among.first[name] + len(among.places[name]) - 1)


def targets(truss: Truss, on: Target) -> Iterable[MemberId]:
    """The sticks that a load acts on."""
    if on.member is not None:
        return (on.member,)
    return (name for name, member in truss.members.items() if member.role == on.role)


def place_on(among: Sticks, name: MemberId, at: JointId | float, where: str) -> float:
    """The place of a joint or a distance on a stick; what lies a hair's breadth beside a joint is brought to it.

    Raises CannotAnalyseError `load-off-stick` at the pointer `where`.
    """
    through, places = among.truss.members[name].through, among.places[name]
    if isinstance(at, str):
        if at in through:
            return places[through.index(at)]
    elif -ON_STICK * places[-1] <= at <= (1 + ON_STICK) * places[-1]:
        nearest = min(places, key=lambda place: abs(place - at))
        return nearest if abs(nearest - at) <= AT_JOINT * places[-1] else min(max(at, 0.0), places[-1])
    raise CannotAnalyseError(
        "load-off-stick",
        where=where,
        what=f"a load is placed at {at}, which is not on {name}.",
        do="Give a joint of the stick, or a distance along it from its first joint.",
    )
