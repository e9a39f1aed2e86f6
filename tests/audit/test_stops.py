"""The stop rules: each raised with its words, none where design says query or note, light and quick."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.audit.forms import moved, pitched, supported
from tests.trusses import (
    CANTILEVER,
    OPEN_SQUARE,
    PIN,
    ROLLER,
    SOUND,
    THREE_HINGED_ARCH,
    TWO_SPANS,
    at_joint,
    stick,
)
from trussio.audit.stops import stops
from trussio.model.loading import (
    LineLoad,
    LoadCase,
    Loads,
    PointLoad,
    RunId,
    SelfWeight,
    SupportMovement,
    Target,
    Warmer,
)
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MaterialId, MemberId, SectionId, Support

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.finding import Finding
    from trussio.model.loading import Load
    from trussio.model.truss import Idealisation, Truss

LEFT = Target(member=MemberId("left"))


def sections(truss: Truss, **sections: Section) -> Truss:
    return replace(truss, sections={SectionId(name): section for name, section in sections.items()})


def materials(truss: Truss, **materials: Material) -> Truss:
    return replace(truss, materials={MaterialId(name): material for name, material in materials.items()})


def bare(truss: Truss, name: str, *, section: bool = True) -> Truss:
    """A truss with a member that names no section, or no material."""
    old = truss.members[MemberId(name)]
    new = replace(old, section=None) if section else replace(old, material=None)
    return replace(truss, members={**truss.members, MemberId(name): new})


def one(truss: Truss, idealisation: Idealisation = "continuous") -> Finding:
    (finding,) = stops(truss, idealisation=idealisation)
    return finding


STOPPED: Mapping[str, tuple[Truss, Idealisation, str, tuple[str, ...], str]] = {
    "nothing holds it": (
        supported(pitched()),
        "continuous",
        "no-support",
        ("/supports",),
        "Nothing holds the truss: no joint is supported in x, in y or along an inclined bearing.",
    ),
    "nothing at all": (
        replace(pitched(), members={}, loads=Loads()),
        "continuous",
        "mechanism",
        ("/members",),
        "There is no member: nothing carries a load.",
    ),
    "a turn hold alone holds nothing": (
        supported(pitched(), B3=Support(holds=("turn",))),
        "continuous",
        "no-support",
        ("/supports",),
        "Nothing holds the truss: no joint is supported in x, in y or along an inclined bearing.",
    ),
    "two rollers": (
        supported(pitched(), B0=ROLLER, B6=ROLLER),
        "continuous",
        "mechanism",
        tuple(f"/joints/{name}" for name in pitched().joints),
        (
            "The whole truss can slide sideways on its bearings (1 mechanism); a hold in x at B0 or in x at B6 "
            "would stop it."
        ),
    ),
    "an open square": (
        OPEN_SQUARE.truss,
        "continuous",
        "mechanism",
        ("/joints/C", "/joints/D"),
        "C and D can move together, C most, sideways (1 mechanism); a diagonal A-C or B-D would hold it.",
    ),
    "two hinges in one panel of a rafter": (
        pitched(
            skipped="p1 d1",
            left=stick("B0", "T1", role="top-chord"),
            middle=stick("T1", "T2", role="top-chord"),
            upper=stick("T2", "T3", role="top-chord"),
        ),
        "continuous",
        "mechanism",
        ("/joints/T1",),
        (
            "T1 can move up and down (1 mechanism); a member B1-T1 or B2-T1 would hold it. The members would stop "
            "the movement, but only under forces far beyond the loads."
        ),
    ),
    "no section": (
        bare(pitched(), "p1"),
        "continuous",
        "no-section",
        ("/members/p1",),
        "p1 has no section.",
    ),
    "an empty section": (
        sections(THREE_HINGED_ARCH.truss, s=Section(inertia=1.0)),
        "pinned",
        "no-area",
        ("/sections/s", "/members/left", "/members/right"),
        (
            "2 members (left and right) have a section without area: neither `area` nor `width` and `depth` are "
            "given."
        ),
    ),
    "a curved rib without inertia, pinned too": (
        sections(THREE_HINGED_ARCH.truss, s=Section(area=1.0)),
        "pinned",
        "no-inertia",
        ("/sections/s", "/members/left", "/members/right"),
        (
            "2 members (left and right) have to bend, and a section without inertia: neither `inertia` nor "
            "`width` and `depth` are given."
        ),
    ),
    "chords that run through without inertia": (
        sections(TWO_SPANS.truss, s=Section(area=1.0)),
        "continuous",
        "no-inertia",
        ("/sections/s", "/members/beam"),
        "beam has to bend, and a section without inertia: neither `inertia` nor `width` and `depth` are given.",
    ),
    "no material": (
        bare(pitched(), "d1", section=False),
        "pinned",
        "no-material",
        ("/members/d1",),
        "d1 has no material.",
    ),
    "no modulus": (
        materials(THREE_HINGED_ARCH.truss, m=Material(kind="sawn")),
        "pinned",
        "no-stiffness",
        ("/materials/m", "/members/left", "/members/right"),
        "2 members (left and right) have a material without modulus of elasticity E.",
    ),
    "weight without density": (
        materials(pitched(SelfWeight(of=(MemberId("p1"),))), m=Material(E=1.0)),
        "pinned",
        "weight-without-density",
        ("/loads/cases/P/loads/0", "/materials/m", "/members/p1"),
        "Self-weight is asked for, but the material m of p1 has no density. Runs touched: P.",
    ),
    "warmth without expansion": (
        materials(pitched(Warmer(on=LEFT, by=20.0)), m=Material(E=1.0)),
        "continuous",
        "warmth-without-expansion",
        ("/loads/cases/P/loads/0", "/materials/m", "/members/left"),
        "Warmth is asked for, but the material m of left has no thermal expansion. Runs touched: P.",
    ),
    "a moment where every stick ends": (
        pitched(at_joint("T3", moment=5.0)),
        "continuous",
        "moment-on-hinge",
        ("/loads/cases/P/loads/0", "/joints/T3"),
        (
            "A moment acts on T3, but every stick turns freely there: nothing shares the joint's rotation. "
            "Runs touched: P."
        ),
    ),
    "any moment as pinned": (
        pitched(at_joint("T2", moment=5.0)),
        "pinned",
        "moment-on-hinge",
        ("/loads/cases/P/loads/0", "/joints/T2"),
        "A moment acts on T2, but in `pinned` nothing bends. Runs touched: P.",
    ),
    "a load from a joint of another stick": (
        pitched(LineLoad(on=LEFT, direction="down", value=1.0, start=JointId("B1"))),
        "continuous",
        "load-off-stick",
        ("/loads/cases/P/loads/0", "/members/left"),
        "A load is placed at B1, which left does not run through. Runs touched: P.",
    ),
    "a load beyond the end": (
        pitched(PointLoad(on=LEFT, at=7000.0, fy=-1.0)),
        "pinned",
        "load-off-stick",
        ("/loads/cases/P/loads/0", "/members/left"),
        "A load is placed 7000 mm along left, which is only 6708 mm long. Runs touched: P.",
    ),
    "across, per plan": (
        pitched(LineLoad(on=LEFT, direction="across", value=1.0, per="plan")),
        "continuous",
        "plan-load-across",
        ("/loads/cases/P/loads/0",),
        "A load across a stick is given per plan length, which has no meaning. Runs touched: P.",
    ),
    "a bearing moved where it rolls": (
        pitched(SupportMovement(support=JointId("B6"), moves={"x": 3.0})),
        "continuous",
        "movement-not-held",
        ("/loads/cases/P/loads/0", "/supports/B6"),
        "The bearing at B6 is moved in x, which it does not hold. Runs touched: P.",
    ),
}


@pytest.mark.parametrize("says", list(STOPPED))
def test_a_model_that_cannot_be_believed_is_stopped(says: str) -> None:
    truss, idealisation, code, where, words = STOPPED[says]
    finding = one(truss, idealisation)
    assert (finding.code, finding.level) == (code, "stop")
    assert finding.where == where
    assert finding.says == words
    assert finding.do


GOES_ON: Mapping[str, tuple[Truss, Idealisation]] = {
    "a straight pin-ended bar needs no inertia": (
        replace(
            sections(pitched(), s=Section(width=140.0, depth=240.0), rod=Section(area=500.0)),
            members={
                name: replace(member, section=SectionId("rod")) if member.role == "web" else member
                for name, member in pitched().members.items()
            },
        ),
        "continuous",
    ),
    "as pinned no straight stick needs inertia": (sections(pitched(), s=Section(area=1.0)), "pinned"),
    "as pinned density and expansion are not asked for without a load that needs them": (
        materials(pitched(), m=Material(E=1.0)),
        "pinned",
    ),
    "a moment where one stick runs through": (pitched(at_joint("T2", moment=5.0)), "continuous"),
    "a moment at a fixed end": (
        replace(CANTILEVER.truss, loads=pitched(at_joint("B", moment=5.0)).loads,
                members={MemberId("beam"): stick("A", "B", fixed=("first", "last"))}),
        "continuous",
    ),
    "a moment of nothing": (pitched(at_joint("T3", fy=-1.0, moment=0.0)), "pinned"),
    "a load that ends exactly at the end": (
        pitched(LineLoad(on=LEFT, direction="down", value=1.0, start=0.0, end=3 * 5e6**0.5)),
        "continuous",
    ),
    "an inclined bearing is moved by its part": (
        supported(
            pitched(SupportMovement(support=JointId("B6"), moves={"y": -3.0})),
            B0=PIN,
            B6=Support(holds=((0.6, 0.8),)),
        ),
        "continuous",
    ),
    "the ground of a spring moves": (
        supported(
            pitched(SupportMovement(support=JointId("B6"), moves={"y": -3.0})),
            B0=PIN,
            B6=Support(springs={"y": 9.0}),
        ),
        "continuous",
    ),
    "springs count as holds": (
        supported(pitched(), B0=Support(springs={"x": 1.0, "y": 1.0}), B6=Support(springs={"y": 1.0})),
        "pinned",
    ),
    "a near-mechanism is no mechanism": (moved(pitched(), "T1", x=1e-3), "pinned"),
    "a role that no member has is a query": (
        pitched(LineLoad(on=Target(role="other"), direction="down", value=1.0, start=JointId("B1"))),
        "continuous",
    ),
    "no loads at all": (replace(pitched(), loads=Loads()), "continuous"),
}  # fmt: skip


@pytest.mark.parametrize("says", list(GOES_ON))
def test_what_is_no_stop_goes_on(says: str) -> None:
    truss, idealisation = GOES_ON[says]
    assert stops(truss, idealisation=idealisation) == ()


@pytest.mark.parametrize("name", list(SOUND))
def test_trusses_known_on_paper_are_not_stopped(name: str) -> None:
    known = SOUND[name]
    assert stops(known.truss, idealisation=known.idealisation) == ()


def test_a_mechanism_in_the_other_idealisation_only_is_no_stop() -> None:
    open_panel = pitched(skipped="d2")
    assert stops(open_panel, idealisation="continuous") == ()
    assert one(open_panel, "pinned").code == "mechanism"


def test_bars_of_one_line_between_fixed_pins_are_a_mechanism_only_as_continuous() -> None:
    truss = replace(SOUND["sprung prop"].truss, supports={JointId("B0"): PIN, JointId("B2"): PIN})
    finding = one(truss)
    assert finding.says == (
        "B1 can move up and down (1 mechanism); a hold in y at B1 would stop it. The members would stop the "
        "movement, but only under forces far beyond the loads."
    )
    assert "If one stick runs through B1" in finding.do
    assert stops(truss, idealisation="pinned") == ()


LATER = RunId("later")


def in_cases(truss: Truss, first: Load, later: Load, factors: Mapping[str, float]) -> Truss:
    combinations = {RunId("sum"): {RunId(case): factor for case, factor in factors.items()}}
    return replace(
        truss,
        loads=Loads(
            cases={RunId("P"): LoadCase(loads=(first,)), LATER: LoadCase(loads=(later,))},
            combinations=combinations,
        ),
    )


@pytest.mark.parametrize(
    ("says", "factors", "runs", "touched"),
    [
        ("its own case and the sum", {"P": 1.0, "later": 1.4}, None, ["later", "sum"]),
        ("a factor of 0 does not touch the sum", {"P": 1.0, "later": 0.0}, None, ["later"]),
        ("the sum alone is asked for", {"P": 1.0, "later": 1.4}, ["sum"], ["sum"]),
        ("only what it does not touch is asked for", {"P": 1.0, "later": 1.4}, ["P"], []),
        ("the sum that it does not touch", {"P": 1.0}, ["sum"], []),
    ],
)
def test_a_stop_about_a_load_says_which_runs_it_touches(
    says: str, factors: dict[str, float], runs: list[str] | None, touched: list[str]
) -> None:
    truss = in_cases(pitched(), at_joint("T2", fy=-1.0), at_joint("T3", moment=2.0), factors)
    found = stops(truss, idealisation="continuous", runs=None if runs is None else [RunId(run) for run in runs])
    assert [finding.evidence["runs"] for finding in found] == ([touched] if touched else []), says


def test_one_gap_in_many_loads_is_one_finding() -> None:
    truss = materials(
        in_cases(pitched(), SelfWeight(of="all"), SelfWeight(of="all"), {}), m=Material(E=1.0, expansion=1e-6)
    )
    finding = one(truss)
    assert finding.where[:3] == ("/loads/cases/P/loads/0", "/loads/cases/later/loads/0", "/materials/m")
    assert finding.evidence["runs"] == ["P", "later"]


def test_stops_come_in_the_order_statics_properties_loads() -> None:
    truss = supported(bare(bare(pitched(at_joint("T3", moment=1.0)), "p1"), "p2", section=False), B0=PIN)
    assert [finding.code for finding in stops(truss, idealisation="continuous")] == [
        "mechanism",
        "no-section",
        "no-material",
        "moment-on-hinge",
    ]


def test_without_support_what_is_loose_within_the_truss_is_told_too() -> None:
    found = stops(supported(OPEN_SQUARE.truss), idealisation="continuous")
    assert [finding.code for finding in found] == ["no-support", "mechanism"]
    assert found[1].evidence["mechanisms"] == 1


def test_the_stop_rules_need_no_graph_library() -> None:
    script = "import sys, trussio.audit.stops; print(any(name.startswith('networkx') for name in sys.modules))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
