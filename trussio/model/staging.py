"""Stages: the order of work, by what changes structure and loads.

Each action works on the truss as those before it left it. What comes in is fitted to the shape of that moment and
starts free of stress; what goes out hands its force to the rest; loads add what they add on the structure that is
there. So forces are locked in, and the end depends on the way there.
A case that is on puts its loads on whatever is there: a stick that comes in brings what the cases say of it, its
weight among them, and takes it along when it goes.
Units: base units. A shore pushes; signs x right, y up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import Direction, JointId, MemberId, Notes

NOW: Final = "now"
"""The run of a stage that holds what is on at that moment."""


class PutOn(NamedTuple):
    """Cases come on."""

    cases: tuple[RunId, ...]
    notes: Notes | None = None


class TakeOff(NamedTuple):
    """Cases that are on go off again."""

    cases: tuple[RunId, ...]
    notes: Notes | None = None


class Shore(NamedTuple):
    """Shores are set under joints, touching and without force; they hold what `holds` and `springs` say.

    A shore stands under its joint and cannot pull it down unless it works `both_ways`.
    """

    joints: tuple[JointId, ...]
    holds: tuple[Direction | tuple[float, float], ...] = ("y",)
    springs: Mapping[Direction, float] | None = None
    both_ways: bool = False
    notes: Notes | None = None


class Jack(NamedTuple):
    """Shores are jacked up together, each until it carries `force`, or each `by` a length (negative: lowered)."""

    joints: tuple[JointId, ...]
    force: float | None = None
    by: float | None = None
    notes: Notes | None = None


class Release(NamedTuple):
    """Shores are taken away."""

    joints: tuple[JointId, ...]
    notes: Notes | None = None


class Remove(NamedTuple):
    """Sticks are taken out."""

    members: tuple[MemberId, ...]
    notes: Notes | None = None


class Add(NamedTuple):
    """Sticks come in, each alone or `beside` a stick through the same joints.

    Beside another, a stick is tied to it at every joint that it runs through. `glued`: it moves and turns with it.
    Otherwise it slips along it: `slip` is the stiffness of the fasteners at each joint (force per length), `along`
    that of fasteners all along (force per length and length), lumped at the joints. Where neither is known the
    joints hold it without slip.
    """

    members: tuple[MemberId, ...]
    beside: MemberId | None = None
    glued: bool = False
    slip: float | None = None
    along: float | None = None
    notes: Notes | None = None


class Replace(NamedTuple):
    """A stick is taken out, then another put in its place."""

    member: MemberId
    by: MemberId
    notes: Notes | None = None


class Tension(NamedTuple):
    """Tendons are jacked together to the share `to` of the force that their case states; 0 lets them off."""

    tendons: tuple[str, ...]
    to: float = 1.0
    notes: Notes | None = None


Action: TypeAlias = PutOn | TakeOff | Shore | Jack | Release | Remove | Add | Replace | Tension


class Stage(NamedTuple):
    """One stage. `runs` are combinations or cases that are wanted after it, beside what is on at that moment."""

    id: str
    actions: tuple[Action, ...]
    runs: tuple[RunId, ...] | None = None
    notes: Notes | None = None
