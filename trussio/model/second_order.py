"""What compression adds to the forces, run by run; results of their own kind, beside those of first order.

Forces of first order are calculated on the truss as it was before any load, forces of second order on the truss as
it has deflected, in its plane. Checks that amplify moments for themselves take those of first order.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import SegmentForces
    from trussio.model.loading import RunId
    from trussio.model.truss import MemberId, SegmentId, State

SecondOrderVerdict = Literal["calculated", "exceeded", "not evaluated"]


class Amplified(NamedTuple):
    """A segment in compression: axial force and signed moment of largest size, of first and of second order.

    `amplification` is the one moment over the other, None where that of first order is next to nothing; what is of
    second order is None where the run is refused.
    """

    axial_first: float
    moment_first: float
    axial: float | None = None
    moment: float | None = None
    amplification: float | None = None


class Without(NamedTuple):
    """The forces of first order of a run without one member; `reason` says why there are none."""

    member: MemberId
    segments: Mapping[SegmentId, SegmentForces]
    reason: str | None = None


@dataclass(frozen=True, kw_only=True)
class SecondOrderRun:
    """One run. `factor` on all its loads is where the truss buckles in its plane, None beyond a hundred times.

    `exceeded` means that the run lies near or past buckling, in which the segments `buckles` take part, most
    first: no figure of second order is given then, `reason` says why, and `without` tells the forces when the
    first of them is out of the truss.
    """

    verdict: SecondOrderVerdict
    factor: float | None = None
    reason: str | None = None
    buckles: tuple[SegmentId, ...] = ()
    segments: Mapping[SegmentId, Amplified] = field(default_factory=dict)
    without: Without | None = None


@dataclass(frozen=True, kw_only=True)
class SecondOrder:
    """Second order of a truss in `continuous`. `model` is the digest of the document it belongs to."""

    model: str
    state: State
    rests_on: tuple[str, ...]
    runs: Mapping[RunId, SecondOrderRun]
    despite: tuple[str, ...] = ()
