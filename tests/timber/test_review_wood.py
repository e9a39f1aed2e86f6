"""The pieces round fasteners in the review: wood torn out, steel plates, shear where webs push across a chord."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.timber.roof import BOTTOM, CHORD, LEFT, STRUT, WEB, axial, results, truss
from tests.timber.test_review_connections import BOLT, FOOT, HEEL, SAID, of, reviewed, with_one
from trussio.model.check import Check
from trussio.model.connection import Connection, Piece
from trussio.model.truss import JointId, MemberId, Truss
from trussio.timber.review import review

FV = 180 * 1.15
FT = 675 * 1.15


def one(checks: tuple[Check, ...], what: str) -> Check:
    [found] = of(checks, what)
    return found


@pytest.mark.parametrize(("spacing", "critical"), [(3.0, 3.0), (6.0, 5.25)])
def test_rows_tear_out_over_the_lesser_of_end_and_spacing(spacing: float, critical: float) -> None:
    """Web 1-1/2 in, one row of two 3/4 in bolts, 5-1/4 in from the end: n Fv' t s (Appendix E.3)."""
    pair = FOOT._replace(fasteners=replace(BOLT, count=2, spacing=spacing))
    check = one(reviewed(with_one(pair), {STRUT: axial(1000.0)}), "row tear-out of web")
    assert check.capacity == pytest.approx(2 * FV * 1.5 * critical)
    assert check.demand == pytest.approx(1000.0)
    assert not of(reviewed(with_one(pair), {STRUT: axial(-1000.0)}), "row tear-out")


def test_a_group_tears_out_on_its_outer_rows_and_the_wood_between_them() -> None:
    """Half of two rows n Fv' t s, and Ft' on (gauge - 13/16) t; the web is 5-1/2 in wide, CF 1.3."""
    four = FOOT._replace(fasteners=replace(BOLT, count=4, rows=2, spacing=3.0, gauge=2.0))
    four = four._replace(pieces=(four.pieces[0], four.pieces[1]._replace(edge=1.75)))
    check = one(reviewed(with_one(four), {STRUT: axial(1000.0)}), "group tear-out of web")
    row = 2 * FV * 1.5 * 3.0
    assert check.capacity == pytest.approx(row + FT * 1.3 * (2.0 - 13 / 16) * 1.5)
    drilled = four._replace(fasteners=replace(four.fasteners or BOLT, hole=0.75))
    tight = one(reviewed(with_one(drilled), {STRUT: axial(1000.0)}), "group tear-out of web")
    assert tight.capacity == pytest.approx(row + FT * 1.3 * 1.25 * 1.5)


def test_a_lag_screw_tears_out_only_the_wood_that_it_reaches() -> None:
    """3/8 in, 5 in long, through 2-5/8 in: 2-3/8 in of it in the chord, which ends 5 in beyond."""
    heel = Connection(
        joint=JointId("B0"),
        pieces=(
            Piece(member=MemberId("left"), end=5.0, edge=4.0),
            Piece(member=MemberId("bottom"), end=5.0, edge=4.0),
        ),
        fasteners=replace(BOLT, kind="lag screw", diameter=0.375, length=5.0),
        evidence="seen",
    )
    check = one(reviewed(with_one(heel), {BOTTOM: axial(500.0)}), "row tear-out of bottom")
    assert check.capacity == pytest.approx(FV * (5.0 - 2.625) * 5.0)


