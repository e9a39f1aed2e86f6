"""Faces, heels, butts and anchors between sticks of European strength classes, worked out by hand.

Equations 6.3, 6.16, 6.17 and the 30 mm of 6.1.5 are from memory; no published example was found.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, inf, radians, sin

import pytest

from tests.timber.roof import BOTTOM, LEFT, STRUT, axial, results, stick, truss
from tests.timber.test_european_fastened import SAID
from trussio.errors import UsageError
from trussio.model.check import Check
from trussio.model.connection import Connection, EndBearing, Fasteners, Notch, Piece, Seat
from trussio.model.forces import SegmentForces
from trussio.model.loading import LoadCase, RunId
from trussio.model.material import Material, Section
from trussio.model.tendon import Point, Tendon, TendonLoad
from trussio.model.truss import JointId, MaterialId, MemberId, SectionId, Truss
from trussio.timber.eurocode import Product
from trussio.timber.eurocode_details import bearing_factor
from trussio.timber.review import review

FC90, FC0, FV = (0.9 / 1.3 * value for value in (2.5, 21.0, 4.0))
BOTTOM_PLY, WEB_PLY = Piece(member=MemberId("bottom")), Piece(member=MemberId("web"))
FACE = Connection(
    joint=JointId("B1"), pieces=(BOTTOM_PLY, WEB_PLY), seat=Seat(length=150.0, width=50.0), evidence="seen"
)


def roof(connection: Connection, *, factored: bool = True) -> Truss:
    made = truss(
        material=Material(kind="sawn", species="spruce", grade="C24"),
        chord=Section(width=50.0, depth=200.0),
        web=Section(width=50.0, depth=150.0),
        combinations={"U": {"D": 1.35, "S": 1.5} if factored else {"D": 1.0, "S": 1.0}},
    )
    return replace(made, units="si", connections={"c": connection})


def checks(connection: Connection, forces: dict[str, SegmentForces], *, factored: bool = True) -> dict[str, Check]:
    made = roof(connection, factored=factored)
    found = review(made, results(made, {"U": forces}), SAID)
    return {check.what: check for check in found if check.element == "/connections/c"}


def pushed(force: float, connection: Connection = FACE) -> dict[str, Check]:
    return checks(connection, {STRUT: axial(force)})


def test_a_web_bears_on_a_contact_that_spreads_and_on_its_own_end() -> None:
    """150 mm and 30 mm each way of the chord that runs through; the web along its own grain."""
    found = pushed(-9000.0)
    across, own = found["bearing across the grain"], found["bearing at an angle to the grain"]
    assert across.demand == pytest.approx(9000 / (210 * 50))
    assert across.capacity == pytest.approx(FC90)
    assert own.demand == pytest.approx(9000 / (150 * 50))
    assert own.capacity == pytest.approx(FC0)
    assert across.unit == own.unit == "MPa"
    assert not any("dry" in remark for remark in across.remarks)


@pytest.mark.parametrize(("share", "verdict"), [(1.0, "met"), (1.001, "not met")])
def test_a_face_is_met_up_to_its_strength(share: float, verdict: str) -> None:
    assert pushed(-FC90 * 210 * 50 * share * (1 - 1e-9))["bearing across the grain"].verdict == verdict


def test_a_seat_that_is_pulled_carries_nothing_unless_it_is_fastened() -> None:
    pulled = pushed(500.0)["a seat that is pulled"]
    assert (pulled.ratio, pulled.demand, pulled.unit) == (inf, 500.0, "N")
    held = FACE._replace(fasteners=Fasteners(kind="bolt", diameter=16.0, count=1, Fu=400.0))
    assert "a seat that is pulled" not in pushed(500.0, held)


def test_a_sloping_push_bears_at_its_angle_and_slides() -> None:
    heel = FACE._replace(joint=JointId("B0"), pieces=(BOTTOM_PLY, Piece(member=MemberId("left"))))
    found = checks(heel, {LEFT: axial(-6000.0)})
    slope = atan2(60, 96)
    square = 6000 * sin(slope)
    assert found["bearing across the grain"].demand == pytest.approx(square / (180 * 50))  # chord ends: 30 mm once
    own = found["bearing at an angle to the grain"]
    off = radians(90) - slope
    assert own.capacity == pytest.approx(FC0 / (FC0 / FC90 * sin(off) ** 2 + cos(off) ** 2), rel=1e-6)
    slides = found["sliding along the face"]
    assert slides.verdict == "not evaluated"
    assert slides.demand == pytest.approx(6000 * cos(slope))
    notched = heel._replace(notch=Notch(depth=30.0, relish=200.0))
    assert "sliding along the face" not in checks(notched, {LEFT: axial(-6000.0)})


def test_a_notched_heel() -> None:
    heel = Connection(
        joint=JointId("B0"),
        pieces=(BOTTOM_PLY, Piece(member=MemberId("left"))),
        notch=Notch(depth=40.0, relish=400.0),
        evidence="seen",
    )
    found = checks(heel, {LEFT: axial(-12000.0)})
    slope = atan2(60, 96)
    thrust, left = 12000 * cos(slope), 160.0
    face = found["bearing at an angle to the grain"]
    assert face.demand == pytest.approx(12000 * cos(slope) / (50 * 40))
    assert face.capacity == pytest.approx(FC0 / (FC0 / FC90 * sin(slope) ** 2 + cos(slope) ** 2), rel=1e-6)
    relish = found["shear of the relish beyond a notch"]
    assert relish.demand == pytest.approx(thrust / (50 * 320))  # 8 x 40 mm of the 400 count
    assert relish.capacity == pytest.approx(FV)
    under = found["tie under the notch, tension with bending"]
    ft0d, fmd = 0.9 / 1.3 * 14.5, 0.9 / 1.3 * 24.0
    assert under.ratio == pytest.approx(thrust / (50 * left) / ft0d + thrust * 20 * 6 / (50 * left**2) / fmd)
    assert checks(heel, {LEFT: axial(500.0)})["a seat that is pulled"].ratio == inf


def test_a_rod_pulls_its_washer_onto_the_chord() -> None:
    """A washer of 100 x 50 less a rod of 300 mm2: three times fc,90,d."""
    washer = FACE._replace(seat=Seat(length=100.0, width=50.0, washer=True))
    made = roof(washer)
    members = {**made.members, MemberId("web"): stick("B1", "T1", role="web", section="rod", material="steel")}
    made = replace(
        made,
        members=members,
        sections={**made.sections, SectionId("rod"): Section(area=300.0, inertia=7000.0)},
        materials={**made.materials, MaterialId("steel"): Material(kind="steel", E=2e5, reference={"Ft": 140.0})},
    )

    def under(force: float) -> list[Check]:
        found = review(made, results(made, {"U": {STRUT: axial(force)}}), SAID)
        return [check for check in found if check.element == "/connections/c"]

    [check] = under(10000.0)
    assert (check.what, check.clause) == ("bearing under the washer", "EN 1995-1-1 8.5.2")
    assert check.demand == pytest.approx(10000 / 4700)
    assert check.capacity == pytest.approx(3 * FC90)
    [slack] = under(-100.0)
    assert "goes slack" in slack.reason


def test_without_partial_factors_a_face_is_open() -> None:
    check = checks(FACE, {STRUT: axial(-100.0)}, factored=False)["bearing across the grain"]
    assert check.verdict == "not evaluated"
    assert check.remarks[-1].startswith("with the factors as written: ")


def test_ends_that_touch() -> None:
    """Compression on 50 x 200 where tight, open where nobody found it, nothing in tension."""
    butt = Connection(joint=JointId("T1"), pieces=(Piece(member=MemberId("left")),), butt=EndBearing(tight=True))
    tight = checks(butt, {LEFT: axial(-21000.0)})["end grain bearing"]
    assert tight.demand == pytest.approx(2.1)
    assert tight.capacity == pytest.approx(FC0)
    loose = checks(butt._replace(butt=EndBearing()), {LEFT: axial(-21000.0)})["end grain bearing"]
    assert loose.verdict == "not evaluated"
    assert loose.demand == pytest.approx(21000.0)
    assert checks(butt, {LEFT: axial(100.0)})["tension at a butt"].ratio == inf


def test_the_wood_under_an_anchor() -> None:
    """8000 mm2 of end grain under 100 kN; the permanent class counts 0.6."""
    made = truss(
        material=Material(kind="sawn", species="spruce", grade="C24"),
        chord=Section(width=100.0, depth=200.0),
        combinations={"U": {"D": 1.35, "PT": 1.2}},
        cases={"D": "dead", "PT": "post-tension"},
    )
    tendon = Tendon(
        path=(
            Point(joint=JointId("B0"), bears_on=MemberId("bottom"), bearing=8000.0),
            Point(joint=JointId("B2"), bears_on=MemberId("right"), bearing=8000.0),
        ),
        area=150.0,
        steel="strand",
        fu=1860.0,
    )
    case = LoadCase(kind="post-tension", loads=(TendonLoad(tendon="t", force=1e5),))
    loads = replace(made.loads, cases={**made.loads.cases, RunId("PT"): case})
    made = replace(made, units="si", tendons={"t": tendon}, loads=loads)
    known = results(made, {"U": {}})
    runs = {run: replace(forces, tendons={"t": (1e5,)}) for run, forces in known.runs.items()}
    found = {check.what: check for check in review(made, replace(known, runs=runs), SAID)}
    square = found["bearing under the anchor at B0"]
    assert square.demand == pytest.approx(1e5 / 8000)
    assert square.capacity == pytest.approx(0.6 * 21 / 1.3)
    sloped, slope = found["bearing under the anchor at B2"], atan2(60, 96)
    p, q = 0.6 * 21 / 1.3, 0.6 * 2.5 / 1.3
    assert sloped.capacity == pytest.approx(p / (p / q * sin(slope) ** 2 + cos(slope) ** 2), rel=1e-6)
    assert sloped.clause == "EN 1995-1-1 6.2.2 (6.16)"


@pytest.mark.parametrize(
    ("product", "support", "clear", "length", "kc90"),
    [
        ("solid", "continuous", 400.0, 100.0, 1.25),
        ("solid", "discrete", 400.0, 100.0, 1.5),
        ("glulam", "continuous", 400.0, 100.0, 1.5),
        ("glulam", "discrete", 400.0, 400.0, 1.75),
        ("glulam", "discrete", 400.0, 401.0, 1.0),
        ("solid", "discrete", 399.0, 100.0, 1.0),
    ],
)
def test_what_presses_near_by_decides_kc90(
    product: Product, support: str, clear: float, length: float, kc90: float
) -> None:
    """6.1.5(3) and (4), from memory: twice the depth of 200 mm to the next load."""
    found = bearing_factor(product=product, support=support, clear=clear, depth=200.0, length=length)
    assert found.value == kc90


def test_a_support_of_no_kind_is_refused() -> None:
    with pytest.raises(UsageError, match="'point' is not known"):
        bearing_factor(product="solid", support="point", clear=400.0, depth=200.0, length=100.0)


def test_the_bottom_chord_goes_by_its_own_code() -> None:
    """A chord of the NDS under a web of C24 is named, not guessed."""
    made = roof(FACE)
    fir = Material(kind="sawn", species="Douglas Fir-Larch", grade="No. 1", E=11700.0)
    members = {
        **made.members,
        MemberId("bottom"): replace(made.members[MemberId("bottom")], material=MaterialId("f")),
    }
    made = replace(made, members=members, materials={**made.materials, MaterialId("f"): fir})
    found = review(made, results(made, {"U": {STRUT: axial(-900.0), BOTTOM: axial(1.0)}}), SAID)
    [check] = [one for one in found if one.element == "/connections/c"]
    assert check.verdict == "not evaluated"
    assert "State values of one code for all sticks" in check.reason
