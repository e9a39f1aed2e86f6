"""Rods of a drawing carry tension alone; what is no rod is left as it is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from trussio.drawing.recognise.rods import with_butting, with_rods
from trussio.model.connection import Connection, EndBearing, Fasteners, Piece, Seat
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MaterialId, Member, MemberId, Role, SectionId

SECTIONS = {SectionId("rod"): Section(area=450.0), SectionId("2x6"): Section(width=38.0, depth=140.0)}
MATERIALS = {MaterialId("iron"): Material(E=2e5, kind="steel"), MaterialId("fir"): Material(E=1e4, kind="sawn")}
ROD = Member(
    through=(JointId("B1"), JointId("T1")), role="web", section=SectionId("rod"), material=MaterialId("iron")
)


@pytest.mark.parametrize("role", ["web", "bottom-chord", "other"])
def test_a_rod_carries_tension_alone_and_that_is_assumed(role: Role) -> None:
    name, post = MemberId("w1"), MemberId("w2")
    wood = replace(ROD, section=SectionId("2x6"), material=MaterialId("fir"))
    made, assumed = with_rods({name: replace(ROD, role=role), post: wood}, SECTIONS, MATERIALS)
    assert (made[name].acts, made[post].acts) == ("tension", None)
    (assumption,) = assumed
    assert assumption.what == "w1: rods, which carry tension alone."
    assert assumption.touches == ("/members/w1/acts",)


@pytest.mark.parametrize(
    "member",
    [
        replace(ROD, role="top-chord"),
        replace(ROD, material=MaterialId("fir")),
        replace(ROD, section=SectionId("2x6")),
        replace(ROD, section=None),
        replace(ROD, material=None),
    ],
    ids=["a top chord", "of wood", "a rectangle", "no section", "no material"],
)
def test_what_is_no_rod_is_left_as_it_is(member: Member) -> None:
    assert with_rods({MemberId("w1"): member}, SECTIONS, MATERIALS) == ({MemberId("w1"): member}, [])


STRUT, CHORD = MemberId("w1"), MemberId("bottom")
BARE = Connection(joint=JointId("B1"), pieces=(Piece(member=STRUT), Piece(member=CHORD)))


@pytest.mark.parametrize(
    ("connection", "acts"),
    [
        (BARE._replace(butt=EndBearing()), "compression"),
        (BARE._replace(seat=Seat(length=90.0, width=90.0)), "compression"),
        (BARE._replace(seat=Seat(length=90.0, width=90.0, washer=True)), None),
        (BARE._replace(butt=EndBearing(), fasteners=Fasteners(kind="nail", diameter=4.0, count=2)), None),
        (BARE._replace(butt=EndBearing(), joint=None), None),
        (BARE, None),
    ],
    ids=["butted", "seated", "a rod's washer", "nailed too", "a butt in a stick", "nothing known"],
)
def test_a_web_that_only_butts_carries_compression_alone(connection: Connection, acts: str | None) -> None:
    members = {STRUT: replace(ROD, section=None), CHORD: replace(ROD, role="bottom-chord", section=None)}
    made, assumed = with_butting(members, {"c": connection})
    assert (made[STRUT].acts, made[CHORD].acts) == (acts, None)
    assert [one.what for one in assumed] == (
        ["w1: butted without fasteners, which carry compression alone."] if acts else []
    )