def test_a_web_that_pushes_shears_the_chord_by_the_depth_to_its_bolt() -> None:
    """Bolt at 4 in from the lower edge, the web pushes down: de 4 in of 9-1/2, V beside the joint 700 lb."""
    low = FOOT.pieces[0]._replace(edge=None, upper_edge=5.5, lower_edge=4.0)
    connection = FOOT._replace(pieces=(low, FOOT.pieces[1]))
    forces = {STRUT: axial(-1200.0), BOTTOM: axial(5000.0, shear=700.0)}
    check = one(reviewed(with_one(connection), forces), "shear at the connection in bottom")
    assert check.demand == pytest.approx(700.0)
    near = 2 / 3 * FV * 2.625 * 4.0  # B1 lies 96 in from either end, over 5 x 9.5
    assert check.capacity == pytest.approx(near)
    pulled = one(reviewed(with_one(connection), {**forces, STRUT: axial(1200.0)}), "shear at the connection")
    assert pulled.capacity == pytest.approx(2 / 3 * FV * 2.625 * 5.5)


def test_near_the_end_of_a_stick_the_shear_falls_with_the_square() -> None:
    forces = {LEFT: axial(-3000.0), BOTTOM: axial(2500.0, shear=900.0)}
    check = one(reviewed(with_one(HEEL), forces), "shear at the connection in bottom")
    assert check.capacity == pytest.approx(2 / 3 * FV * 2.625 * 4.0 * (4.0 / 9.5) ** 2)
    assert check.clause == "NDS-2018 3.4.3.3(a)"


def test_where_others_stand_at_the_joint_all_that_crosses_counts() -> None:
    roof = with_one(FOOT)
    two = replace(roof, connections={"c": FOOT, "other": FOOT})
    forces = {STRUT: axial(-1200.0), BOTTOM: axial(5000.0, shear=100.0)}
    alone = one(reviewed(roof, forces), "shear at the connection in bottom")
    both = one(reviewed(two, forces), "shear at the connection in bottom")
    assert [alone.demand, both.demand] == pytest.approx([100.0, 1200.0])
    assert "as if all that this connection brings across the grain were shear of the stick" in both.remarks


def test_a_push_along_the_chord_shears_nothing() -> None:
    assert not of(reviewed(with_one(FOOT), {BOTTOM: axial(5000.0, shear=700.0)}), "shear at the connection")


STRAP = Piece(plate="steel", thickness=0.25, depth=3.0, Fu=58000.0, Fy=36000.0, end=1.5, edge=1.25)


def strapped(strap: Piece, force: float) -> tuple[Check, ...]:
    ridge = Piece(member=MemberId("left"), meets=MemberId("right"), end=5.25, edge=4.0)
    splice = Connection(joint=JointId("T1"), pieces=(strap, ridge, strap), fasteners=BOLT, evidence="seen")
    return reviewed(with_one(splice), {LEFT: axial(force), "right:T1-B2": axial(force)})


def test_steel_plates_have_their_own_net_section_yield_and_end() -> None:
    """Each of two plates takes half: 0.5 Fu (3 - 7/8) t, 0.6 Fy 3 t, 1.2 (1.5 - 13/32) t Fu / 2."""
    checks = strapped(STRAP, 8000.0)
    for what, capacity in (
        ("net section of the steel plate", 0.5 * 58000 * (3 - 0.875) * 0.25),
        ("yield of the steel plate", 0.6 * 36000 * 3 * 0.25),
        ("end of the steel plate", 0.5 * 58000 * 1.2 * (1.5 - 13 / 32) * 0.25),
    ):
        found = of(checks, what)
        assert [check.demand for check in found] == pytest.approx([4000.0] * 2)
        assert [check.capacity for check in found] == pytest.approx([capacity] * 2)


@pytest.mark.parametrize(
    ("strap", "what", "says"),
    [
        (STRAP._replace(Fy=None), "yield of the steel plate", "enter the yield strength Fy of the plate"),
        (STRAP._replace(depth=None), "net section of the steel plate", "enter the depth of the plate"),
        (STRAP._replace(end=None), "end of the steel plate", "enter the end distance of the plate"),
    ],
)
def test_what_is_not_known_of_a_plate_is_open_with_its_force(strap: Piece, what: str, says: str) -> None:
    for check in of(strapped(strap, 8000.0), what):
        assert check.verdict == "not evaluated"
        assert check.demand == pytest.approx(4000.0)
        assert says in check.reason


