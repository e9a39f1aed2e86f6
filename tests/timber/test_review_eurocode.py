"""The review of a document that names a European class: factored runs alone are evaluated."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.timber.roof import BOTTOM, LEFT, STRUT, axial, metric, results, truss
from trussio.model.check import Check
from trussio.model.condition import Worn
from trussio.model.forces import SegmentForces
from trussio.model.material import Material, Section
from trussio.model.truss import MemberId, SectionId, Truss
from trussio.timber.bench import Conditions
from trussio.timber.review import review

C24 = Material(kind="sawn", species="Pinus sylvestris", grade="C24")
CLASS_2 = Conditions(service_class=2)


def roof(material: Material = C24, factors: tuple[float, float] = (1.35, 1.5)) -> Truss:
    made = metric(truss(material=material, combinations={"D+S": {"D": factors[0], "S": factors[1]}}))
    sections = {
        SectionId("chord"): Section(width=75.0, depth=225.0),
        SectionId("web"): Section(width=100.0, depth=100.0),
    }
    return replace(made, sections=sections)


def reviewed(
    made: Truss, forces: dict[str, SegmentForces], given: Conditions | None = CLASS_2
) -> tuple[Check, ...]:
    return review(made, results(made, {"D+S": forces}), given)


def of(checks: tuple[Check, ...], element: str, what: str = "") -> list[Check]:
    return [check for check in checks if check.element == element and check.what.startswith(what)]


FT0D = 0.9 * 14.5 / 1.3


@pytest.mark.parametrize(("share", "verdict"), [(0.999, "met"), (1.001, "not met")])
def test_a_tie(share: float, verdict: str) -> None:
    checks = reviewed(roof(), {BOTTOM: axial(FT0D * 75 * 225 * share)})
    [tie] = of(checks, BOTTOM, "tension on")
    assert (tie.verdict, tie.unit) == (verdict, "MPa")


def test_what_is_left_of_a_worn_tie_has_the_size_factor_of_the_whole() -> None:
    """75 x 225 worn to 75 x 100: kh of 100 mm would be 1.08, and the whole piece has 1."""
    made = roof()
    stretch = Worn(start=500.0, end=900.0, section=Section(width=75.0, depth=100.0), shift=0.0)
    chord = replace(made.members[MemberId("bottom")], worn=(stretch,))
    made = replace(made, members={**made.members, MemberId("bottom"): chord})
    [tie] = of(reviewed(made, {BOTTOM: axial(50000.0)}), BOTTOM, "tension on")
    assert tie.ratio == pytest.approx(50000 / (75 * 100) / FT0D)


def test_a_run_without_partial_factors_is_open_unless_it_fails_even_so() -> None:
    made = roof(factors=(1.0, 1.0))
    [fine] = of(reviewed(made, {BOTTOM: axial(FT0D * 75 * 225 * 0.5)}), BOTTOM, "tension on")
    assert (fine.verdict, fine.capacity) == ("not evaluated", None)
    assert fine.reason == (
        "enter a combination with the partial factors of the loads, such as 1.35 dead and 1.5 snow"
    )
    assert fine.remarks[-1] == "with the factors as written: 0.50"
    [over] = of(reviewed(made, {BOTTOM: axial(FT0D * 75 * 225 * 1.1)}), BOTTOM, "tension on")
    assert over.verdict == "not met"


def test_bracing_that_nobody_gave() -> None:
    checks = of(reviewed(roof(), {LEFT: axial(-50000.0)}), LEFT)
    assert {check.what for check in checks} == {
        "compression with buckling, held across the plane",
        "compression with bending, in depth, held across the plane",
        "compression with bending, across, held across the plane",
        "compression across the truss plane",
    }
    [across] = [check for check in checks if check.what == "compression across the truss plane"]
    assert across.verdict == "not evaluated"
    assert across.remarks[-1].startswith("if every panel point were held: ")


def test_bracing_that_was_stated() -> None:
    given = replace(CLASS_2, lateral={MemberId("left"): 1000.0})
    checks = of(reviewed(roof(), {LEFT: axial(-50000.0, moment=1e6)}, given), LEFT)
    assert {check.what for check in checks} == {
        "compression with buckling",
        "compression with bending, in depth",
        "compression with bending, across",
        "lateral buckling",
    }
    assert all(check.verdict == "met" for check in checks)


def test_a_web_buckles_over_its_length() -> None:
    checks = of(reviewed(roof(), {STRUT: axial(-300000.0)}), STRUT)
    assert any(check.verdict == "not met" for check in checks)


def test_shear_and_bending() -> None:
    checks = of(reviewed(roof(), {LEFT: axial(0.0, moment=1e6, shear=1e6)}), LEFT)
    assert {check.what: check.verdict for check in checks} == {
        "bending": "met",
        "lateral buckling": "not evaluated",
        "shear": "not met",
    }


def test_the_service_class_that_nobody_gave_is_said() -> None:
    [tie] = of(reviewed(roof(), {BOTTOM: axial(1000.0)}, None), BOTTOM, "tension on")
    assert "taken as service class 2: the document does not say" in tie.remarks


@pytest.mark.parametrize(
    ("material", "says"),
    [
        (replace(C24, kind="other"), "kind other is no timber"),
        (replace(C24, grade=None, reference={"fmk": 20.0}), "unknown-grade at no grade"),
    ],
)
def test_a_member_that_cannot_be_checked(material: Material, says: str) -> None:
    [member] = of(reviewed(roof(material), {BOTTOM: axial(1000.0)}), "/members/bottom")
    assert says in member.reason
    assert (member.demand, member.unit) == (1000.0, "N")


def test_characteristic_values_of_the_user_go_first() -> None:
    own = replace(C24, reference={"ft0k": 7.25}, source="tested")
    made = replace(roof(), materials=dict.fromkeys(roof().materials, own))
    table = of(reviewed(roof(), {BOTTOM: axial(1000.0)}), BOTTOM, "tension on")[0]
    [tie] = of(reviewed(made, {BOTTOM: axial(1000.0)}), BOTTOM, "tension on")
    assert tie.ratio == pytest.approx(2 * (table.ratio or 0.0))
    assert any(line.source.startswith("tested") for line in tie.derivation.lines)
