"""Rods and butting struts that nobody spoke of, and snow that acts upwards."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.audit.one_way import snow_upwards
from trussio.audit.rules import audit
from trussio.audit.stops import stops
from trussio.model.connection import Connection, EndBearing, Fasteners, Piece, Seat
from trussio.model.finding import Finding
from trussio.model.loading import CaseKind, Load, LoadCase, PointLoad, RunId, SelfWeight, Target
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MaterialId, Member, MemberId, SectionId, Truss

ROD, STEEL = SectionId("rod"), MaterialId("steel")
POST = MemberId("post")


def king_post(**changes: object) -> Truss:
    """A king post truss; what is changed of the post by name."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0), "T": (1000.0, 800.0)},
        members={
            "tie": stick("A", "M", "B", role="bottom-chord"),
            "left": stick("A", "T", role="top-chord"),
            "right": stick("T", "B", role="top-chord"),
            "post": stick("M", "T", role="web"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("M", fy=-900.0),)},
    )
    post: Member = replace(truss.members[POST], **changes)  # type: ignore[arg-type]  # fields by name
    return replace(
        truss,
        members={**truss.members, POST: post},
        sections={**truss.sections, ROD: Section(area=450.0, inertia=16000.0)},
        materials={**truss.materials, STEEL: Material(E=2e5, kind="steel", density=7800.0)},
    )


def asked(truss: Truss) -> list[Finding]:
    found = audit(truss, digest="sha256:0").findings
    return [one for one in found if one.code == "one-way-unstated"]


def test_a_steel_rod_of_which_nobody_spoke_is_asked_about() -> None:
    (found,) = asked(king_post(section=ROD, material=STEEL))
    assert (found.level, found.where) == ("query", ("/members/post",))
    assert found.says == (
        "post is of steel and no rectangle, as rods are, and nothing says which way they carry: they are taken to "
        "carry both ways."
    )


@pytest.mark.parametrize(
    "changes",
    [
        {"section": ROD, "material": STEEL, "acts": "tension"},
        {"section": ROD, "material": STEEL, "role": "top-chord"},
        {"section": ROD, "material": STEEL, "fixed": ("first",)},
        {"section": ROD},
        {"section": None, "material": STEEL},
    ],
    ids=["said", "a top chord", "fixed", "of wood", "no section"],
)
def test_what_is_said_or_is_no_rod_is_not(changes: dict[str, object]) -> None:
    assert asked(king_post(**changes)) == []


SIXTEEN = Fasteners(kind="bolt", diameter=16.0, count=2)
BARE = Connection(joint=JointId("T"), pieces=(Piece(member=POST), Piece(member=MemberId("left"))))


@pytest.mark.parametrize(
    ("connection", "expected"),
    [
        (BARE._replace(butt=EndBearing()), True),
        (BARE._replace(seat=Seat(length=100.0, width=100.0)), True),
        (BARE._replace(seat=Seat(length=100.0, width=100.0, washer=True)), False),
        (BARE._replace(butt=EndBearing(), fasteners=SIXTEEN), False),
        (BARE, False),
    ],
    ids=["butts", "seated", "a rod's washer", "fastened too", "nothing known"],
)
def test_a_strut_that_only_butts_is_asked_about(connection: Connection, *, expected: bool) -> None:
    truss = replace(king_post(), connections={"c": connection})
    found = asked(truss)
    assert bool(found) is expected
    if found:
        assert found[0].says.startswith("post only butts, without fasteners, and nothing says which way")
    said = replace(truss, members={**truss.members, POST: replace(truss.members[POST], acts="compression")})
    assert asked(said) == []


def snowed(load: Load, kind: CaseKind = "snow") -> Truss:
    truss = king_post()
    cases = {**truss.loads.cases, RunId("S"): LoadCase(kind=kind, loads=(load,))}
    combinations = {RunId("D+S"): {RunId("D"): 1.0, RunId("S"): 1.0}}
    return replace(truss, loads=replace(truss.loads, cases=cases, combinations=combinations))


@pytest.mark.parametrize(
    "load",
    [
        along("left", -1.0),
        along("left", (2.0, -0.001)),
        at_joint("T", fy=1.0),
        PointLoad(on=Target(member=MemberId("left")), at=100.0, fy=1.0),
    ],
)
def test_snow_upwards_is_a_stop_with_its_runs(load: Load) -> None:
    truss = snowed(load)
    (found,) = snow_upwards(truss)
    assert (found.level, found.where) == ("stop", ("/loads/cases/S/loads/0",))
    assert found.says == (
        "The case S is snow and pushes the roof up; snow is never negative. Runs touched: S and D+S."
    )
    assert found in stops(truss, idealisation="continuous")
    assert found in audit(truss, digest="sha256:0").findings
    assert list(snow_upwards(truss, [RunId("D")])) == []


@pytest.mark.parametrize(
    "load", [along("left", 0.0), along("left", (0.0, 2.0)), at_joint("T", fy=0.0, fx=3.0), SelfWeight(of="all")]
)
def test_snow_downwards_or_none_is_not(load: Load) -> None:
    assert list(snow_upwards(snowed(load))) == []


def test_wind_may_lift() -> None:
    assert list(snow_upwards(snowed(along("left", -1.0), kind="wind"))) == []
