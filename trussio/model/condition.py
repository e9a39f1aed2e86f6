"""What the survey found of a stick that is no longer as it was built: the condition of a truss.

Each entry is of one kind and speaks of one stick. Distances run along the stick from its first joint, in base
lengths; local y is 90 degrees counter-clockwise from the way of `through`, so that the face towards +y is the
upper one of a chord that runs from left to right. `seen` says in words what was seen; by whom and when stands in
`notes`. A truss *as found* has its condition applied, *as built* it has not.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from trussio.model.material import Section
    from trussio.model.truss import JointId, MemberId, Notes


@dataclass(frozen=True, kw_only=True)
class Severed:
    """The stick is cut or broken through at a distance; its two sides do not touch."""

    member: MemberId
    at: float
    seen: str
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Missing:
    """The stick is not there."""

    member: MemberId
    seen: str
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Lost:
    """What is gone of a rectangle: depth at the faces towards +y and -y, width of each ply, whole plies."""

    plus_y: float = 0.0
    minus_y: float = 0.0
    width: float = 0.0
    plies: int = 0


@dataclass(frozen=True, kw_only=True)
class Left:
    """What is left of a section: its area, its inertia, and how far its centroid now lies towards +y."""

    area: float
    inertia: float | None = None
    shift: float = 0.0


@dataclass(frozen=True, kw_only=True)
class LostSection:
    """The stick has lost part of its section, from `start` to `end` or, where they are None, to its ends.

    `what` tells what is gone, or what is left. Places are joints of the stick or distances along it.
    """

    member: MemberId
    what: Lost | Left
    seen: str
    start: JointId | float | None = None
    end: JointId | float | None = None
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Released:
    """The stick no longer passes a moment on at a joint: a hinge, where it is fixed or runs through."""

    member: MemberId
    at: JointId
    seen: str
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Parted:
    """The stick is no longer fastened to a joint that it ends at or runs through."""

    member: MemberId
    at: JointId
    seen: str
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Bow:
    """A straight segment is out of line by `by` towards +y in its middle, as a parabola, and free of stress so.

    `between` names its joints; None where the stick has one segment only.
    """

    member: MemberId
    by: float
    seen: str
    between: tuple[JointId, JointId] | None = None
    notes: Notes | None = None


Condition: TypeAlias = Severed | Missing | LostSection | Released | Parted | Bow


@dataclass(frozen=True, kw_only=True)
class Worn:
    """A stretch of a stick as found, `start` to `end` along it, and the section that is left of it.

    `shift` is how far the centroid lies from that of the whole section, towards +y.
    """

    start: float
    end: float
    section: Section
    shift: float
