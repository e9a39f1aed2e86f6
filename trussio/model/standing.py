"""Standings: how near each element of a truss is to its allowable, and why.

An *element* is a segment, a member, a joint, a connection or a run, by its id or JSON Pointer. Its *standing* is
that of the check that governs it; what was not evaluated stands beside it and is never a pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from trussio.model.check import Check

if TYPE_CHECKING:
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, State

StandingVerdict = Literal["not met", "not evaluated", "met in part", "met"]


class Cause(NamedTuple):
    """One sentence that explains a standing, and the rule that raised it, by slug."""

    rule: str
    says: str


class Limit(NamedTuple):
    """The load that brings an element to its limit: `factor` times `scaled` of its run, all else held.

    `factor` is None where there is none to find: over its limit without it, or within it far beyond. `says` tells
    it in words.
    """

    scaled: str
    factor: float | None
    says: str


class Low(NamedTuple):
    """The ratio of an element where size or grade that nobody confirmed is lower than taken, and in words."""

    ratio: float
    says: str


class Carried(NamedTuple):
    """The axial force of the largest size that an element must carry, base force, and its run.

    Tension positive at a segment; at a joint the largest end force of all that meet there, without its sign.
    """

    force: float
    run: RunId


@dataclass(frozen=True, kw_only=True, slots=True)
class Standing:
    """How one element stands.

    `governs` is the check furthest over its limit or nearest to it; where none was evaluated, the first that is
    open. `others` are its other kinds of check, each in its worst run. `needs` says what would have to change.
    `over_share` is the share of the variations in which it is over its limit, `grown` its design load over that of
    before; None where nobody asked, or it has none. `low` is where it stands with the low values of what nobody
    confirmed.
    """

    element: str
    governs: Check
    others: tuple[Check, ...] = ()
    carried: Carried | None = None
    limit: Limit | None = None
    needs: tuple[str, ...] = ()
    causes: tuple[Cause, ...] = ()
    over_share: float | None = None
    grown: float | None = None
    low: Low | None = None

    @property
    def open(self) -> tuple[Check, ...]:
        """What was not evaluated."""
        return tuple(check for check in (self.governs, *self.others) if check.verdict == "not evaluated")

    @property
    def verdict(self) -> StandingVerdict:
        """That of the governing check; `met in part` where something else is open."""
        if self.governs.verdict == "met" and self.open:
            return "met in part"
        return self.governs.verdict


class Failure(NamedTuple):
    """What the survey found broken or pulled apart, set against the truss as it was built.

    `condition` is its JSON Pointer, `seen` what was seen; `built` is how the segment, connection or joint that
    gave way stood before. `says` whether the model explains it, `look` what to look at on site where it does not.
    """

    condition: str
    seen: str
    built: Standing
    says: str
    look: tuple[str, ...]


class Variation(NamedTuple):
    """How far off the survey was taken to be: joints by `tolerance` (base length), stiffness by a part of it."""

    tolerance: float
    stiffness: float
    samples: int


@dataclass(frozen=True, kw_only=True)
class Checks:
    """The standings of a truss: over the limit first, then what was not evaluated at all, then the rest.

    `model` is the digest of the document; `rests_on` and `despite` are those of the results. `variation` says how
    the shares came about, `before` is the digest of the document that design loads are compared with. `failures`
    are what the survey found broken.
    """

    model: str
    idealisation: Idealisation
    state: State
    rests_on: tuple[str, ...]
    standings: tuple[Standing, ...]
    despite: tuple[str, ...] = ()
    variation: Variation | None = None
    before: str | None = None
    failures: tuple[Failure, ...] = ()
