"""A truss as found beside the same truss as built: what the survey's breaks change, in one finding.

The count and the mechanisms of both idealisations are compared, and which findings stand in one state alone.
Findings are the same where code and places are.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.audit.rules import urgency
from trussio.audit.wording import counted, listed
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.finding import Findings
    from trussio.model.truss import Idealisation

TALKING_OF_ALL = frozenset({"count", "not-evaluated", "sums-agree"})
"""Codes that stand in every audit and say nothing of a difference."""


def with_difference(found: Findings, built: Findings) -> Findings:
    """The findings of a truss as found, with one that says what differs from the truss as built."""
    every = sorted((_difference(found, built), *found.findings), key=urgency)
    return replace(found, findings=tuple(every))


def _difference(found: Findings, built: Findings) -> Finding:
    new, gone = _only(found, built), _only(built, found)
    told = [text for name in found.statics if (text := _statics(name, found, built))]
    told += [f"found only as found: {_listed(new)}"] if new else []
    told += [f"found only as built: {_listed(gone)}"] if gone else []
    urgent = any(finding.level != "note" for finding in new) or any(
        found.statics[name].mechanisms > built.statics[name].mechanisms for name in found.statics
    )
    says = "; ".join(told) if told else "nothing that an audit looks at changes"
    return Finding(
        code="as-found",
        level="query" if urgent else "note",
        where=("/condition",),
        says=f"As found against as built: {says}.",
        do="See each break confirmed in the roof; what stands only as found is what the damage did."
        if told
        else "Look at the forces; lost section changes those alone.",
        evidence={
            "new": [{"code": finding.code, "where": [*finding.where]} for finding in new],
            "gone": [{"code": finding.code, "where": [*finding.where]} for finding in gone],
        },
    )


def _statics(name: Idealisation, found: Findings, built: Findings) -> str:
    """How mechanisms and the degree of indeterminacy change in one idealisation; empty where they do not."""
    now, before = found.statics[name], built.statics[name]
    if now.mechanisms != before.mechanisms:
        moving = f" at {listed(now.moving)}" if now.moving else ""
        return f"as {name} {counted(now.mechanisms, 'mechanism')}{moving} instead of {before.mechanisms}"
    if now.self_stress != before.self_stress:
        return f"as {name} the degree of indeterminacy is {now.self_stress} instead of {before.self_stress}"
    return ""


def _only(one: Findings, other: Findings) -> list[Finding]:
    known = {(finding.code, frozenset(finding.where)) for finding in other.findings}
    return [
        finding
        for finding in one.findings
        if finding.code not in TALKING_OF_ALL and (finding.code, frozenset(finding.where)) not in known
    ]


def _listed(findings: Sequence[Finding]) -> str:
    """Codes with the last part of their first places."""
    return listed(
        f"{finding.code} ({listed(place.rpartition('/')[2] for place in finding.where[:3])})"
        for finding in findings
    )
