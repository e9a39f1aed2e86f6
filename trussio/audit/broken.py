"""What follows from a break that the survey found is said under the break: one cause, one finding.

A truss as found lacks twins, ends in the air and stands by bending where a stick is broken. Of what an audit finds
only as found, each finding goes under the entry of the condition whose stick it names or whose place is bare.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.audit.grouping import with_follows
from trussio.audit.wording import pointer

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.finding import Finding
    from trussio.model.truss import Truss

    Pointed = Mapping[int, Finding]

CAUSES: Final = frozenset({"severed", "missing", "released"})
ECHOES: Final = frozenset({"joint-beside-stick", "joints-close", "loose-end", "overhang", "short-segment"})
"""Codes that say no more than that the stick is broken there; they are kept as evidence and not said again."""
FOLLOW: Final = ECHOES | {
    "bare-joint",
    "bridge",
    "chord-gap",
    "hinges-in-line",
    "misplaced-members",
    "missing-twin",
    "near-mechanism",
    "neck",
    "parts",
    "stands-by-bending",
    "twin-moved",
}
"""Codes that a break can raise; a mechanism stays a stop of its own."""


def under_breaks(
    truss: Truss, broken: Sequence[Finding], found: Sequence[Finding], pointed: Sequence[Finding]
) -> tuple[list[Finding], list[Finding]]:
    """The breaks with what follows from them, and what is left of the findings.

    `truss` is that of the document, `found` are the findings of the truss as found, `pointed` the same with the
    places of the document.
    """
    fresh = _fresh(found)
    under: dict[int, list[Finding]] = {}
    rest: list[Finding] = []
    for before, after in zip(found, pointed, strict=True):
        new = before.code in FOLLOW and (before.code, frozenset(before.where)) in fresh
        cause = _cause(truss, broken, after) if new else None
        if cause is None:
            rest.append(after)
        else:
            echo = after.code in ECHOES or "joint" in after.evidence
            under.setdefault(cause, []).append(replace(after, says="") if echo else after)
    return [with_follows(one, under.get(number, [])) for number, one in enumerate(broken)], rest


def _fresh(found: Sequence[Finding]) -> set[tuple[str, frozenset[str]]]:
    """Code and places of what stands only as found, as the finding on the difference lists it."""
    listed = [each for finding in found if finding.code == "as-found" for each in _objects(finding)]
    return {(str(code), frozenset(map(str, where))) for code, where in listed}


def _objects(finding: Finding) -> list[tuple[str, list[str]]]:
    new = finding.evidence["new"]
    each = [one for one in new if isinstance(one, dict)] if isinstance(new, list) else []
    return [
        (str(one["code"]), [str(place) for place in where])
        for one in each
        if isinstance(where := one["where"], list)
    ]


def _cause(truss: Truss, broken: Sequence[Finding], finding: Finding) -> int | None:
    """The break that explains a finding: whose stick has the bare place, else whose stick it names."""
    absent = finding.evidence.get("absent")
    named = set(finding.where)
    for number, one in enumerate(broken):
        if one.code in CAUSES and isinstance(absent, list) and set(map(str, absent)) <= _joints(truss, one):
            return number
    for number, one in enumerate(broken):
        if one.code in CAUSES and not named.isdisjoint(_members(truss, one)):
            return number
    return None


def _members(truss: Truss, one: Finding) -> set[str]:
    return {where for where in one.where if where in {pointer("members", name) for name in truss.members}}


def _joints(truss: Truss, one: Finding) -> set[str]:
    places = _members(truss, one)
    return {str(j) for name, m in truss.members.items() if pointer("members", name) in places for j in m.through}
