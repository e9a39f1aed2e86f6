"""The check record: what a second method says of forces that somebody claims."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, SegmentId, State

Verdict = Literal["agrees", "disagrees", "cannot tell"]


@dataclass(frozen=True, kw_only=True)
class ForcesTable:
    """Axial forces that somebody claims, in base forces, tension positive.

    `runs` gives force by segment id for each run; a segment that the truss does not have is kept, so that it can
    be named. `rounding` is half of what the table's own rounding can hide, by run and segment. `idealisation`
    and `model` are None where the table does not say, `digest` where the claim is no file.
    """

    name: str
    digest: str | None
    runs: Mapping[RunId, Mapping[SegmentId, float]]
    rounding: Mapping[RunId, Mapping[SegmentId, float]]
    idealisation: Idealisation | None = None
    model: str | None = None
    state: State | None = None


@dataclass(frozen=True, kw_only=True)
class SegmentCheck:
    """One segment of one run. `claimed` is None where the table has no value for it.

    `proved` is the least and the greatest that the force can be, None where no bounds were proved.
    """

    claimed: float | None
    rechecked: float
    difference: float | None
    tolerance: float
    verdict: Verdict
    proved: tuple[float, float] | None = None


@dataclass(frozen=True, kw_only=True)
class RunCheck:
    """One run. `verdict` is None where it was `not compared`; `residual` is the largest imbalance at any joint.

    `residual` is that of the claimed forces, None where they cannot be placed at joints (a missing segment,
    or no claim), `residual_allowed` what the claim's own rounding explains there; `says` explains a verdict in a
    sentence. `slips` names what the disagreement looks like, by slug (`signs-flipped`, `units`, `swapped`, ...).
    `not_proved` says why no bounds were proved, None where they were or where nothing was compared.
    """

    verdict: Verdict | None
    says: str
    largest_difference: float | None
    largest_at: SegmentId | None
    residual: float | None
    residual_at: str | None
    segments: Mapping[SegmentId, SegmentCheck] = field(default_factory=dict)
    unknown: tuple[str, ...] = ()
    residual_allowed: float | None = None
    slips: tuple[str, ...] = ()
    not_proved: str | None = None


class Total(NamedTuple):
    """What a load case adds up to: force downwards, and the x of its resultant, None where there is no force."""

    down: float
    at: float | None


class LoadCheck(NamedTuple):
    """A generated load case tallied again: as its loads stand, and from site, surfaces and geometry.

    Either is None where it cannot be had.
    """

    stated: Total | None
    tallied: Total | None
    verdict: Verdict
    says: str


@dataclass(frozen=True, kw_only=True)
class CheckRecord:
    """The record that a second engineer signs. `originator` and `checker` stay empty until a person fills them in.

    `unknown_runs` are those of the table that the model does not have, `loads` what a second tally says of
    generated cases.
    """

    model: str
    idealisation: Idealisation
    state: State
    compared: str
    compared_digest: str | None
    verdict: Verdict
    says: str
    runs: Mapping[RunId, RunCheck]
    independent: tuple[str, ...]
    not_rechecked: tuple[str, ...]
    originator: str = ""
    checker: str = ""
    despite: tuple[str, ...] = ()
    unknown_runs: tuple[str, ...] = ()
    loads: Mapping[RunId, LoadCheck] = field(default_factory=dict)
