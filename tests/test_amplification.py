"""Second order of whole trusses: what is amplified, what is refused and why, and the run without what buckles."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sqrt

import pytest

from tests.cli.running import trussio
from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.amplification import NEAR, second_order
from trussio.calculation import calculate
from trussio.cli.forces_text import forces_text
from trussio.document.encode import write_truss
from trussio.document.second_order import read_second_order, write_second_order
from trussio.errors import UsageError
from trussio.model.condition import Bow
from trussio.model.loading import RunId
from trussio.model.material import Section
from trussio.model.second_order import SecondOrder
from trussio.model.staging import Add, PutOn, Stage
from trussio.model.truss import Curve, MemberId, SectionId, SegmentId, State, Truss

P = RunId("P")
MODEL = "sha256:" + "0" * 64
STRUT = SegmentId("strut:M-T")
EI = 1e10
EULER = pi**2 * EI / 2000.0**2


def queen(push: float, *, twin: bool = False) -> Truss:
    """A strut of 2 m that stands on a tie and carries `push` to it; a twin beside it shares where asked for."""
    members = {
        "tie": stick("A", "M", "B", role="bottom-chord"),
        "left": stick("A", "T", role="top-chord"),
        "right": stick("T", "B", role="top-chord"),
        "strut": stick("M", "T", role="web"),
    }
    if twin:
        members["twin"] = stick("M", "T", role="web")
    truss = build(
        joints={"A": (0.0, 0.0), "M": (3000.0, 0.0), "B": (6000.0, 0.0), "T": (3000.0, 2000.0)},
        members=members,
        supports={"A": PIN, "B": ROLLER, "M": ROLLER},
        cases={"P": (at_joint("T", fy=-push),)},
    )
    stiff = {
        SectionId("s"): Section(area=1000.0, inertia=1e6),
        SectionId("chord"): Section(area=30.0, inertia=1e9),
    }
    chords = {
        name: replace(member, section=SectionId("chord")) if member.role != "web" else member
        for name, member in truss.members.items()
    }
    return replace(truss, sections=stiff, members=chords)


def of(truss: Truss, *, state: State = "found") -> SecondOrder:
    return second_order(truss, calculate(truss, digest=MODEL, state=state))


def test_a_strut_far_from_buckling_is_calculated_and_says_how_far() -> None:
    found = of(queen(EULER / 4))
    run = found.runs[P]
    axial = run.segments[STRUT].axial_first
    assert run.verdict == "calculated"
    assert run.factor == pytest.approx(EULER / -axial, rel=1e-4)
    assert run.buckles[0] == STRUT
    assert run.reason is None
    assert run.segments[STRUT].amplification is None
    assert set(run.segments) == {"strut:M-T", "left:A-T", "right:T-B"}


def test_a_bow_found_in_the_survey_is_amplified_and_as_built_it_is_not() -> None:
    """Timoshenko and Gere 1961 (from memory): 8 E I a / L^2 (sec kL/2 - 1) over P a of first order."""
    truss = queen(EULER / 2)
    bowed = replace(truss, condition={"c1": Bow(member=MemberId("strut"), by=10.0, seen="sighted along it")})
    one = of(bowed).runs[P].segments[STRUT]
    assert one.axial is not None
    assert one.amplification is not None
    k = sqrt(-one.axial / EI)
    sec = 1 / cos(k * 1000.0)
    assert abs(one.moment or 0.0) == pytest.approx(8 * EI * 10.0 / 2000.0**2 * (sec - 1.0), rel=1e-3)
    assert abs(one.moment_first) == pytest.approx(10.0 * -one.axial_first, rel=1e-3)
    assert one.amplification == pytest.approx(abs((one.moment or 0.0) / one.moment_first))
    assert of(bowed, state="built").runs[P].segments[STRUT].amplification is None


def pushed_to(factor: float) -> Truss:
    """The strut under loads that are so many times from its buckling."""
    per = queen(1000.0)
    found = of(per).runs[P].factor
    assert found is not None
    return queen(1000.0 * found / factor)


@pytest.mark.parametrize(
    ("factor", "verdict", "says"),
    [
        (NEAR + 0.001, "calculated", None),
        (NEAR - 0.001, "exceeded", "near buckling: the truss buckles in its plane at 1.25 times these loads"),
        (0.8, "exceeded", "past buckling: the truss buckles in its plane at 0.80 times these loads"),
    ],
)
def test_near_and_past_buckling_second_order_is_refused_and_linear_forces_stand(
    factor: float, verdict: str, says: str | None
) -> None:
    truss = pushed_to(factor)
    run = of(truss).runs[P]
    linear = calculate(truss, digest=MODEL).runs[P].segments
    assert (run.verdict, run.reason) == (verdict, says)
    assert run.segments[STRUT].axial_first == linear[STRUT].axial
    if verdict == "exceeded":
        assert run.buckles[0] == STRUT
        assert all(one.axial is one.moment is one.amplification is None for one in run.segments.values())


def test_the_run_without_what_buckles_is_given() -> None:
    """Without the strut the rafters take the load to the bearings: N = -P / (2 sin a), 2 in 3."""
    truss = pushed_to(0.8)
    without = of(truss).runs[P].without
    assert without is not None
    assert without.member == "strut"
    push = -truss.loads.cases[P].loads[0].fy  # type: ignore[union-attr]  # it is a load at a joint
    assert without.segments[SegmentId("left:A-T")].axial == pytest.approx(-push / 2 * sqrt(13) / 2, rel=1e-6)
    assert "strut:M-T" not in without.segments


def test_where_nothing_stands_without_it_the_reason_is_given() -> None:
    truss = pushed_to(0.8)
    alone = {name: one for name, one in truss.members.items() if name != "left"}
    roller = replace(truss, members=alone, supports={**truss.supports})
    without = of(roller).runs[P].without
    assert without is not None
    assert without.segments == {}
    assert without.reason is not None
    assert without.reason.startswith("without strut there are no forces: ")


def test_a_twin_takes_over_when_the_strut_is_out() -> None:
    run = of(queen(4 * EULER, twin=True)).runs[P]
    assert run.verdict == "exceeded"
    assert run.without is not None
    assert run.without.segments[SegmentId("twin:M-T")].axial < 0.0


def test_what_cannot_be_followed_is_not_evaluated_in_words() -> None:
    truss = queen(1000.0)
    bare = replace(truss, sections={**truss.sections, SectionId("s"): Section(area=1000.0)})
    run = of(bare).runs[P]
    assert (run.verdict, run.reason) == (
        "not evaluated",
        "the inertia of strut:M-T, in compression, is not stated",
    )
    assert run.segments[STRUT].axial_first < 0.0
    slack = replace(
        truss,
        members={
            **truss.members,
            MemberId("strut"): replace(truss.members[MemberId("strut")], play={"first": 1.0}),
        },
    )
    assert of(slack).runs[P].reason == "second order is not followed where connections have play"


def test_what_a_stage_has_locked_in_buckles_the_strut_that_was_there_first() -> None:
    """P on the strut alone; then a twin of the same size that carries nothing of it, and P again at once.

    Loaded at once both share. The way there leaves the first strut with all, and it buckles at that.
    """
    truss = queen(EULER / 4, twin=True)
    add = Add(members=(MemberId("twin"),))
    staged = replace(truss, stages=(Stage("S1", (PutOn((P,)),)), Stage("S2", (add,)), Stage("S3", (), runs=(P,))))
    found = of(staged).runs
    alone, both = (of(queen(EULER / 4, twin=twin)).runs[P] for twin in (False, True))
    assert found[P].factor == pytest.approx(both.factor, rel=1e-9)
    for run in (RunId("S1/now"), RunId("S2/now"), RunId("S3/P")):
        assert found[run].verdict == "calculated"
        assert found[run].factor == pytest.approx(alone.factor, rel=1e-6)
        assert found[run].buckles == (STRUT,)


@pytest.mark.parametrize("slip", [1e-3, 1e2, 1e3, 1e12])
def test_a_strut_buckles_at_its_own_share_beside_a_twin_that_slips(slip: float) -> None:
    """The twin takes what its fasteners let it; the strut, pinned at both ends, buckles at Euler's load."""
    truss = queen(EULER / 4, twin=True)
    add = Add(members=(MemberId("twin"),), beside=MemberId("strut"), slip=slip)
    run = of(replace(truss, stages=(Stage("S1", (add,)), Stage("S2", (PutOn((P,)),))))).runs[RunId("S2/now")]
    assert run.verdict == "calculated"
    assert run.factor is not None
    assert -run.factor * run.segments[STRUT].axial_first == pytest.approx(EULER, rel=1e-6)


