"""From the document to the clause: shares of plies, lengths, axes and values of one segment."""

from __future__ import annotations

from dataclasses import replace
from math import asin, hypot

import pytest

from tests.timber.roof import DFL, LEFT, STRUT, axial, metric, results, truss
from trussio.model.check import Check
from trussio.model.forces import SegmentForces
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, MemberId, SectionId, SegmentId, Truss
from trussio.timber import adjustment, stability
from trussio.timber.bench import Conditions, ply_forces
from trussio.timber.lengths import segment_lengths
from trussio.timber.review import review

FORCES = SegmentForces(
    axial=-100.0,
    axial_ends=(-160.0, 40.0),
    shear=(-20.0, 50.0),
    moment=(-700.0, 300.0),
    moment_peak=500.0,
    moment_peak_at=10.0,
)


def test_the_worst_end_of_every_force_counts() -> None:
    ply = ply_forces(FORCES, 2, 1.0, 1.0)
    assert (ply.least, ply.greatest, ply.moment, ply.shear) == (-80.0, 20.0, 350.0, 25.0)
    turned = FORCES._replace(axial_ends=(40.0, -160.0), shear=(50.0, -20.0), moment=(300.0, -700.0))
    assert ply_forces(turned, 2, 1.0, 1.0) == ply


def test_force_and_length_are_converted_apart() -> None:
    ply = ply_forces(FORCES, 1, 2.0, 3.0)
    assert (ply.least, ply.moment, ply.shear) == (-320.0, 4200.0, 100.0)


def test_a_curved_stick_is_as_long_as_its_arc() -> None:
    roof = truss()
    chord = hypot(96, 60)
    curved = replace(roof.members[MemberId("left")], curve=Curve(radius=100.0, bows="up"))
    size = segment_lengths(replace(roof, members={**roof.members, MemberId("left"): curved}))[SegmentId(LEFT)]
    assert size.panel == size.in_plane == size.stick == pytest.approx(200 * asin(chord / 200))


def one(roof: Truss, forces: SegmentForces, what: str, across: float, element: str = LEFT) -> Check:
    """One check of one segment with its bracing stated."""
    given = Conditions(
        wet=False,
        temperature=70.0,
        service_class=2,
        lateral={MemberId("left"): across, MemberId("web"): across},
    )
    checks = review(roof, results(roof, {"D+S": {element: forces}}), given)
    return next(check for check in checks if check.element == element and check.what == what)


def test_stacked_leaves_glued_are_one_deep_piece() -> None:
    glued = truss(chord=Section(width=2.625, depth=3.0, plies=3, arranged="stacked", joined="glued"))
    whole = truss(chord=Section(width=2.625, depth=9.0))
    loose = truss(chord=Section(width=2.625, depth=3.0, plies=3, arranged="stacked"))
    force = axial(-5000.0, moment=9000.0)
    ratios = [one(roof, force, "compression with bending", 0.0).ratio or 0.0 for roof in (glued, whole, loose)]
    assert ratios[0] == pytest.approx(ratios[1])
    assert ratios[2] > ratios[0]


def test_a_ply_lying_flat_takes_flat_use() -> None:
    roof = truss(chord=Section(width=9.25, depth=1.5))
    check = one(roof, axial(0.0, moment=1000.0), "bending", 0.0)
    assert check.demand == pytest.approx(1000 * 6 / (9.25 * 1.5**2))
    assert check.capacity == pytest.approx(1000 * 1.15 * 1.1 * 1.2)


GLULAM = Material(kind="glulam", species="DF/DF", grade="24F-V4")


@pytest.mark.parametrize(
    ("across", "governs"), [pytest.param(0.0, "CV", id="held"), pytest.param(800.0, "CL", id="far between")]
)
def test_glulam_takes_the_lesser_of_volume_and_stability(across: float, governs: str) -> None:
    roof = truss(material=GLULAM, chord=Section(width=5.125, depth=42.0))
    check = one(roof, axial(0.0, moment=1000.0), "bending", across)
    stick = hypot(96, 60)
    CV = adjustment.volume_factor(length=stick, depth=42.0, width=5.125, southern_pine=False).value
    le = stability.beam_length(across, 42.0, "any")
    FbE = stability.beam_buckling_stress(850000.0, stability.beam_slenderness(le, depth=42.0, width=5.125))
    CL = 1.0 if across == 0.0 else stability.beam_stability(Fb_star=2400 * 1.15, FbE=FbE).value
    assert (CV < CL) == (governs == "CV")
    assert check.capacity == pytest.approx(2400 * 1.15 * min(CV, CL))


def test_glulam_buckles_across_with_the_modulus_of_that_axis() -> None:
    roof = truss(material=GLULAM, chord=Section(width=5.125, depth=12.0))
    check = one(roof, axial(-5000.0), "compression with buckling", 200.0)
    FcE = stability.euler_stress(850000.0, 200 / 5.125)
    CP = stability.column_stability(Fc_star=1650 * 1.15, FcE=FcE, c=0.9).value
    assert check.capacity == pytest.approx(1650 * 1.15 * CP)


def test_glulam_on_the_flat_bends_about_the_other_axis() -> None:
    roof = truss(material=GLULAM, chord=Section(width=12.0, depth=5.125))
    check = one(roof, axial(0.0, moment=1000.0), "bending", 0.0)
    assert check.capacity == pytest.approx(1450 * 1.15 * (12 / 5.125) ** (1 / 9))


def test_the_greater_side_counts_for_european_tension() -> None:
    made = metric(truss(material=Material(kind="sawn", grade="C24"), combinations={"D+S": {"D": 1.35, "S": 1.5}}))
    roof = replace(
        made,
        sections={
            SectionId("chord"): Section(width=140.0, depth=70.0),
            SectionId("web"): Section(width=100.0, depth=100.0),
        },
    )
    check = one(roof, axial(1000.0), "tension on the gross section", 0.0)
    assert check.capacity == pytest.approx(0.9 * 14.5 / 1.3 * (150 / 140) ** 0.2)


def test_a_web_whose_bracing_is_stated_says_nothing_of_its_ends() -> None:
    check = one(truss(material=DFL), axial(-900.0), "compression with buckling", 30.0, STRUT)
    assert not any("taken as held" in remark for remark in check.remarks)
    assert check.remarks[-1] == "buckling across the truss plane governs, le/d 20.0"
