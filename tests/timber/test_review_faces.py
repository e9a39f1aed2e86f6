"""Seats on faces, nuts of rods, notched heels, and supports whose seat nobody entered."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, degrees, hypot, inf, radians, sin

import pytest

from tests.timber.roof import BOTTOM, LEFT, STRUT, axial, results, stick, truss
from tests.timber.test_review_connections import BOLT, FOOT, SAID, of, reviewed, with_one
from trussio.model.check import Check
from trussio.model.connection import Connection, Notch, Piece, Seat, WallSeat
from trussio.model.forces import Reaction
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MaterialId, MemberId, SectionId, Support, Truss
from trussio.timber.review import review

BOTTOM_PLY, WEB_PLY = Piece(member=MemberId("bottom")), Piece(member=MemberId("web"))
FACE = Connection(
    joint=JointId("B1"), pieces=(BOTTOM_PLY, WEB_PLY), seat=Seat(length=5.5, width=1.5), evidence="seen"
)


def seat(force: float, connection: Connection = FACE) -> list[Check]:
    return of(reviewed(with_one(connection), {STRUT: axial(force)}))


def test_a_web_bears_across_the_grain_of_the_chord_and_on_its_own_end() -> None:
    """625 psi x Cb (5.5 + 3/8)/5.5 on 8-1/4 in2; the web along its own grain Fc 1500 x 1.15 x CF 1.1."""
    [across, along] = sorted(seat(-4000.0), key=lambda check: check.capacity or 0.0)
    assert across.what == "bearing across the grain"
    assert across.demand == pytest.approx(4000 / 8.25)
    assert across.capacity == pytest.approx(625 * (5.5 + 0.375) / 5.5)
    assert along.capacity == pytest.approx(1500 * 1.15 * 1.1)


@pytest.mark.parametrize(("share", "verdict"), [(1.0, "met"), (1.001, "not met")])
def test_a_seat_is_met_up_to_its_allowable(share: float, verdict: str) -> None:
    limit = 625 * (5.5 + 0.375) / 5.5 * 8.25
    found = [check for check in seat(-limit * share) if check.what == "bearing across the grain"]
    assert [check.verdict for check in found] == [verdict]


def test_a_seat_that_is_pulled_carries_nothing_unless_it_is_fastened() -> None:
    [pulled] = seat(500.0)
    assert (pulled.ratio, pulled.reason) == (inf, "the run pulls on a seat that nothing else holds")
    fastened = FOOT._replace(seat=FACE.seat)
    assert not [check for check in seat(500.0, fastened) if check.what == "a seat that is pulled"]


def test_who_pushes_on_whom_must_be_plain() -> None:
    [check] = seat(-500.0, FACE._replace(pieces=(WEB_PLY,)))
    assert (check.verdict, check.demand) == ("not evaluated", 500.0)
    assert "enter two sticks" in check.reason


def test_a_sloping_push_may_slide_along_the_face() -> None:
    """The rafter on the tie at 32 degrees: its part across the grain bears, that along the tie must be held."""
    heel = Connection(
        joint=JointId("B0"),
        pieces=(BOTTOM_PLY, Piece(member=MemberId("left"))),
        seat=Seat(length=8.0, width=2.625),
        evidence="seen",
    )
    found = {check.what: check for check in of(reviewed(with_one(heel), {LEFT: axial(-3000.0)}))}
    length = hypot(96, 60)
    assert found["bearing across the grain"].demand == pytest.approx(3000 * 60 / length / (8 * 2.625))
    slides = found["sliding along the face"]
    assert slides.verdict == "not evaluated"
    assert slides.demand == pytest.approx(3000 * 96 / length)


def test_a_notched_heel_bears_shears_and_leaves_the_tie_eccentric() -> None:
    heel = Connection(
        joint=JointId("B0"),
        pieces=(BOTTOM_PLY, Piece(member=MemberId("left"))),
        notch=Notch(depth=1.5, relish=12.0),
        evidence="seen",
    )
    found = {check.what: check for check in of(reviewed(with_one(heel), {LEFT: axial(-3000.0)}))}
    slope = radians(degrees(atan2(60, 96)))
    face = 2.625 * 1.5 / cos(slope)
    assert found["bearing at an angle to the grain"].demand == pytest.approx(3000 / face)
    P, Q = 1500 * 1.15 * 1.0, 625.0
    assert found["bearing at an angle to the grain"].capacity == pytest.approx(
        P * Q / (P * sin(slope) ** 2 + Q * cos(slope) ** 2)
    )
    thrust = 3000 * cos(slope)
    assert found["shear of the relish beyond a notch"].demand == pytest.approx(thrust / (2.625 * 12))
    left = 9.5 - 1.5
    ft, fb = thrust / (2.625 * left), thrust * 0.75 * 6 / (2.625 * left**2)
    under = found["tie under the notch, tension with bending"]
    assert under.ratio == pytest.approx(ft / (675 * 1.15 * 1.1) + fb / (1000 * 1.15 * 1.1))


def rodded() -> Truss:
    """The web as a steel rod of 0.44 in2 that hangs from the top and holds up the chord with a washer."""
    roof = truss()
    members = {**roof.members, MemberId("web"): stick("B1", "T1", role="web", section="rod", material="steel")}
    steel = Material(kind="steel", E=29e6, reference={"Ft": 20000.0})
    return replace(
        roof,
        members=members,
        sections={**roof.sections, SectionId("rod"): Section(area=0.44, inertia=0.0155)},
        materials={**roof.materials, MaterialId("steel"): steel},
    )


def test_a_rod_pulls_its_washer_onto_the_chord() -> None:
    nut = FACE._replace(seat=Seat(length=3.0, width=3.0, washer=True))
    [check] = of(reviewed(with_one(nut, rodded()), {STRUT: axial(5000.0)}))
    assert check.demand == pytest.approx(5000 / (9 - 0.44))
    assert check.capacity == pytest.approx(625 * 3.375 / 3.0)
    [slack] = of(reviewed(with_one(nut, rodded()), {STRUT: axial(-10.0)}))
    assert slack.ratio == inf
    assert "a rod, which goes slack" in slack.reason


def test_a_support_without_a_seat_is_open_with_what_it_must_carry() -> None:
    roof = replace(
        truss(), supports={JointId("B0"): Support(holds=("x", "y")), JointId("B2"): Support(holds=("y",))}
    )
    known = results(roof, {"D": {}, "D+S": {BOTTOM: axial(10.0)}})
    reactions = {
        "D": {
            JointId("B0"): Reaction(x=0.0, y=600.0, turn=0.0),
            JointId("B2"): Reaction(x=0.0, y=600.0, turn=0.0),
        },
        "D+S": {JointId("B0"): Reaction(x=900.0, y=1200.0, turn=0.0)},
    }
    runs = {run: replace(forces, reactions=reactions[run]) for run, forces in known.runs.items()}
    checks = review(roof, replace(known, runs=runs), SAID)
    found = {check.element: check for check in checks if check.what == "bearing at the wall"}
    assert set(found) == {"/supports/B0", "/supports/B2"}
    assert found["/supports/B0"].demand == pytest.approx(1500.0)
    assert found["/supports/B0"].run == "D+S"
    assert found["/supports/B0"].verdict == "not evaluated"
    assert "no seat on the wall is in the document: enter its length" in found["/supports/B0"].reason
    seated = Connection(joint=JointId("B0"), pieces=(BOTTOM_PLY,), wall=WallSeat(length=6.0))
    less = review(replace(roof, connections={"c": seated}), replace(known, runs=runs), SAID)
    assert [
        check.element for check in less if check.verdict == "not evaluated" and check.what == "bearing at the wall"
    ] == ["/supports/B2"]


def test_the_bolt_beside_a_seat_is_checked_too() -> None:
    both = FOOT._replace(seat=FACE.seat, fasteners=BOLT)
    assert {"fasteners", "bearing across the grain"} <= {check.what for check in seat(-500.0, both)}