def test_a_steep_arc_is_not_followed() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"arch": stick("A", "B", curve=Curve(radius=1010.0, bows="up"))},
        supports={"A": PIN, "B": PIN},
        cases={"P": (along("arch", 1.0),)},
    )
    run = of(truss).runs[P]
    assert run.verdict == "not evaluated"
    assert run.reason == "arch:A-B slants too steeply from its chord between joints"


def test_pinned_results_are_refused() -> None:
    truss = queen(1000.0)
    with pytest.raises(
        UsageError, match="second-order-pinned: second order was asked for with --idealisation pinned"
    ):
        second_order(truss, calculate(truss, digest=MODEL, idealisation="pinned"))


def test_a_slack_rod_neither_helps_nor_buckles() -> None:
    truss = queen(EULER / 4, twin=True)
    rod = replace(truss.members[MemberId("twin")], acts="tension")
    one = of(replace(truss, members={**truss.members, MemberId("twin"): rod})).runs[P]
    assert one.factor == pytest.approx(of(queen(EULER / 4)).runs[P].factor, rel=1e-6)


def test_the_document_reads_back_and_results_say_that_they_are_of_first_order() -> None:
    found = of(pushed_to(0.8))
    assert read_second_order(write_second_order(found).encode(), name="second.json") == found
    assert calculate(queen(1000.0), digest=MODEL).order == "first"


