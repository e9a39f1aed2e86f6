"""Findings of an audit, in three levels of the trade: stop, query, note.

`stop`: no force may be believed. `query`: ask or confirm. `note`: worth knowing.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import Idealisation, JointId, Json

Level = Literal["stop", "query", "note"]
LEVELS: tuple[Level, ...] = ("stop", "query", "note")


class Signed(NamedTuple):
    """That a person lets a finding stand: the entry of the document (JSON Pointer), initials, date, reason."""

    entry: str
    by: str
    on: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One finding: a code, the places (JSON Pointers), what is so, what to do, and the figures behind it.

    `accepted` says who lets it stand, None where nobody does; a stop is never accepted.
    """

    code: str
    level: Level
    where: tuple[str, ...]
    says: str
    do: str
    evidence: Mapping[str, Json] = field(default_factory=dict)
    accepted: Signed | None = None


@dataclass(frozen=True, kw_only=True)
class Statics:
    """The count and the rank of one idealisation.

    `count` = force unknowns + holds - equations. `mechanisms` are independent motions without strain,
    `self_stress` independent states of force without load; `moving` lists the joints that can translate.
    """

    joints: int
    segments: int
    holds: int
    count: int
    rank: int
    mechanisms: int
    self_stress: int
    moving: tuple[JointId, ...]


@dataclass(frozen=True, kw_only=True)
class Findings:
    """What an audit found, most urgent first. `model` is the digest of the document."""

    model: str
    findings: tuple[Finding, ...]
    statics: Mapping[Idealisation, Statics]
