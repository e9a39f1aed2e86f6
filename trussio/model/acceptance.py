"""The acceptance of a finding: who looked at it, when, and why it may stand.

It stands in the truss document, so that it travels with the truss and enters its digest. It holds for a finding of
its code whose places it names all; a finding that has grown since needs another look. A stop is never accepted.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trussio.model.truss import Notes


@dataclass(frozen=True, kw_only=True)
class Acceptance:
    """`code` and `where` (JSON Pointers) are those of the finding; `by` initials, `on` a date, `why` a reason."""

    code: str
    where: tuple[str, ...]
    by: str
    on: str
    why: str
    notes: Notes | None = None