def test_the_command_line_gives_linear_forces_first_and_then_second_order(tmp_path: object) -> None:
    path = f"{tmp_path}/queen.json"
    with open(path, "w", encoding="utf-8") as file:
        file.write(write_truss(pushed_to(0.8)))
    ran = trussio("analyse", path, "--second-order")
    assert ran.code == 0
    assert (
        ran.out.index("Of first order.") < ran.out.index("run P\n") < ran.out.index("SECOND ORDER, in the plane")
    )
    assert "run P: EXCEEDED, past buckling: the truss buckles in its plane at 0.80 times these loads." in ran.out
    assert "run P without strut, of first order: if it gives way, the others carry" in ran.out
    again = trussio("analyse", path, "--second-order", "--json")
    assert read_second_order(again.out.encode(), name="stdout").runs[P].verdict == "exceeded"
    both = trussio("analyse", path, "--second-order", "--survey-tolerance", "1mm")
    assert both.code == 2
    assert "bands and second order are asked for together" in both.err


@pytest.mark.parametrize(("share", "said"), [(0.0999, False), (0.1001, True), (0.62, True)])
def test_without_being_asked_the_text_says_where_second_order_matters(share: float, *, said: bool) -> None:
    """The strut of a truss that shares little with it, at so much of its Euler load."""
    per = -of(queen(1000.0)).runs[P].segments[STRUT].axial_first / 1000.0
    truss = queen(share * EULER / per)
    text = forces_text(truss, calculate(truss, digest=MODEL))
    line = f"Second order matters: strut:M-T carries {share:.0%} of its Euler load (in the plane, pinned at its "
    assert (line in text) == said
    assert ("Second order matters" in text) == said
