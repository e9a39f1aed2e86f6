"""Loads generated from a site that are no longer what was generated, or rest on what has changed since."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.wording import listed, pointer
from trussio.model.finding import Finding
from trussio.model.generated import edited, outdated

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject


def generated_loads(subject: Subject) -> Iterator[Finding]:
    """Generated cases and combinations that somebody edited, and those whose inputs changed."""
    truss = subject.document
    basis = truss.loads.basis
    if basis is None:
        return
    changed = edited(truss.loads)
    if changed:
        yield Finding(
            code="edited-loads",
            level="query",
            where=tuple(pointer("loads", "cases" if r in basis.cases else "combinations", r) for r in changed),
            says=f"{listed(changed)} {'was' if len(changed) == 1 else 'were'} edited, or taken out, after being "
            f"generated for {basis.edition}: clause and numbers under `loads.basis` no longer stand behind it.",
            do="See who changed it and why; write the reason in its notes, or generate the loads anew.",
            evidence={"runs": [*changed]},
        )
    if outdated(truss):
        yield Finding(
            code="outdated-loads",
            level="query",
            where=("/loads/basis",),
            says="Site, surfaces or geometry have changed since the loads were generated from them.",
            do="Generate the loads anew.",
            evidence={"inputs": basis.inputs},
        )
