"""Where a model came from, what was changed on the way, what was assumed, and what must be asked.

Distances are in base lengths of the truss; places are x, y in its plane.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import JointId, MemberId, Notes


@dataclass(frozen=True, kw_only=True)
class Assumption:
    """Something taken as true that nobody has confirmed.

    `what` is a sentence; `rests_on` says on what it rests; `touches` lists JSON Pointers of what it decides;
    `confirmed` is empty until a person writes initials and date.
    """

    what: str
    rests_on: str
    touches: tuple[str, ...] = ()
    confirmed: str | None = None
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Change:
    """One step by which reading altered the linework.

    `kind` is a slug (`end-joined`, `line-split`); `where` a place; `distance` how far something moved, None
    where nothing did; `handles` the DXF entities touched.
    """

    kind: str
    says: str
    where: tuple[float, float] | None = None
    distance: float | None = None
    handles: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Question:
    """Something that only the surveyor can settle.

    `taken` is the answer on which the best reading rests; `settle` says how to answer (an option of the
    command line, or a line of the answers file).
    """

    code: str
    asks: str
    taken: str
    settle: str
    where: tuple[float, float] | None = None
    handles: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Source:
    """The drawing that a truss was read from.

    `digest` is the SHA-256 of the file, `linework` that of the linework alone; `scale` says which drawing unit
    was taken and why; `joints` and `members` give the DXF handles behind each.
    """

    drawing: str
    digest: str
    scale: str
    linework: str | None = None
    joints: Mapping[JointId, tuple[str, ...]] = field(default_factory=dict)
    members: Mapping[MemberId, tuple[str, ...]] = field(default_factory=dict)
    changes: tuple[Change, ...] = ()
    notes: Notes | None = None
