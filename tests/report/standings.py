"""Standings to make pages from, written by hand: every verdict, a member, a joint and a connection."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING

from tests.report.assessments import DIGEST, complete
from trussio.model.check import Check, Derivation, Line, Subject
from trussio.model.loading import RunId
from trussio.model.standing import Carried, Cause, Checks, Limit, Standing

if TYPE_CHECKING:
    from trussio.model.assessment import Assessment

BRACING = "bracing across the truss plane is not in the document"
FASTENERS = "no connections are in the document: enter what fastens this joint"
DRY = "taken as dry: the document does not say"
LINES = (
    Line("P", 2561.322, "lbf", "", "", "given"),
    Line("A", 8.9375, "in2", "", "", "statics"),
    Line("fc", 286.581, "psi", "P / A", "", "statics"),
    Line("FbE", inf, "psi", "", "NDS-2018 3.3.3.8", "from memory"),
    Line("Fc'", 253.6, "psi", "Fc* x CP", "NDS-2018 3.7.1.5", "from memory; seen in a course"),
)


def check(
    element: str,
    ratio: float | None,
    *,
    what: str = "compression with buckling",
    run: str | None = "D+SL",
    unit: str = "psi",
    reason: str = "",
    remarks: tuple[str, ...] = (DRY,),
) -> Check:
    """One check; an interaction where it has no unit."""
    return Check(
        what=what,
        clause="NDS-2018 3.7",
        subject=Subject(element=element, run=run, grade="Invented fir No. 1"),
        demand=None if ratio is None else 286.581,
        capacity=None if ratio is None else 253.6,
        unit=unit,
        ratio=ratio,
        derivation=Derivation(ratio or 0.0, LINES if ratio is not None else ()),
        reason=reason,
        remarks=remarks,
    )


def standing(element: str, ratio: float | None, **more: object) -> Standing:
    """How one element stands, by one check and what else is given of it."""
    told = {key: more.pop(key) for key in ("what", "run", "unit", "reason", "remarks") if key in more}
    governs = check(element, ratio, **told)  # type: ignore[arg-type]  # the keywords are those of check
    return replace(Standing(element=element, governs=governs), **more)  # type: ignore[arg-type]  # of Standing


WEB = standing(
    "w4:B2-T3",
    1.13,
    carried=Carried(-2561.322, RunId("D+SL")),
    limit=Limit("snow", 0.912, "reaches 1.0 at 0.91 x snow"),
    needs=("1.14 times the capacity", "bracing across the truss plane at most 60 in. apart, now 127.5"),
    causes=(
        Cause("sign-changed", "Its force has changed sign."),
        Cause("load-case", "What brings it is snow."),
        Cause("slenderness", "Slenderness decides, not strength."),
    ),
)
OVERLOADED = standing(
    "w2:B1-T2",
    inf,
    what="compression with bending",
    unit="",
    run="D+S",
    reason="the amplified moment has no bound: fc 113 psi reaches FcE2 100 psi",
    causes=(
        Cause("over-by-dead-load", "It is over its limit under dead load alone (104 % in run D)."),
        Cause("buckles", "It buckles: fc 113 psi reaches FcE2 100 psi."),
    ),
)
JOINT = standing(
    "/joints/B0", None, what="connection", reason=FASTENERS, carried=Carried(37493.6, RunId("D+S")), remarks=()
)
IN_PART = replace(
    standing("top:B0-T1", 0.61, unit="", run="D+S", carried=Carried(-37493.6, RunId("D+S"))),
    others=(
        check(
            "top:B0-T1",
            None,
            what="compression across the truss plane",
            run="D+S",
            reason=BRACING,
            remarks=("if every panel point were held: 0.85",),
        ),
    ),
)
WITHIN = standing("bottom:B3-B4", 0.884, run="D+S", what="tension on the gross section")
SPLICE = standing("/connections/splice", 1.34, what="fasteners", run="D+S", unit="lbf")

CHECKS = Checks(
    model=DIGEST,
    idealisation="pinned",
    state="found",
    rests_on=("/assumptions/a1",),
    standings=(OVERLOADED, SPLICE, WEB, JOINT, WITHIN, IN_PART),
)


def checked(assessment: Assessment | None = None) -> Assessment:
    """Everything done, with these standings."""
    return replace(complete() if assessment is None else assessment, checks=CHECKS)
