"""A truss in the state asked for, as the survey found it or as it was built, and its places in the document.

A truss as found has joints, parts of sticks and loads that its document does not have; whatever is said of them
points at what they come from.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import CannotAnalyseError, Fault
from trussio.late import loaded

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from trussio.model.finding import Finding, Findings
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, State, Truss

    UnderBreaks = Callable[
        [Truss, Sequence[Finding], Sequence[Finding], Sequence[Finding]], tuple[list[Finding], list[Finding]]
    ]
    Applied = tuple[Truss, tuple[Finding, ...], Mapping[str, str]]

AS_FOUND: Final = "trussio.analysis.as_found:as_found"
BY_FASTENERS: Final = "trussio.analysis.fastener_slip:by_fasteners"


class InState(NamedTuple):
    """A truss in one state, what there is to say of its condition, and the places in the document of its own.

    `places` gives for the JSON Pointer of what only this truss has, that of what it comes from.
    """

    truss: Truss
    findings: tuple[Finding, ...]
    places: Mapping[str, str]


def in_state(truss: Truss, state: State, *, idealisation: Idealisation) -> InState:
    """A truss as found or as built; as built, its condition is passed over.

    Ends that slip by their fasteners slip as those do.
    """
    if any(member.fastener_slip for member in truss.members.values()):
        fastened: Callable[[Truss], Truss] = loaded(BY_FASTENERS)
        truss = fastened(truss)
    if state == "built" or not truss.condition:
        return InState(truss, (), {})
    as_found: Callable[[Truss, Idealisation], Applied] = loaded(AS_FOUND)
    return InState(*as_found(truss, idealisation))


def as_ended(truss: Truss) -> Truss:
    """What is there after the last stage; the truss itself where it has no stages."""
    if not truss.stages:
        return truss
    final: Callable[[Truss], Truss] = loaded("trussio.model.history:final")
    return final(truss)


def every_run(truss: Truss) -> list[RunId]:
    """Every run of a truss: cases and combinations, those after stages, and those of least tendon force."""
    if not truss.tendons and not truss.stages:
        return list(truss.loads.runs)
    factors: Callable[[Truss], Mapping[RunId, Mapping[RunId, float]]]
    factors = loaded("trussio.model.history:run_factors")
    return list(factors(truss))


def with_condition(findings: Findings, made: InState, document: Truss) -> Findings:
    """Findings of a truss in one state as those of its document, with what there is to say of its condition."""
    if not made.places and not made.findings:
        return findings
    pointed = [
        replace(finding, where=tuple(dict.fromkeys(place_of(where, made) for where in finding.where)))
        for finding in findings.findings
    ]
    broken: Sequence[Finding] = made.findings
    if broken:
        under_breaks: UnderBreaks = loaded("trussio.audit.broken:under_breaks")
        broken, pointed = under_breaks(document, broken, findings.findings, pointed)
    after = next((at for at, finding in enumerate(pointed) if finding.level != "stop"), len(pointed))
    notes = next((at for at, finding in enumerate(pointed) if finding.level == "note"), len(pointed))
    queries = tuple(finding for finding in broken if finding.level == "query")
    others = tuple(finding for finding in broken if finding.level == "note")
    every = (*pointed[:after], *queries, *pointed[after:notes], *others, *pointed[notes:])
    return replace(findings, findings=every)


def of_document(error: CannotAnalyseError, made: InState) -> CannotAnalyseError:
    """An error of a truss in one state as one of its document."""
    faults = tuple(
        Fault(
            where=", ".join(place_of(where, made) for where in fault.where.split(", ")),
            what=fault.what,
            do=fault.do,
        )
        for fault in error.faults
    )
    return CannotAnalyseError(error.code, where=faults[0].where, what=error.what, do=error.do, faults=faults)


def place_of(where: str, made: InState) -> str:
    """The place in the document of a place of a truss in one state."""
    for mine, real in made.places.items():
        if where == mine or where.startswith(f"{mine}/"):
            return real + where[len(mine) :] if mine.startswith(("/members/", "/loads/")) else real
    return where
