"""The review of a whole truss: what is met, what is not, and what stays open and says why."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest

from tests.timber.roof import (
    BOTTOM,
    DFL,
    LEFT,
    STRUT,
    WEB,
    axial,
    metric,
    metric_results,
    results,
    stick,
    truss,
)
from trussio.model.check import Check
from trussio.model.forces import SegmentForces
from trussio.model.loading import RunId
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, JointId, MaterialId, MemberId, SectionId, Truss
from trussio.timber import axial as axial_checks
from trussio.timber.bench import Conditions
from trussio.timber.review import governing, review

SAID = Conditions(wet=False, temperature=70.0, lateral={MemberId("left"): 0.0, MemberId("right"): 0.0})


def reviewed(
    roof: Truss, forces: dict[str, dict[str, SegmentForces]], given: Conditions | None = SAID
) -> tuple[Check, ...]:
    return review(roof, results(roof, forces), given)


def of(checks: tuple[Check, ...], element: str, what: str = "") -> list[Check]:
    return [check for check in checks if check.element == element and check.what.startswith(what)]


def test_a_tie_is_checked_on_its_gross_section_and_says_so() -> None:
    Ft = 675 * 1.15 * 1.1
    area = 2.625 * 9.5
    for force, verdict in ((Ft * area, "met"), (Ft * area * 1.001, "not met")):
        checks = reviewed(truss(), {"D+S": {BOTTOM: axial(force)}})
        [tie] = of(checks, BOTTOM)
        assert tie.verdict == verdict
        assert (tie.what, tie.run, tie.subject.grade) == (
            "tension on the gross section",
            "D+S",
            "Douglas Fir-Larch No.1",
        )
        assert "gross section: holes, rings and notches are not in the document" in tie.remarks


def test_each_run_has_its_own_duration() -> None:
    roof = truss(
        cases={"D": "dead", "S": "snow", "W": "wind"},
        combinations={"D+S": {"D": 1.0, "S": 1.0}, "D+W": {"D": 1.0, "W": 1.0}},
    )
    forces = {run: {BOTTOM: axial(10000.0)} for run in ("D", "D+S", "D+W", "S", "W")}
    checks = of(reviewed(roof, forces), BOTTOM)
    ratio = {check.run: check.ratio or 0.0 for check in checks}
    assert set(ratio) == {"D", "D+S", "D+W"}
    assert ratio["D"] / ratio["D+S"] == pytest.approx(1.15 / 0.9)
    assert ratio["D+S"] / ratio["D+W"] == pytest.approx(1.6 / 1.15)


def test_where_nothing_is_combined_every_case_is_checked() -> None:
    roof = truss(combinations={})
    forces = {run: {BOTTOM: axial(10000.0)} for run in ("D", "S")}
    assert {check.run for check in of(reviewed(roof, forces), BOTTOM)} == {"D", "S"}


def test_dead_load_that_no_run_holds_alone_is_open() -> None:
    roof = truss(
        cases={"D1": "dead", "D2": "dead", "S": "snow"}, combinations={"all": {"D1": 1.0, "D2": 1.0, "S": 1.0}}
    )
    forces = {run: {BOTTOM: axial(10000.0)} for run in ("D1", "D2", "all")}
    [dead] = of(reviewed(roof, forces), "/loads")
    assert dead.verdict == "not evaluated"
    assert dead.reason == "no run holds all dead load alone: add a combination of D1, D2, which counts CD 0.9"
    dead_alone = {RunId("D1"): 1.0, RunId("D2"): 1.0}
    whole = replace(roof.loads, combinations={**roof.loads.combinations, RunId("D"): dead_alone})
    assert not of(reviewed(replace(roof, loads=whole), forces | {"D": {}}), "/loads")


def test_a_case_whose_kind_nobody_gave_has_no_duration() -> None:
    roof = truss(cases={"D": "dead", "S": None})
    checks = reviewed(roof, {"D": {}, "D+S": {BOTTOM: axial(10000.0)}})
    [run] = of(checks, "/loads/combinations/D+S")
    assert run.verdict == "not evaluated"
    assert run.reason.startswith("no duration is known for S: enter its kind")
    assert not of(checks, BOTTOM)


def test_a_run_that_the_document_does_not_know() -> None:
    checks = reviewed(truss(), {"D": {}, "old": {BOTTOM: axial(10000.0)}})
    [run] = of(checks, "/loads/combinations/old")
    assert run.reason.startswith("the document knows no such run")


def test_bracing_that_nobody_gave_leaves_buckling_across_open() -> None:
    checks = reviewed(truss(), {"D+S": {LEFT: axial(-15000.0)}}, Conditions(wet=False, temperature=70.0))
    across = of(checks, LEFT, "compression across")[0]
    assert (across.verdict, across.ratio) == ("not evaluated", None)
    assert across.reason.startswith(
        "the document does not say what holds this length across the truss plane: enter"
    )
    assert across.remarks[-1].startswith("if every panel point were held: compression with buckling ")
    in_plane = of(checks, LEFT, "compression with buckling in the truss plane")[0]
    assert in_plane.verdict == "met"
    [slender] = of(checks, LEFT, "slenderness in")
    assert slender.demand == pytest.approx(hypot(96, 60) / 9.5)
    [wide] = of(checks, LEFT, "slenderness across")
    assert wide.ratio is None


def test_bracing_that_was_stated_decides() -> None:
    forces = {"D+S": {LEFT: axial(-15000.0)}}
    held = of(reviewed(truss(), forces), LEFT, "compression with buckling")[0]
    free = of(
        reviewed(truss(), forces, replace(SAID, lateral={MemberId("left"): 113.0})),
        LEFT,
        "compression with buckling",
    )[0]
    assert held.ratio is not None
    assert free.ratio is not None
    assert held.ratio < free.ratio
    assert free.ratio == pytest.approx(_open_ratio(forces), abs=0.02)


def _open_ratio(forces: dict[str, dict[str, SegmentForces]]) -> float:
    """The ratio in the remark of a check that unknown bracing leaves open."""
    open_check = of(reviewed(truss(), forces, Conditions()), LEFT, "compression across")[0]
    return float(open_check.remarks[-1].split()[-1])


def test_a_web_is_taken_as_held_at_its_ends_and_says_so() -> None:
    checks = of(reviewed(truss(), {"D+S": {STRUT: axial(-3000.0)}}), STRUT)
    buckling = next(check for check in checks if check.what == "compression with buckling")
    strut = axial_checks.strut_values(
        Fc_star=1500 * 1.15 * 1.1,
        axes=(
            axial_checks.Axis(name="in", le=60.0, d=5.5, Emin=620000.0),
            axial_checks.Axis(name="across", le=60.0, d=1.5, Emin=620000.0),
        ),
        c=0.8,
    )
    assert buckling.ratio == pytest.approx(3000 / 8.25 / strut.Fc.value)
    assert "web taken as held at both ends across the plane by the chords" in buckling.remarks


def test_a_slender_web_fails_without_a_small_number() -> None:
    roof = truss(web=Section(width=0.75, depth=5.5))
    checks = of(reviewed(roof, {"D+S": {STRUT: axial(-3000.0, moment=100.0)}}), STRUT)
    assert next(check for check in checks if check.what == "slenderness").verdict == "not met"
    bent = next(check for check in checks if check.what == "compression with bending")
    assert bent.ratio == float("inf")
    assert "reaches FcE2" in bent.reason


def test_plies_share_the_force_and_buckle_alone() -> None:
    one = of(reviewed(truss(), {"D+S": {STRUT: axial(-1500.0)}}), STRUT, "compression with buckling")[0]
    roof = truss(web=replace(WEB, plies=2, gap=1.5, joined="nailed"))
    two = of(reviewed(roof, {"D+S": {STRUT: axial(-3000.0)}}), STRUT, "compression with buckling")[0]
    assert two.ratio == pytest.approx(one.ratio)
    assert "2 plies taken as leaves that share the load and each buckle alone" in two.remarks
    glued = truss(web=replace(WEB, plies=2, joined="glued"))
    whole = of(reviewed(glued, {"D+S": {STRUT: axial(-3000.0)}}), STRUT, "compression with buckling")[0]
    assert (whole.ratio or 0.0) < (two.ratio or 0.0)


def test_bending_and_shear() -> None:
    moment = 1000 * 1.15 * 1.1 * 2.625 * 9.5**2 / 6
    for share, verdict in ((0.999, "met"), (1.001, "not met")):
        checks = of(reviewed(truss(), {"D+S": {LEFT: axial(0.0, moment=moment * share)}}), LEFT)
        assert [check.verdict for check in checks] == [verdict]
    shear = 180 * 1.15 * 2.625 * 9.5 / 1.5
    for share, verdict in ((0.999, "met"), (1.001, "not met")):
        [check] = of(reviewed(truss(), {"D+S": {BOTTOM: axial(0.0, shear=shear * share)}}), BOTTOM)
        assert (check.what, check.verdict) == ("shear", verdict)


def test_tension_with_bending() -> None:
    checks = of(reviewed(truss(), {"D+S": {BOTTOM: axial(12000.0, moment=20000.0)}}), BOTTOM, "tension with")
    edge, other = sorted(checks, key=lambda check: check.clause)
    expected = 12000 / (2.625 * 9.5) / (675 * 1.15 * 1.1) + 20000 * 6 / (2.625 * 9.5**2) / (1000 * 1.15 * 1.1)
    assert edge.ratio == pytest.approx(expected)
    assert (other.clause, other.verdict) == ("NDS-2018 3.9.1 eq. 3.9-2", "not evaluated")
    held = replace(SAID, lateral={MemberId("bottom"): 0.0})
    [_, closed] = sorted(
        of(reviewed(truss(), {"D+S": {BOTTOM: axial(12000.0, moment=50000.0)}}, held), BOTTOM, "tension with"),
        key=lambda check: check.clause,
    )
    assert closed.ratio == pytest.approx(
        (50000 * 6 / (2.625 * 9.5**2) - 12000 / (2.625 * 9.5)) / (1000 * 1.15 * 1.1)
    )


@pytest.mark.parametrize(
    ("material", "says"),
    [
        (replace(DFL, species=None), "the species is not given"),
        (replace(DFL, grade=None), "the grade is not given"),
        (replace(DFL, kind=None), "the material or its kind is not given"),
        (replace(DFL, kind="other"), "kind other is no timber"),
        (replace(DFL, grade="Utility"), "unknown-grade at Douglas Fir-Larch Utility"),
        (replace(DFL, size_class="posts-and-timbers"), "size-class-mismatch"),
        (replace(DFL, species=None, reference={"Ft": 500.0}), "reference values are stated without a size class"),
    ],
)
def test_a_member_that_cannot_be_checked_says_what_to_enter(material: Material, says: str) -> None:
    checks = reviewed(truss(material=material), {"D+S": {BOTTOM: axial(12000.0)}})
    [member] = of(checks, "/members/bottom")
    assert (member.verdict, member.demand, member.unit, member.run) == ("not evaluated", 12000.0, "lbf", "D+S")
    assert says in member.reason
    assert not of(checks, BOTTOM)


def test_a_section_that_is_only_an_area_is_open() -> None:
    checks = reviewed(truss(chord=Section(area=20.0)), {"D+S": {BOTTOM: axial(12000.0)}})
    assert "width and depth of one ply are not given" in of(checks, "/members/bottom")[0].reason


def test_the_users_own_values_go_first_and_carry_their_source() -> None:
    own = replace(DFL, reference={"Ft": 337.5}, source="graded in place")
    table = of(reviewed(truss(), {"D+S": {BOTTOM: axial(12000.0)}}), BOTTOM)[0]
    [tie] = of(reviewed(truss(material=own), {"D+S": {BOTTOM: axial(12000.0)}}), BOTTOM)
    assert tie.ratio == pytest.approx(2 * (table.ratio or 0.0))
    assert any(line.source.startswith("graded in place") for line in tie.derivation.lines)


def test_a_value_that_nobody_gave_leaves_its_check_open() -> None:
    material = Material(kind="sawn", size_class="in place", reference={"Ft": 500.0}, source="tested")
    checks = reviewed(truss(material=material), {"D+S": {BOTTOM: axial(12000.0), LEFT: axial(-9.0)}})
    assert of(checks, BOTTOM)[0].verdict == "met"
    [open_check] = of(checks, LEFT)
    assert open_check.verdict == "not evaluated"
    assert "Fc is not given by stated values" in open_check.reason


def test_a_stamp_counts_with_what_later_practice_made_of_it() -> None:
    stamped = Material(kind="sawn", species="Douglas Fir-Larch", grade="1200f")
    [tie] = of(reviewed(truss(material=stamped), {"D+S": {BOTTOM: axial(12000.0)}}), BOTTOM)
    assert tie.capacity == pytest.approx(660 * 1.15)
    assert (
        "stamp 1200f: tension was 1200 psi in its day; later practice made it 660 psi, which is used"
        in tie.remarks
    )


def test_what_the_document_does_not_say_is_said_beside_every_ratio() -> None:
    said = of(reviewed(truss(), {"D+S": {BOTTOM: axial(12000.0)}}), BOTTOM)[0]
    unsaid = of(reviewed(truss(), {"D+S": {BOTTOM: axial(12000.0)}}, None), BOTTOM)[0]
    assert "taken as dry and never over 100 F: the document does not say" in unsaid.remarks
    assert not any("taken as dry" in remark for remark in said.remarks)


def test_joints_show_the_force_that_their_connection_must_carry() -> None:
    checks = reviewed(truss(), {"D": {}, "D+S": {BOTTOM: axial(12000.0), LEFT: axial(-15000.0)}})
    [heel] = of(checks, "/joints/B0")
    assert (heel.what, heel.verdict, heel.demand, heel.run) == ("connection", "not evaluated", 15000.0, "D+S")
    assert heel.reason.startswith("no connections are in the document: enter what fastens this joint")
    assert len([check for check in checks if check.what == "connection"]) == 4


def test_a_rod_of_steel_needs_its_allowable_and_no_compression() -> None:
    roof = truss()
    steel = replace(
        roof,
        members={**roof.members, MemberId("web"): stick("B1", "T1", role="web", section="rod", material="iron")},
        sections={**roof.sections, SectionId("rod"): Section(area=0.5)},
        materials={**roof.materials, MaterialId("iron"): Material(kind="steel")},
    )
    [open_rod] = of(reviewed(steel, {"D+S": {STRUT: axial(5000.0)}}), STRUT)
    assert (open_rod.verdict, open_rod.demand) == ("not evaluated", 10000.0)
    known = replace(
        steel, materials={**steel.materials, MaterialId("iron"): Material(kind="steel", reference={"Ft": 10000.0})}
    )
    assert of(reviewed(known, {"D+S": {STRUT: axial(5000.0)}}), STRUT)[0].verdict == "met"
    assert of(reviewed(known, {"D+S": {STRUT: axial(5001.0)}}), STRUT)[0].verdict == "not met"
    assert of(reviewed(known, {"D+S": {STRUT: axial(-1.0)}}), STRUT)[0].verdict == "not met"
    assert of(reviewed(known, {"D+S": {STRUT: axial(-1e-9)}}), STRUT)[0].verdict == "met"


def test_a_curved_stick_says_that_its_curvature_is_open() -> None:
    roof = truss()
    curved = replace(roof.members[MemberId("left")], curve=Curve(radius=400.0, bows="up"))
    bent = replace(roof, members={**roof.members, MemberId("left"): curved})
    [open_check] = of(reviewed(bent, {"D+S": {LEFT: axial(-100.0)}}), "/members/left")
    assert open_check.what == "curvature"
    assert open_check.verdict == "not evaluated"


def test_a_purlin_point_holds_nothing_in_the_plane() -> None:
    roof = truss()
    joints = {**roof.joints, JointId("P"): replace(roof.joints[JointId("B0")], x=48.0, y=30.0)}
    chord = stick("B0", "P", "T1", role="top-chord", section="chord")
    longer = replace(roof, joints=joints, members={**roof.members, MemberId("left"): chord})
    [slender] = of(reviewed(longer, {"D+S": {"left:B0-P": axial(-100.0)}}), "left:B0-P", "slenderness")
    assert slender.demand == pytest.approx(hypot(96, 60) / 9.5)


def test_worst_first_and_open_before_met() -> None:
    checks = reviewed(truss(), {"D": {BOTTOM: axial(1.0)}, "D+S": {BOTTOM: axial(1e5), LEFT: axial(1e6)}})
    ranks = [{"not met": 0, "not evaluated": 1, "met": 2}[check.verdict] for check in checks]
    assert ranks == sorted(ranks)
    assert checks[0].element == LEFT
    ratios = [check.ratio for check in checks if check.ratio is not None and check.ratio > 1]
    assert ratios == sorted(ratios, reverse=True)
    worst = governing(checks)
    assert [check.run for check in of(worst, BOTTOM)] == ["D+S"]


def test_us_and_si_give_the_same_ratios() -> None:
    own = replace(DFL, reference={"Ft": 500.0}, source="graded in place")
    for material in (DFL, own):
        roof = truss(material=material)
        forces = results(
            roof,
            {"D+S": {BOTTOM: axial(12000.0, 8000.0, 900.0), LEFT: axial(-9000.0, 5000.0), STRUT: axial(-900.0)}},
        )
        si = replace(SAID, lateral={name: length * 25.4 for name, length in SAID.lateral.items()})
        in_us, in_si = review(roof, forces, SAID), review(metric(roof), metric_results(forces), si)
        assert [(check.element, check.what, check.run) for check in in_us] == [
            (check.element, check.what, check.run) for check in in_si
        ]
        assert [check.ratio for check in in_us if check.ratio is not None] == pytest.approx(
            [check.ratio for check in in_si if check.ratio is not None], rel=1e-9
        )
