"""Results: what each run does to each segment, joint and support.

Signs: tension positive; an internal moment is positive with the local -y face in tension; shear = dM/dx.
Reactions act on the truss, in global x and y, turning counter-clockwise. Base units throughout.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, JointId, SegmentId, State, Truss

Pair = tuple[float, float]
Order = Literal["first"]


class SegmentForces(NamedTuple):
    """Forces of one segment in one run.

    `axial` is the component along the joint-to-joint line, averaged over that line. The pairs are at the first
    and last joint, `axial_ends` and `shear` along and across the member's own axis there. `moment_peak` is the
    signed moment of largest size anywhere on the segment, `moment_peak_at` its arc length from the first joint.
    """

    axial: float
    axial_ends: Pair
    shear: Pair
    moment: Pair
    moment_peak: float
    moment_peak_at: float


class JointMovement(NamedTuple):
    """How a joint moves; `turn` is None where nothing shares the joint's rotation."""

    dx: float
    dy: float
    turn: float | None = None


class Reaction(NamedTuple):
    """What a support does to the truss."""

    x: float
    y: float
    turn: float


@dataclass(frozen=True, kw_only=True)
class RunForces:
    """Everything that one run gives; `tendons` is the force of each leg of every tendon that is stressed."""

    segments: Mapping[SegmentId, SegmentForces]
    joints: Mapping[JointId, JointMovement]
    reactions: Mapping[JointId, Reaction]
    slack: Mapping[SegmentId, float] = field(default_factory=dict)
    """Segments that carry one way and now nothing, with how far they are from carrying."""
    slip: Mapping[SegmentId, float] = field(default_factory=dict)
    """What slip of connections adds to the axial force of each segment; empty where none slips."""
    tendons: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    loose: Mapping[str, float] = field(default_factory=dict)
    """Tendons that the run leaves slack, with how far their paths are from where they would pull."""
    stage: str | None = None
    """The stage after which this is; None for a run of the final structure loaded at once."""


@dataclass(frozen=True, kw_only=True)
class Results:
    """Results of a truss. `model` is the digest of the document they belong to.

    `rests_on` points at the unconfirmed assumptions; `despite` lists the codes of the stops that were
    overridden, empty where there were none. `not_evaluated` tells why a run has no forces: nothing balances it.
    """

    model: str
    idealisation: Idealisation
    state: State
    rests_on: tuple[str, ...]
    runs: Mapping[RunId, RunForces]
    despite: tuple[str, ...] = ()
    order: Order = "first"
    """On the truss as it was before any load: what checks that amplify moments for themselves must be fed."""
    not_evaluated: Mapping[RunId, str] = field(default_factory=dict)


def of_structure(truss: Truss, forces: RunForces) -> bool:
    """Whether a run is of this structure, by its segments and bearings; after a stage it may not be."""
    return forces.segments.keys() == {segment.id for segment in truss.segments} and set(forces.reactions) <= set(
        truss.supports
    )
