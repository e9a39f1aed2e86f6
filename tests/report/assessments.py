"""Assessments to make pages from, all invented; forces from equilibrium alone (`tests/drawing/roofs.py`)."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tests.drawing import roofs
from trussio.model.assessment import Assessment
from trussio.model.change import Assumption, Change, Question, Source
from trussio.model.check_record import CheckRecord, RunCheck, SegmentCheck
from trussio.model.finding import Finding, Findings, Statics
from trussio.model.forces import Reaction, Results, RunForces, SegmentForces
from trussio.model.loading import JointLoad, LoadCase, Loads, RunId
from trussio.model.material import Material
from trussio.model.truss import JointId, MaterialId

if TYPE_CHECKING:
    from trussio.model.check_record import Verdict
    from trussio.model.loading import CaseKind
    from trussio.model.truss import Idealisation, Truss

DIGEST = "sha256:0123456789abcdef" + "0" * 48
STATICS = Statics(joints=16, segments=29, holds=3, count=0, rank=32, mechanisms=0, self_stress=0, moving=())


def loaded(roof: Truss) -> Truss:
    """A roof with dead load, snow and snow on one side on its top chord, combined."""
    upper = [
        joint
        for member in roof.members.values()
        if member.role == "top-chord"
        for joint in member.through
        if joint not in roof.supports
    ]
    middle = sum(joint.x for joint in roof.joints.values()) / len(roof.joints)
    weight = 1500.0 if roof.units == "us" else 6000.0

    def case(kind: CaseKind, left: float, right: float) -> LoadCase:
        loads = tuple(
            JointLoad(joint=joint, fy=-weight * (left if roof.joints[joint].x <= middle else right))
            for joint in dict.fromkeys(upper)
        )
        return LoadCase(kind=kind, loads=loads)

    cases = {"D": case("dead", 1.0, 1.0), "S": case("snow", 1.6, 1.6), "SL": case("snow", 2.8, 0.3)}
    combinations = {"D+S": {"D": 1.0, "S": 1.0}, "D+SL": {"D": 1.0, "SL": 1.0}}
    return replace(
        roof,
        loads=Loads(
            cases={RunId(name): one for name, one in cases.items()},
            combinations={
                RunId(name): {RunId(key): factor for key, factor in factors.items()}
                for name, factors in combinations.items()
            },
        ),
        materials={
            MaterialId("wood"): Material(
                kind="sawn", E=1.6e6, density=34.0, species="Invented fir", grade="No. 1", source="invented"
            )
        },
    )


def hall() -> Truss:
    """The bowstring, read from a drawing, with assumptions."""
    return replace(
        loaded(roofs.bowstring()),
        source=Source(
            drawing="hall-truss-2.dxf",
            digest="sha256:feed" + "0" * 60,
            scale="inches, as the header says",
            changes=(
                Change(
                    kind="end-joined",
                    says="The end of a web was joined to the bottom chord.",
                    where=(90.0, 0.0),
                    distance=0.25,
                    handles=("2A", "2B"),
                ),
                Change(kind="line-split", says="The bottom chord was split where a web meets it."),
            ),
        ),
        assumptions={
            "a1": Assumption(
                what="The left bearing is held and the right one rolls.",
                rests_on="nothing in the drawing",
                touches=("/supports/B0", "/supports/B8"),
            ),
            "a2": Assumption(what="All wood is Invented fir No. 1.", rests_on="basis.json", confirmed="AB, 3 May"),
        },
    )


def applied(truss: Truss) -> dict[RunId, dict[JointId, tuple[float, float]]]:
    """The loads of every run at the joints: all of them are joint loads."""
    return {
        run: {
            joint: (
                sum(f * load.fx for f, load in _loads(truss, factors) if load.joint == joint),
                sum(f * load.fy for f, load in _loads(truss, factors) if load.joint == joint),
            )
            for joint in truss.joints
        }
        for run, factors in truss.loads.runs.items()
    }


def _loads(truss: Truss, factors: object) -> list[tuple[float, JointLoad]]:
    assert isinstance(factors, dict)
    return [
        (factor, load)
        for case, factor in factors.items()
        for load in truss.loads.cases[case].loads
        if isinstance(load, JointLoad)
    ]


def calculated(truss: Truss) -> dict[RunId, RunForces]:
    """Forces of every run."""
    made = {}
    for run, forces in applied(truss).items():
        loads = tuple(JointLoad(joint=joint, fx=x, fy=y) for joint, (x, y) in forces.items())
        made[run] = roofs.balance(replace(truss, loads=Loads(cases={run: LoadCase(loads=loads)})))
    return made


def checked(truss: Truss, runs: dict[RunId, RunForces], verdict: Verdict = "agrees") -> CheckRecord:
    """A check record with one verdict for every run."""
    return CheckRecord(
        model=DIGEST,
        idealisation="pinned",
        state="found",
        compared="our own analysis",
        compared_digest=None,
        verdict=verdict,
        says="Every segment of every run lies within its tolerance."
        if verdict == "agrees"
        else "Run D+S: w3:B2-T2 is off by 12 %.",
        runs={
            run: RunCheck(
                verdict=verdict,
                says="",
                largest_difference=1e-6,
                largest_at=truss.segments[0].id,
                residual=1e-7,
                residual_at="B0",
                segments={
                    segment: SegmentCheck(
                        claimed=f.axial, rechecked=f.axial, difference=0.0, tolerance=1.0, verdict=verdict
                    )
                    for segment, f in forces.segments.items()
                },
            )
            for run, forces in runs.items()
        },
        independent=("another principle", "loads read a second time"),
        not_rechecked=("the survey", "allowables"),
    )


def complete(truss: Truss | None = None, *, idealisation: Idealisation = "pinned") -> Assessment:
    """Everything done, nothing wrong."""
    roof = hall() if truss is None else truss
    runs = calculated(roof)
    return Assessment(
        name="hall-truss-2.json",
        truss=roof,
        digest=DIGEST,
        idealisation=idealisation,
        state="found",
        findings=Findings(
            model=DIGEST,
            findings=(
                Finding(
                    code="crossing",
                    level="query",
                    where=("/members/w2", "/members/w3"),
                    says="w2 and w3 cross without a joint.",
                    do="Ask whether they are bolted where they cross.",
                ),
                Finding(code="kink", level="note", where=("/members/top",), says="It kinks.", do="Nothing."),
            ),
            statics={"pinned": STATICS, "continuous": replace(STATICS, count=21, rank=60, self_stress=21)},
        ),
        results=Results(
            model=DIGEST, idealisation=idealisation, state="found", rests_on=("/assumptions/a1",), runs=runs
        ),
        check_record=checked(roof, runs),
        applied=applied(roof),
        questions=(
            Question(
                code="bearing-unseen",
                asks="Which bearing can slide?",
                taken="The right one.",
                settle="Write it into the basis file.",
            ),
        ),
    )


def bare(truss: Truss) -> Assessment:
    """Nothing done yet."""
    return Assessment(name="roof.json", truss=truss, digest=DIGEST, idealisation="continuous", state="found")


def bending(assessment: Assessment) -> Assessment:
    """The same with bending moments and a moment at a bearing."""
    results = assessment.results
    assert results is not None
    runs = {
        run: replace(
            forces,
            segments={name: _bent(one, at) for at, (name, one) in enumerate(forces.segments.items())},
            reactions={joint: Reaction(x=r.x, y=r.y, turn=12000.0) for joint, r in forces.reactions.items()},
        )
        for run, forces in results.runs.items()
    }
    return replace(assessment, results=replace(results, runs=runs))


def _bent(forces: SegmentForces, at: int) -> SegmentForces:
    return forces._replace(moment_peak=-6000.0 * at, moment_peak_at=45.0)


def troubled() -> Assessment:
    """A stop overridden, a part of its own, a second method that disagrees, loads that do not balance."""
    whole = complete()
    results, findings = whole.results, whole.findings
    assert results is not None
    assert findings is not None
    stop = Finding(
        code="no-material",
        level="stop",
        where=("/members/w3/material",),
        says="w3 has no material.",
        do="State one.",
    )
    part = Finding(
        code="parts",
        level="query",
        where=("/joints/T7",),
        says="T7 is a part of its own: no member joins it to the rest.",
        do="Ask whether a joint is missing.",
    )
    doubted = checked(whole.truss, dict(results.runs), "disagrees")
    return replace(
        whole,
        results=replace(results, despite=("no-material",)),
        findings=replace(findings, findings=(stop, part, *findings.findings)),
        check_record=doubted,
        applied={
            run: {joint: (x, 2 * y) for joint, (x, y) in loads.items()} for run, loads in whole.applied.items()
        },
    )
