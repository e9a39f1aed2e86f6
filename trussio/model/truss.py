"""The truss: joints, physical sticks through them, supports, and what they are made of.

Terms: a *member* is a physical stick through two or more joints, continuous at the joints it runs through
and pinned at its two ends unless fixed; a *segment* is the piece of a member between two successive joints.
Signs: x right, y up, moments and turns counter-clockwise. Units: the document's own base pair (in and lbf, or
mm and N). The letter of the document stands in `schema/`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal, NewType

if TYPE_CHECKING:
    from trussio.model.acceptance import Acceptance
    from trussio.model.change import Assumption, Source
    from trussio.model.condition import Condition, Worn
    from trussio.model.connection import Brace, Butt, Connection, Laminations, Spaced, Stitched
    from trussio.model.loading import Loads
    from trussio.model.material import Material, Section
    from trussio.model.sag import Sag
    from trussio.model.site import Site, Surface
    from trussio.model.staging import Stage
    from trussio.model.tendon import Tendon
    from trussio.units import UnitSystem

JointId = NewType("JointId", str)
MemberId = NewType("MemberId", str)
SegmentId = NewType("SegmentId", str)
SectionId = NewType("SectionId", str)
MaterialId = NewType("MaterialId", str)

Json = str | float | bool | list["Json"] | dict[str, "Json"] | None
Notes = Mapping[str, Json]
"""What a person wrote beside a thing; kept, never read."""

Role = Literal["top-chord", "bottom-chord", "web", "other"]
End = Literal["first", "last"]
Direction = Literal["x", "y", "turn"]
Acts = Literal["tension", "compression"]
Idealisation = Literal["pinned", "continuous"]
State = Literal["found", "built"]


@dataclass(frozen=True, kw_only=True)
class Joint:
    """A working point, in base lengths."""

    x: float
    y: float
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Every segment of the member is the lesser arc of this radius between its joints.

    `bows` says to which side of the joint-to-joint line the arc bulges.
    """

    radius: float
    bows: Literal["up", "down"]


@dataclass(frozen=True, kw_only=True)
class Member:
    """A physical stick. `role` is None where nobody said; `braced` is empty where a survey found nothing.

    `acts` tells that the stick carries tension alone (a rod) or compression alone (a butted strut). By end:
    `offsets` from the joint to where the stick's axis ends, x and y, across which the joint is rigid; `slip`, the
    stiffness of the connection along the stick, force per length; `play`, by how much it slips without any force,
    either way; `turning`, the stiffness of a fixed end against its joint, moment per radian; `fastener_slip` names
    ends whose slip and play follow from the fasteners that a connection states there.

    The last three are of a truss as found and stand in no document: of which stick of the document this is a part,
    the stretches that have lost section, and segments out of line, by index, with the distance towards local +y.
    """

    through: tuple[JointId, ...]
    role: Role | None = None
    section: SectionId | None = None
    material: MaterialId | None = None
    curve: Curve | None = None
    fixed: tuple[End, ...] = ()
    acts: Acts | None = None
    offsets: Mapping[End, tuple[float, float]] | None = None
    slip: Mapping[End, float] | None = None
    play: Mapping[End, float] | None = None
    turning: Mapping[End, float] | None = None
    fastener_slip: tuple[End, ...] = ()
    braced: tuple[Brace, ...] | None = None
    butts: tuple[Butt, ...] | None = None
    laminations: Laminations | None = None
    stitched: Stitched | None = None
    spaced: Spaced | None = None
    label: str | None = None
    notes: Notes | None = None
    part_of: MemberId | None = None
    worn: tuple[Worn, ...] = ()
    bows: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Segment:
    """One piece of a member between successive joints; `index` counts from 0 along the member."""

    id: SegmentId
    member: MemberId
    index: int
    first: JointId
    last: JointId


@dataclass(frozen=True, kw_only=True)
class Support:
    """What holds a joint.

    `holds` lists `x`, `y`, `turn` or a direction (x, y) of any length (an inclined bearing); `springs` gives
    stiffness by `x`, `y` (force per length) or `turn` (moment per radian) and counts as holds.
    """

    holds: tuple[Direction | tuple[float, float], ...] = ()
    springs: Mapping[Direction, float] = field(default_factory=dict)
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Truss:
    """One truss, as its document says it.

    `written_out` holds the JSON Pointers of fields that the document writes although they say no more than their
    absence would (`"plies": 1`); it changes nothing but lets a document be written back as it was read, digest
    and all. A pointer whose record is gone is without effect.
    """

    title: str
    units: UnitSystem
    joints: Mapping[JointId, Joint]
    members: Mapping[MemberId, Member]
    supports: Mapping[JointId, Support]
    sections: Mapping[SectionId, Section]
    materials: Mapping[MaterialId, Material]
    loads: Loads
    assumptions: Mapping[str, Assumption]
    site: Site | None = None
    surfaces: Mapping[str, Surface] = field(default_factory=dict)
    connections: Mapping[str, Connection] = field(default_factory=dict)
    condition: Mapping[str, Condition] = field(default_factory=dict)
    sags: Mapping[str, Sag] = field(default_factory=dict)
    tendons: Mapping[str, Tendon] = field(default_factory=dict)
    stages: tuple[Stage, ...] = ()
    source: Source | None = None
    accepted: Mapping[str, Acceptance] = field(default_factory=dict)
    notes: Notes | None = None
    written_out: frozenset[str] = frozenset()

    @cached_property
    def segments(self) -> tuple[Segment, ...]:
        """Every segment, members in document order, each from its first joint to its last.

        A part of a severed stick lends its segments the name of the whole stick, so that those untouched keep
        theirs.
        """
        return tuple(
            Segment(
                id=SegmentId(f"{member.part_of or name}:{first}-{last}"),
                member=name,
                index=index,
                first=first,
                last=last,
            )
            for name, member in self.members.items()
            for index, (first, last) in enumerate(zip(member.through, member.through[1:], strict=False))
        )

    def section_of(self, member: MemberId) -> Section | None:
        """The section that a member names, or None where it names none."""
        name = self.members[member].section
        return None if name is None else self.sections[name]

    def material_of(self, member: MemberId) -> Material | None:
        """The material that a member names, or None where it names none."""
        name = self.members[member].material
        return None if name is None else self.materials[name]
