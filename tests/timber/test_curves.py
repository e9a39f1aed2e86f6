"""Curved sticks in the review: Cc on bending, stress across the grain, and what stays open and why."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.timber.roof import LEFT, axial, results, truss
from trussio.model.check import Check
from trussio.model.connection import Laminations
from trussio.model.forces import SegmentForces
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, MemberId, Truss
from trussio.timber.bench import Conditions
from trussio.timber.review import review

GLULAM = Material(kind="glulam", grade="24F-V4", E=1.8e6, reference={"Fc_perp_y": 560.0}, source="stated")
SAID = Conditions(wet=False, temperature=70.0, lateral={MemberId("left"): 0.0})
NAME = MemberId("left")


def curved(
    laminations: Laminations | None,
    *,
    radius: float = 400.0,
    bows: str = "up",
    material: Material = GLULAM,
) -> Truss:
    roof = truss(material=material, chord=Section(width=5.125, depth=12.0))
    made = replace(
        roof.members[NAME],
        curve=Curve(radius=radius, bows="up" if bows == "up" else "down"),
        laminations=laminations,
    )
    return replace(roof, members={**roof.members, NAME: made})


def of(roof: Truss, forces: SegmentForces, element: str = LEFT) -> dict[str, Check]:
    checks = review(roof, results(roof, {"D+S": {LEFT: forces}}), SAID)
    return {check.what: check for check in checks if check.element == element}


BENT = Laminations(bent=True, thickness=0.75)


@pytest.mark.parametrize(
    ("laminations", "material", "says"),
    [
        (None, GLULAM, "nobody said how it was made"),
        (Laminations(bent=False), GLULAM, "it was sawn to its curve"),
        (Laminations(bent=True), GLULAM, "enter the thickness of one of its bent laminations"),
        (BENT, Material(kind="sawn", species="Hem-Fir", grade="No. 2"), "are not glued"),
        (BENT, Material(kind="glulam", grade="GL24h"), "use eurocode_details.curved_beam_checks"),
        (Laminations(bent=True, thickness=4.0), GLULAM, ", over 1/125"),
    ],
)
def test_why_a_curve_is_open(laminations: Laminations | None, material: Material, says: str) -> None:
    thick = material.kind == "sawn"
    roof = curved(laminations, material=material)
    if thick:
        roof = replace(roof, sections={name: Section(width=2.5, depth=9.25) for name in roof.sections})
    check = of(roof, axial(-100.0), "/members/left")["curvature"]
    assert check.verdict == "not evaluated"
    assert says in check.reason


def test_bent_laminations_take_their_part_of_bending() -> None:
    """Cc = 1 - 2000 (0.75 / 394)^2 on Fb, R that of the hollow side; CV by the stick's length."""
    roof = curved(BENT)
    assert "curvature" not in of(roof, axial(-100.0), "/members/left")
    bent = of(roof, axial(10.0, moment=50000.0))["tension with bending"]
    Cc = 1 - 2000 * (0.75 / 394) ** 2
    assert bent.derivation.figure("Cc") == pytest.approx(Cc)
    straight = replace(roof, members={**roof.members, NAME: replace(roof.members[NAME], curve=None)})
    whole = of(straight, axial(10.0, moment=50000.0))["tension with bending"]
    assert bent.derivation.figure("Fb* CV") == pytest.approx(Cc * whole.derivation.figure("Fb* CV"), rel=2e-4)


@pytest.mark.parametrize(("bows", "moment", "what"), [("up", 1.0, "tension"), ("up", -1.0, "compression")])
def test_a_moment_that_stretches_the_hollow_side_pulls_across(bows: str, moment: float, what: str) -> None:
    """The stick runs from left to right, so a positive moment stretches its lower, hollow side."""
    found = of(curved(BENT, bows=bows), axial(-10.0, moment=moment * 50000.0))
    check = found[f"radial {what}"]
    assert check.demand == pytest.approx(1.5 * 50000 / (400 * 5.125 * 12))
    assert check.capacity == pytest.approx(15 * 1.15 if what == "tension" else 560)
    other = {"tension": "compression", "compression": "tension"}[what]
    assert f"radial {other}" not in found
    turned = of(curved(BENT, bows="down"), axial(-10.0, moment=moment * 50000.0))
    assert f"radial {other}" in turned


def test_without_the_value_across_the_compression_stays_open() -> None:
    known = replace(GLULAM, grade="2", reference=None)
    check = of(curved(BENT, material=known), axial(-10.0, moment=-50000.0))["radial compression"]
    assert check.verdict == "not evaluated"
    assert "Fc_perp_y is not given" in check.reason
