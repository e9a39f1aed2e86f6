"""What cannot be analysed is refused by name, before any number comes back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.trusses import (
    MATERIAL,
    RAFTER_PAIR,
    SECTION,
    THREE_HINGED_ARCH,
    TWO_SPANS,
    P,
    along,
    at_joint,
)
from trussio.analysis.run import analyse
from trussio.errors import CannotAnalyseError, UsageError
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
from trussio.model.truss import JointId, MaterialId, MemberId, SectionId

if TYPE_CHECKING:
    from trussio.model.loading import Load
    from trussio.model.truss import Idealisation, Truss

LEFT = Target(member=MemberId("left"))
STATE = "State it; no force may be believed without it."


def refusal(truss: Truss, idealisation: Idealisation = "continuous") -> CannotAnalyseError:
    with pytest.raises(CannotAnalyseError) as refused:
        analyse(truss, idealisation=idealisation)
    return refused.value


def loaded(*loads: Load, truss: Truss = RAFTER_PAIR.truss) -> Truss:
    return replace(truss, loads=Loads(cases={P: LoadCase(loads=loads)}))


def of(truss: Truss, *, section: Section = SECTION, material: Material = MATERIAL) -> Truss:
    return replace(truss, sections={SectionId("s"): section}, materials={MaterialId("m"): material})


def bare(truss: Truss, *, section: SectionId | None = None, material: MaterialId | None = None) -> Truss:
    """The truss with members that name no section or no material, or neither."""
    members = {name: replace(m, section=section, material=material) for name, m in truss.members.items()}
    return replace(truss, members=members)


@pytest.mark.parametrize(
    ("truss", "code", "where", "what"),
    [
        (
            bare(TWO_SPANS.truss, material=MaterialId("m")),
            "no-section",
            "/members/beam/section",
            "beam has no section.",
        ),
        (
            bare(TWO_SPANS.truss, section=SectionId("s")),
            "no-material",
            "/members/beam/material",
            "beam has no material.",
        ),
        (
            of(TWO_SPANS.truss, section=Section(inertia=1e6)),
            "no-area",
            "/sections/s",
            "beam has a section without area.",
        ),
        (
            of(TWO_SPANS.truss, section=Section(area=1000.0)),
            "no-inertia",
            "/sections/s",
            "beam has to bend, and its section has no inertia.",
        ),
        (
            of(THREE_HINGED_ARCH.truss, section=Section(area=1000.0)),
            "no-inertia",
            "/sections/s",
            "left has to bend, and its section has no inertia.",
        ),
        (
            of(TWO_SPANS.truss, material=Material()),
            "no-stiffness",
            "/materials/m",
            "beam has a material without modulus of elasticity E.",
        ),
    ],
)
def test_a_property_that_counts_is_asked_for(truss: Truss, code: str, where: str, what: str) -> None:
    assert str(refusal(truss)) == f"{code} at {where}: {what} {STATE}"


def test_inertia_is_not_asked_for_where_nothing_bends() -> None:
    """Sticks of one straight segment, pinned at both ends; in pinned no straight stick bends at all."""
    analyse(of(RAFTER_PAIR.truss, section=Section(area=1000.0)))
    analyse(of(TWO_SPANS.truss, section=Section(area=1000.0)), idealisation="pinned")
    refusal(of(THREE_HINGED_ARCH.truss, section=Section(area=1000.0)), "pinned")


def test_every_gap_is_told_at_once() -> None:
    faults = refusal(bare(RAFTER_PAIR.truss)).faults
    assert [fault.where for fault in faults] == [
        f"/members/{name}/{what}" for name in ("left", "right", "tie") for what in ("section", "material")
    ]


FIRST = "/loads/cases/P/loads/0"
ON_STICK = "Give a joint of the stick, or a distance along it from its first joint."


@pytest.mark.parametrize(
    ("load", "code", "where", "what", "do"),
    [
        (
            at_joint("T1", moment=5.0),
            "moment-on-hinge",
            f"{FIRST}/moment",
            "a moment acts on T1, where nothing shares the joint's rotation.",
            "Give the pair of forces that makes it, or say which stick runs through or is fixed there.",
        ),
        (
            PointLoad(on=LEFT, at=5000.1, fy=-1.0),
            "load-off-stick",
            FIRST,
            "a load is placed at 5000.1, which is not on left.",
            ON_STICK,
        ),
        (
            LineLoad(on=LEFT, direction="down", value=1.0, start=JointId("B2")),
            "load-off-stick",
            FIRST,
            "a load is placed at B2, which is not on left.",
            ON_STICK,
        ),
        (
            LineLoad(on=LEFT, direction="across", value=1.0, per="plan"),
            "plan-load-across",
            f"{FIRST}/per",
            "a load across a stick is given per plan length, which has no meaning.",
            "Give it per length of the stick (`slope`), or as `down` or `right`.",
        ),
        (
            SupportMovement(support=JointId("B2"), moves={"x": 1.0}),
            "movement-not-held",
            f"{FIRST}/moves/x",
            "the bearing at B2 is moved in x, which it does not hold.",
            "Move only what is held; say what the bearing holds if this is wrong.",
        ),
    ],
)
def test_a_load_that_cannot_be_evaluated_is_named(load: Load, code: str, where: str, what: str, do: str) -> None:
    found = refusal(loaded(load))
    assert (found.code, found.where, found.what, found.do) == (code, where, what, do)


def test_a_place_on_the_very_end_of_a_stick_is_on_it() -> None:
    analyse(loaded(PointLoad(on=LEFT, at=5000.0, fy=-1.0)))
    analyse(loaded(PointLoad(on=LEFT, at=5000.0 * (1 + 0.9e-6), fy=-1.0)))


@pytest.mark.parametrize(
    ("load", "lacking", "code", "lacks"),
    [
        (SelfWeight(of="all"), replace(MATERIAL, density=None), "weight-without-density", "density"),
        (Warmer(on=LEFT, by=10.0), replace(MATERIAL, expansion=None), "warmth-without-expansion", "expansion"),
    ],
)
def test_weight_needs_density_and_warmth_expansion(load: Load, lacking: Material, code: str, lacks: str) -> None:
    found = refusal(of(loaded(load), material=lacking))
    assert (found.code, found.where) == (code, "/materials/m")
    assert found.what == f"the load {FIRST} asks for the {lacks} of left, whose material does not state it."
    assert found.do == f"State the {lacks}, or leave left out of the load."


def test_a_load_of_another_run_is_no_hindrance() -> None:
    bad, good = LoadCase(loads=(at_joint("T1", moment=5.0),)), LoadCase(loads=(at_joint("T1", fy=-1.0),))
    truss = replace(
        RAFTER_PAIR.truss,
        loads=Loads(cases={P: good, RunId("Q"): bad}, combinations={RunId("1.0 P"): {P: 1.0, RunId("Q"): 0.0}}),
    )
    assert list(analyse(truss, runs=[P, RunId("1.0 P")])) == [P, RunId("1.0 P")]
    refusal(truss)


def test_a_moment_counts_where_a_stick_runs_through_but_not_in_pinned() -> None:
    truss = loaded(at_joint("B1", moment=5.0), truss=TWO_SPANS.truss)
    analyse(truss)
    assert refusal(truss, "pinned").code == "moment-on-hinge"


def test_a_run_that_is_not_in_the_document_is_named() -> None:
    with pytest.raises(UsageError) as refused:
        analyse(RAFTER_PAIR.truss, runs=[P, RunId("S")])
    assert str(refused.value) == "unknown-run: the document has no case or combination S. Choose among P."


def test_no_run_asked_for_gives_none() -> None:
    assert analyse(replace(RAFTER_PAIR.truss, loads=Loads())) == {}
    assert analyse(RAFTER_PAIR.truss, runs=[]) == {}


def test_a_case_without_loads_and_a_combination_of_nothing_are_all_zeros() -> None:
    truss = replace(
        RAFTER_PAIR.truss, loads=Loads(cases={P: LoadCase()}, combinations={RunId("Q"): {}, RunId("R"): {P: 0.0}})
    )
    for run in analyse(truss).values():
        assert {forces.axial for forces in run.segments.values()} == {0.0}
    assert list(analyse(truss, runs=[RunId("Q")])) == [RunId("Q")]


def test_a_weightless_line_load_on_a_role_that_no_stick_has_reaches_nothing() -> None:
    truss = loaded(LineLoad(on=Target(role="web"), direction="down", value=5.0), along("left", 0.0))
    assert {push.y for push in analyse(truss)[P].reactions.values()} == {0.0}
