"""Bands: how far each force may lie from the one calculated, since no survey is exact.

A band is of one figure in one run over many variations of the truss: a twentieth of them lie outside it, half of
those on either side, and half of all lie below its likely value.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, JointId, SegmentId, State


class Band(NamedTuple):
    """What a figure lies between, base units."""

    low: float
    likely: float
    high: float


class SegmentBands(NamedTuple):
    """One segment in one run: axial force, tension positive, and the size of its largest moment.

    `tension` and `compression` are the shares of the variations in which it carries either; where both are more
    than nothing, its sign is not certain.
    """

    axial: Band
    moment_size: Band
    tension: float
    compression: float

    @property
    def certain(self) -> bool:
        """Whether every variation gives the axial force one sign."""
        return not (self.tension and self.compression)


class ReactionBands(NamedTuple):
    """What one bearing does to the truss in one run: in x, in y and turning, signs as in `Reaction`.

    `down` is the share of the variations in which it must hold the truss down.
    """

    x: Band
    y: Band
    turn: Band
    down: float


@dataclass(frozen=True, kw_only=True)
class Bands:
    """The bands of a truss. `model` is the digest of the document they belong to.

    Joints lie up to `tolerance` (base length) left or right and up or down of where they were surveyed, sticks are
    stiffer or softer by up to the part `stiffness`, all alike likely, in `samples` variations. `not_evaluated`
    tells why a run has no forces: nothing balances it.
    """

    model: str
    idealisation: Idealisation
    state: State
    rests_on: tuple[str, ...]
    tolerance: float
    stiffness: float
    samples: int
    runs: Mapping[RunId, Mapping[SegmentId, SegmentBands]]
    reactions: Mapping[RunId, Mapping[JointId, ReactionBands]] = field(default_factory=dict)
    despite: tuple[str, ...] = ()
    not_evaluated: Mapping[RunId, str] = field(default_factory=dict)

    @property
    def uncertain(self) -> dict[SegmentId, list[RunId]]:
        """The segments whose sign is not certain, with the runs in which it is not."""
        found: dict[SegmentId, list[RunId]] = {}
        for run, segments in self.runs.items():
            for name, bands in segments.items():
                if not bands.certain:
                    found.setdefault(name, []).append(run)
        return found
