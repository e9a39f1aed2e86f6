"""Consequences put under their cause: a missing web gives one finding, not five.

A finding is put under another when the table below says that its code can follow from the other's and they share a
place; a missing twin under a mechanism only when it is one of the cures, under crossings only when it is of the
member that they have in common. Nothing is lost: what it says is said
after the cause, and its figures stand in the cause's evidence.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.finding import Finding
    from trussio.model.truss import Json

FOLLOWS: Final[dict[str, tuple[str, ...]]] = {
    "parts": ("load-finds-no-bearing",),
    "duplicate": ("missing-twin", "twin-differs", "small-angle"),
    "overlap": ("joint-beside-stick", "missing-twin", "small-angle", "crossing"),
    "crossing": ("missing-twin",),
    "chord-gap": ("loose-end", "overhang", "missing-twin", "stands-by-bending", "near-mechanism", "bare-joint"),
    "joint-beside-stick": ("missing-twin",),
    "joints-close": ("loose-end", "joint-beside-stick", "missing-twin", "twin-moved"),
    "mechanism": (
        "parts",
        "chord-gap",
        "load-finds-no-bearing",
        "loose-end",
        "joint-beside-stick",
        "joints-close",
        "missing-twin",
        "bearing-without-twin",
        "hinges-in-line",
        "critical-form",
        "misplaced-members",
        "stands-by-bending",
        "near-mechanism",
        "bare-joint",
    ),
    "missing-twin": ("bare-joint", "stands-by-bending", "near-mechanism", "misplaced-members", "critical-form"),
    "twin-moved": ("small-angle", "near-mechanism", "kink"),
    "stands-by-bending": ("bare-joint", "misplaced-members", "critical-form"),
    "no-support": ("bearing-without-twin",),
}
"""Cause, and what can follow from it."""
SAID: Final[dict[str, tuple[str, ...]]] = {"chord-gap": ("loose-end", "overhang")}
"""Cause, and consequences that it has said already: they stand in its evidence and not in its words."""


def grouped(findings: Sequence[Finding]) -> list[Finding]:
    """The findings with consequences put under the first cause that they share a place with, order kept."""
    under: dict[int, list[Finding]] = {}
    gone: set[int] = set()
    for number, finding in enumerate(findings):
        cause = _cause(findings, number, gone)
        if cause is not None:
            gone.add(number)
            under.setdefault(cause, []).append(finding)
    return [
        with_follows(finding, under.get(number, []))
        for number, finding in enumerate(findings)
        if number not in gone
    ]


def _cause(findings: Sequence[Finding], number: int, gone: set[int]) -> int | None:
    finding = findings[number]
    for candidate, other in enumerate(findings):
        follows = finding.code in FOLLOWS.get(other.code, ())
        if candidate != number and candidate not in gone and follows and _belongs(finding, other):
            return candidate
    return None


def _belongs(finding: Finding, cause: Finding) -> bool:
    if cause.code == "mechanism" and finding.code in {"missing-twin", "chord-gap"}:
        return _is_cure(finding.evidence.get("absent"), cause.evidence.get("cures"))
    if cause.code == "crossing" and finding.code == "missing-twin":
        return _crosses_all(finding.evidence.get("member"), cause.evidence.get("pairs"))
    return not set(finding.where).isdisjoint(cause.where)


def _crosses_all(member: Json, pairs: Json) -> bool:
    """Whether one member is in every crossing, so that it is the odd one and not what its twin's place lacks."""
    told = [each["segments"] for each in pairs if isinstance(each, dict)] if isinstance(pairs, list) else []
    crossed = [[str(name).rpartition(":")[0] for name in each] for each in told if isinstance(each, list)]
    return bool(crossed) and all(str(member) in each for each in crossed)


def _is_cure(absent: Json, cures: Json) -> bool:
    """Whether the member that is absent is among those that would hold the mechanism."""
    if not isinstance(absent, list) or not isinstance(cures, list):
        return False
    offered = [cure["members"] for cure in cures if isinstance(cure, dict) and "members" in cure]
    return any(isinstance(each, list) and (absent in each or absent[::-1] in each) for each in offered)


def with_follows(cause: Finding, follow: Sequence[Finding]) -> Finding:
    """A cause with its consequences: their places, words and figures after its own."""
    if not follow:
        return cause
    told = [f.says for f in follow if f.says and f.code not in SAID.get(cause.code, ())]
    return replace(
        cause,
        where=tuple(dict.fromkeys((*cause.where, *(place for f in follow for place in f.where)))),
        says=" ".join((cause.says, *told)),
        evidence={
            **cause.evidence,
            "follows": [{"code": f.code, "where": [*f.where], "evidence": {**f.evidence}} for f in follow],
        },
    )
