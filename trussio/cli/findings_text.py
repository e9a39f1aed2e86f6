"""Findings as text, most urgent first, with the count of both idealisations."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.finding import Finding, Findings, Statics
    from trussio.model.truss import Truss

WIDTH: Final = 100
NOTHING: Final = "No finding. That says what was looked for was not found, and nothing of the roof itself."


def findings_text(truss: Truss, findings: Findings) -> str:
    """Every finding, then the statics."""
    lines = [f"{truss.title} - audit of model {findings.model[7:19]}", ""]
    for finding in findings.findings:
        lines += [*_finding(finding), ""]
    if not findings.findings:
        lines += [NOTHING, ""]
    for idealisation, statics in findings.statics.items():
        lines.append(f"{idealisation}: {_statics(statics)}")
    return "\n".join(lines) + "\n"


def _finding(finding: Finding) -> Iterator[str]:
    yield f"{finding.level.upper()}  {finding.code}  {', '.join(finding.where)}"
    for text in (finding.says, finding.do):
        yield from wrap(text, WIDTH, initial_indent="    ", subsequent_indent="    ")


def _statics(statics: Statics) -> str:
    moving = f", moving {', '.join(statics.moving)}" if statics.moving else ""
    return (
        f"{statics.joints} joints, {statics.segments} segments, {statics.holds} holds; "
        f"degree of indeterminacy by count {statics.count}, mechanisms {statics.mechanisms}{moving}, "
        f"states of self-stress {statics.self_stress}"
    )
