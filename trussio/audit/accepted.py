"""Findings that a person lets stand: marked with initials, date and reason, and never hidden.

An acceptance holds for a finding of its code all of whose places it names. A stop is never accepted; what tries
to, and what accepts a finding that is not there or names more places by now, is itself a finding.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.audit.wording import listed, pointer
from trussio.model.finding import Finding, Signed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.acceptance import Acceptance
    from trussio.model.truss import Truss


def with_acceptances(truss: Truss, findings: Sequence[Finding]) -> list[Finding]:
    """The findings, those accepted marked so, and what is wrong with acceptances."""
    if not truss.accepted:
        return list(findings)
    marked = [_marked(truss, finding) for finding in findings]
    used = {finding.accepted.entry for finding in marked if finding.accepted is not None}
    idle = [(name, entry) for name, entry in truss.accepted.items() if pointer("accepted", name) not in used]
    return [*marked, *(odd for name, entry in idle for odd in _idle(name, entry, findings))]


def _marked(truss: Truss, finding: Finding) -> Finding:
    if finding.level == "stop":
        return finding
    for name, entry in truss.accepted.items():
        if entry.code == finding.code and set(finding.where) <= set(entry.where):
            signed = Signed(entry=pointer("accepted", name), by=entry.by, on=entry.on, why=entry.why)
            return replace(finding, accepted=signed)
    return finding


def _idle(name: str, entry: Acceptance, findings: Sequence[Finding]) -> Iterator[Finding]:
    """Why an acceptance holds for nothing."""
    place = pointer("accepted", name)
    alike = [finding for finding in findings if finding.code == entry.code]
    met = [finding for finding in alike if not set(finding.where).isdisjoint(entry.where)]
    if any(finding.level == "stop" for finding in alike):
        yield Finding(
            code="stop-accepted",
            level="query",
            where=(place,),
            says=f"{name} accepts {entry.code}, which is a stop: nobody can accept a stop away.",
            do="Settle the stop, and take the acceptance out.",
            evidence={"accepted": name, "code": entry.code},
        )
    elif met:
        more = [where for finding in met for where in finding.where if where not in entry.where]
        yield Finding(
            code="acceptance-outgrown",
            level="query",
            where=(place, *more),
            says=f"{name} accepts {entry.code}, but the finding names more by now: {listed(more)}.",
            do="Look at the new places; name them in the acceptance, with a new date, if they may stand too.",
            evidence={"accepted": name, "code": entry.code, "more": [*more]},
        )
    else:
        yield Finding(
            code="acceptance-idle",
            level="note",
            where=(place,),
            says=f"{name} accepts {entry.code}, and no such finding stands there.",
            do="Take the acceptance out, or correct its code and places.",
            evidence={"accepted": name, "code": entry.code},
        )