def test_a_compressed_plate_may_buckle_and_is_open() -> None:
    checks = strapped(STRAP, -8000.0)
    assert {check.verdict for check in of(checks, "buckling of the steel plate")} == {"not evaluated"}
    assert not of(checks, "net section of the steel plate")


RINGED = FOOT._replace(
    pieces=(FOOT.pieces[0], FOOT.pieces[1]._replace(end=6.0)),
    fasteners=replace(BOLT, kind="split ring", connector=2.5, diameter=0.5),
    evidence="detected",
)


def test_a_row_of_rings_shears_its_plugs_off_thick_wood_and_goes_through_thin() -> None:
    """2-1/2 in ring 3/8 in deep, 6 in from the end: half of Fv' on (2 x 3/8 + 2-1/2) 6; thin wood Fv' t 6."""
    for width, capacity in ((2.0, FV / 2 * 3.25 * 6.0), (1.5, FV * 1.5 * 6.0)):
        roof = truss(web=replace(WEB, width=width))
        check = one(reviewed(with_one(RINGED, roof), {STRUT: axial(1000.0)}), "row tear-out of web")
        assert check.capacity == pytest.approx(capacity)
        assert check.clause == "NDS-2018 E.7, E.4"
    assert not of(reviewed(with_one(RINGED), {STRUT: axial(-1000.0)}), "row tear-out")


def test_a_web_with_rings_on_both_faces_shears_two_plugs_each() -> None:
    """Web 3-1/2 in between two plies: both faces, so twice the plug; the whole thickness would give more."""
    roof = truss(chord=replace(CHORD, plies=2, gap=3.5), web=replace(WEB, width=3.5))
    ply = Piece(member=MemberId("bottom"), edge=4.0)
    both = RINGED._replace(pieces=(ply, RINGED.pieces[1], ply))
    check = one(reviewed(with_one(both, roof), {STRUT: axial(1000.0)}), "row tear-out of web")
    assert check.capacity == pytest.approx(2 * FV / 2 * 3.25 * 6.0)


def test_rows_of_rings_tear_out_as_a_group() -> None:
    """Two rows 3-1/2 in apart in a web 2 x 7-1/2: half of both rows and Ft' on the wood less one ring's."""
    roof = truss(web=replace(WEB, width=2.0, depth=7.25))
    four = RINGED._replace(
        fasteners=replace(RINGED.fasteners or BOLT, count=4, rows=2, spacing=6.75, gauge=3.5),
        pieces=(RINGED.pieces[0], RINGED.pieces[1]._replace(edge=1.875)),
    )
    check = one(reviewed(with_one(four, roof), {STRUT: axial(1000.0)}), "group tear-out of web")
    row = 2 * FV / 2 * 3.25 * 6.0
    taken = 1.10 + 0.5625 * (2.0 - 0.375)
    assert check.capacity == pytest.approx(row + FT * 1.2 * (3.5 * 2.0 - taken))
    asked = four._replace(fasteners=replace(four.fasteners or BOLT, gauge=None))
    [open_] = of(reviewed(with_one(asked, roof), {STRUT: axial(1000.0)}))
    assert open_.verdict == "not evaluated"
    assert "the spacing between rows is not given" in open_.reason


def test_wider_chords_of_two_plies_share_the_shear() -> None:
    roof: Truss = truss(chord=replace(CHORD, plies=2, gap=1.5))
    ply = Piece(member=MemberId("bottom"), edge=4.0)
    double = FOOT._replace(pieces=(ply, FOOT.pieces[1], ply))
    forces = results(roof, {"D+S": {STRUT: axial(-1200.0), BOTTOM: axial(5000.0, shear=700.0)}})
    found = of(review(with_one(double, roof), forces, SAID), "shear at the connection in bottom")
    assert {check.demand for check in found} == {350.0}
