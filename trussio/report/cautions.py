"""Cautions that a model calls for, in our own words; none of them is ever left out where it applies.

Sources of the facts: US Navy inspection and builder manuals on timber trusses (support at panel points, neighbours
of a failed truss), published articles on bowstring trusses (webs under unbalanced snow, strengthening one part),
FEMA guidance on snow removal as summarised publicly; the rest is common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.report.extremes import acting_runs, common_scale, reversals

if TYPE_CHECKING:
    from trussio.model.assessment import Assessment
    from trussio.model.truss import Truss

MODEL = (
    "What was calculated is this model. The roof is another matter: it agrees with the model only in what was "
    "surveyed and entered, and whatever was not seen is assumed."
)
CUTTING = (
    "Before any stick or fastener is cut, notched, loosened or taken out, the truss must stand on shores "
    "designed by an engineer, under panel points of the bottom chord and never between them, with the load "
    "followed down to ground that can bear it."
)
SHORING = (
    "A shore turns forces round: a bottom chord in tension, a rod or a thin web may be pushed once the truss "
    "is lifted. Calculate the shored state by itself; lift in small steps, watch, and stop at any cracking."
)
ONE_PART = (
    "Strengthening one part moves the weakness to the next. Look again at chords, webs and joints together, "
    "and with snow on one side."
)
BOWSTRING = (
    "Under a curved chord the webs do little while the load is even and most when snow lies on one side: "
    "judge them by the uneven loads."
)
REVERSAL = (
    "Some segments are pulled in one run and pushed in another: their fastenings must do both, and a rod or a "
    "thin strip can do only one."
)
HEELS = (
    "The forces of the chords go through few fasteners at heels and splices. Decay or a split there lets "
    "the whole truss go; look there first."
)
NO_CONNECTION = "No connection is evaluated here."
TENDON = (
    "A stressed tendon stores energy. Nobody stands in line with it or its anchors while it is stressed, "
    "slackened or cut, and no tie is unscrewed to see what it does."
)
SNOW = (
    "Snow comes off in an order: deep drifts first, then the middle, working along the trusses, without "
    "piling it up, from the ground where that can be done. Clearing one side alone can be worse than leaving "
    "it."
)
LEAVE = (
    "New sag, cracking sounds, doors that begin to stick, a split chord or water lying on the roof: leave, "
    "keep others out, and call a qualified engineer and the local authority."
)
NEIGHBOURS = (
    "A truss beside one that gave way may be carrying its share as well, however sound it looks. Survey the "
    "neighbours."
)
OLD_VALUES = (
    "Grades, tension values, fastener values and snow rules have changed since old roofs were built. Each "
    "value needs the edition it comes from."
)
WOOD = "Values for dry wood do not hold for wood that is wet, burnt, treated or attacked by chemicals."
PROBING = "Paint, dust and insulation of old roofs may hold lead or asbestos: take care before probing to confirm."


def cautions(assessment: Assessment) -> tuple[str, ...]:
    """The cautions that this model calls for."""
    truss = assessment.truss
    kinds = {case.kind for case in truss.loads.cases.values()}
    roles = {member.role for member in truss.members.values()}
    curved = any(m.curve is not None and m.role == "top-chord" for m in truss.members.values())
    parted = any(
        finding.code == "parts" for finding in (assessment.findings.findings if assessment.findings else ())
    )
    calls = (
        (MODEL, True),
        (LEAVE, True),
        (CUTTING, True),
        (SHORING, assessment.results is not None),
        (HEELS if _joined(assessment) else f"{HEELS} {NO_CONNECTION}", {"top-chord", "bottom-chord"} <= roles),
        (BOWSTRING, curved),
        (REVERSAL, _reverses(assessment)),
        (ONE_PART, assessment.results is not None),
        (TENDON, "post-tension" in kinds),
        (SNOW, "snow" in kinds),
        (NEIGHBOURS, parted),
        (OLD_VALUES, _old(truss)),
        (WOOD, any(m.kind in {"sawn", "glulam"} for m in truss.materials.values())),
        (PROBING, any(not a.confirmed for a in truss.assumptions.values()) or bool(assessment.questions)),
    )
    return tuple(words for words, called in calls if called)


def _joined(assessment: Assessment) -> bool:
    """Whether any connection was set against its capacity."""
    standings = assessment.checks.standings if assessment.checks is not None else ()
    return any(one.element.startswith("/connections/") and one.governs.ratio is not None for one in standings)


def _reverses(assessment: Assessment) -> bool:
    truss, results = assessment.truss, assessment.results
    if results is None:
        return False
    return bool(reversals(truss, results, acting_runs(truss, results), common_scale(truss, results)))


def _old(truss: Truss) -> bool:
    """Whether a size or a material speaks of old wood, or brings reference values along."""
    old = any(section.sizing in {"before-1970", "full-sawn"} for section in truss.sections.values())
    return old or any(material.reference or material.grade for material in truss.materials.values())
