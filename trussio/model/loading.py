"""Loads, load cases and combinations, as the document writes them.

Signs: `fx` right, `fy` up, moments counter-clockwise; `down` is positive downwards, `right` to the right,
`across` towards the stick's local +y. Line loads are in the document's line-load unit (plf or kN/m), all
else in base units. Every case and every combination is a *run*, and their ids share one namespace.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal, NewType, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.site import LoadBasis
    from trussio.model.tendon import TendonLoad
    from trussio.model.truss import Direction, JointId, MemberId, Notes, Role

RunId = NewType("RunId", str)
LEAST: Final = " (least)"
"""What the name of a run ends with that holds the tendons with their least force (see `tendon`)."""
CaseKind = Literal["dead", "snow", "roof-live", "live", "wind", "post-tension", "imposed", "other"]


@dataclass(frozen=True, kw_only=True)
class Target:
    """The stick a load acts on, or the role of all the sticks it acts on; exactly one is given."""

    member: MemberId | None = None
    role: Role | None = None


@dataclass(frozen=True, kw_only=True)
class JointLoad:
    """Forces and a moment at a joint."""

    joint: JointId
    fx: float = 0.0
    fy: float = 0.0
    moment: float = 0.0
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class LineLoad:
    """A uniform or linearly varying load along a stick or part of it.

    `value` is one intensity, or a pair: at `start` and at `end`. `start` and `end` are joint ids or distances
    along the stick from its first joint (arc length); None means the stick's own end. `per` `plan` counts
    the horizontal projection, `slope` (the meaning of None) the length along the stick.
    """

    on: Target
    direction: Literal["down", "right", "across"]
    value: float | tuple[float, float]
    start: JointId | float | None = None
    end: JointId | float | None = None
    per: Literal["slope", "plan"] | None = None
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class PointLoad:
    """A force on a stick at a joint or at a distance along it from its first joint."""

    on: Target
    at: JointId | float
    fx: float = 0.0
    fy: float = 0.0
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class SelfWeight:
    """The weight of the sticks named, or of `all`."""

    of: Literal["all"] | tuple[MemberId, ...]
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class SupportMovement:
    """A held direction of a support is moved by so much; the movement of a spring is that of its ground."""

    support: JointId
    moves: Mapping[Direction, float]
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Longer:
    """The whole stick is longer than drawn by `by` (shorter where negative), shared by length."""

    on: Target
    by: float
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Warmer:
    """The whole stick is warmer by `by` degrees of the document's scale."""

    on: Target
    by: float
    notes: Notes | None = None


Load: TypeAlias = "JointLoad | LineLoad | PointLoad | SelfWeight | SupportMovement | Longer | Warmer | TendonLoad"


@dataclass(frozen=True, kw_only=True)
class LoadCase:
    """Loads that come and go together. `kind` is None where nobody said."""

    loads: tuple[Load, ...] = ()
    kind: CaseKind | None = None
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Loads:
    """Cases by id, and combinations as factors by case id; `basis` tells what generated them, if anything."""

    cases: Mapping[RunId, LoadCase] = field(default_factory=dict)
    combinations: Mapping[RunId, Mapping[RunId, float]] = field(default_factory=dict)
    basis: LoadBasis | None = None
    notes: Notes | None = None

    @property
    def runs(self) -> dict[RunId, Mapping[RunId, float]]:
        """Every run, cases first, as factors by case id; a case is itself with the factor 1."""
        return {case: {case: 1.0} for case in self.cases} | dict(self.combinations)
