"""The audit: every rule in one table, findings most urgent first.

Order: stops, queries, notes; within a level as the table stands, within a rule in document order, what a person
accepted last. A rule that could not be evaluated gives a finding that says so, never silence. Auditing changes
nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.accepted import with_acceptances
from trussio.audit.bare_joints import bare_joints
from trussio.audit.bearings import assumptions, bearings, size
from trussio.audit.chord_gaps import chord_gaps
from trussio.audit.crossings import crossings
from trussio.audit.directions import kinks, small_angles
from trussio.audit.eccentricity import eccentricities, heels
from trussio.audit.generated_loads import generated_loads
from trussio.audit.grading import grading
from trussio.audit.grouping import grouped
from trussio.audit.hanging import lone_joints, loose_ends, necks, parts
from trussio.audit.instability import instability
from trussio.audit.load_path import load_path
from trussio.audit.loading import loading
from trussio.audit.meetings import meetings
from trussio.audit.nearness import near_mechanisms
from trussio.audit.one_way import one_way, slip_unknown, snow_upwards
from trussio.audit.properties import missing_properties
from trussio.audit.redundancy import count
from trussio.audit.regions import regions
from trussio.audit.sections import materials, sections, slenderness
from trussio.audit.splices import butts, splices
from trussio.audit.standing import standing
from trussio.audit.stick_records import bracing, surroundings
from trussio.audit.subject import Subject, subject_of
from trussio.audit.symmetry import symmetry
from trussio.audit.tendons import tendon_stops, tendons
from trussio.audit.unevaluable import unevaluable
from trussio.errors import CannotAnalyseError
from trussio.late import loaded
from trussio.model.finding import LEVELS, Finding, Findings

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, Truss

Rule = Callable[[Subject], Iterable[Finding]]


def _stability(subject: Subject) -> Iterable[Finding]:
    view = subject.view
    if subject.truss.members and not view.statics.mechanisms:
        return ()
    return instability(subject.truss, view.compat, view.rank, idealisation=subject.asked)


def _properties(subject: Subject) -> Iterable[Finding]:
    return missing_properties(subject.truss, subject.view.idealised)


def _unevaluable(subject: Subject) -> Iterable[Finding]:
    return unevaluable(subject.truss, subject.view.idealised)


def _slip_unknown(subject: Subject) -> Iterable[Finding]:
    return slip_unknown(subject.truss)


def _snow_upwards(subject: Subject) -> Iterable[Finding]:
    return snow_upwards(subject.truss)


def _tendon_stops(subject: Subject) -> Iterable[Finding]:
    return tendon_stops(subject.truss)


RULES: Final[tuple[tuple[str, Rule], ...]] = (
    ("mechanisms and bearings", _stability),
    ("sections and materials that are missing", _properties),
    ("loads that cannot be evaluated", _unevaluable),
    ("slip of fasteners that is not known", _slip_unknown),
    ("snow that acts upwards", _snow_upwards),
    ("tendons left out, or of unknown stiffness", _tendon_stops),
    ("parts", parts),
    ("the way of loads to bearings", load_path),
    ("members that lie on each other", meetings),
    ("members that cross without a joint", crossings),
    ("chords that break off", chord_gaps),
    ("loose ends", loose_ends),
    ("symmetry", symmetry),
    ("what stands only by bending", standing),
    ("joints at which nothing meets", bare_joints),
    ("near mechanisms", near_mechanisms),
    ("the count of regions", regions),
    ("size", size),
    ("tendons", tendons),
    ("members that may carry one way", one_way),
    ("sections", sections),
    ("materials", materials),
    ("species and size class", grading),
    ("loads", loading),
    ("loads that were generated", generated_loads),
    ("bearings against heels", heels),
    ("eccentric joints", eccentricities),
    ("joints without members", lone_joints),
    ("small angles", small_angles),
    ("assumptions", assumptions),
    ("bearings", bearings),
    ("kinks", kinks),
    ("butts", butts),
    ("splices", splices),
    ("bracing", bracing),
    ("knee braces and columns", surroundings),
    ("slenderness", slenderness),
    ("members on which all hangs", necks),
    ("the count", count),
)
"""What each rule looks at, and the rule, most urgent first."""


MOST_JOINTS: Final = 1000
"""The time of an audit grows with the cube of the joints: 3 s at 500, minutes of it beyond this many."""


def audit(
    truss: Truss,
    *,
    idealisation: Idealisation = "continuous",
    digest: str,
    worked_on: Truss | None = None,
    document: Truss | None = None,
    besides: Sequence[Finding] = (),
) -> Findings:
    """Everything found in a truss, and its statics in both idealisations. `digest` is that of its document.

    `worked_on` is a truss with stages, whose final structure the truss is: what is found in the stages comes with
    it. `document` is the truss of the document where `truss` is that of another state of it. `besides` are
    findings that need forces, which no rule here has: the first of their level, notes the last.
    Raises CannotAnalyseError `too-many-joints` for what is no truss and would take very long.
    """
    if len(truss.joints) > MOST_JOINTS:
        raise CannotAnalyseError(
            "too-many-joints",
            where="/joints",
            what=f"{len(truss.joints):,} joints are more than the {MOST_JOINTS:,} up to which an audit is made.",
            do="Give each truss a document of its own; see that no hatching or text was read as members.",
        )
    subject = subject_of(truss, idealisation, document)
    found = [finding for name, rule in RULES for finding in _evaluated(name, rule, subject)]
    notes = [finding for finding in besides if finding.level == "note"]
    found = [*(finding for finding in besides if finding not in notes), *found, *notes]
    if worked_on is not None:
        with_stages: Callable[[list[Finding], Truss, Idealisation], list[Finding]]
        with_stages = loaded("trussio.audit.staged:with_stages")
        found = with_stages(found, worked_on, idealisation)
    found.sort(key=urgency)
    return Findings(
        model=digest,
        findings=tuple(sorted(with_acceptances(truss, grouped(found)), key=urgency)),
        statics={name: view.statics for name, view in subject.views.items()},
    )


def urgency(finding: Finding) -> tuple[int, bool]:
    """Stops, queries, notes; within a level those that somebody accepted last."""
    return LEVELS.index(finding.level), finding.accepted is not None


def _evaluated(name: str, rule: Rule, subject: Subject) -> list[Finding]:
    """What a rule finds; where arithmetic fails or overflows, that it was not evaluated."""
    try:
        with np.errstate(over="raise", invalid="raise", divide="raise"):
            return list(rule(subject))
    except (ArithmeticError, np.linalg.LinAlgError) as error:
        return [
            Finding(
                code="not-evaluated",
                level="query",
                where=("",),
                says=f"Not evaluated: {name} ({error}).",
                do="Look at it by hand; nothing was found because nothing could be looked at.",
                evidence={"rule": name},
            )
        ]
