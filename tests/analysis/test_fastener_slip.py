"""Slip of ends from the fasteners stated there: EN 1995-1-1 table 7.1 by hand, planes and ends counted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.analysis.fastener_slip import by_fasteners
from trussio.audit.one_way import slip_unknown
from trussio.audit.stops import stops
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.connection import Connection, FastenerKind, Fasteners, Piece
from trussio.model.loading import RunId
from trussio.model.material import Material
from trussio.model.truss import End, JointId, MaterialId, Member, MemberId, Truss

WOOD, OAK = MaterialId("wood"), MaterialId("oak")
TIE, STRUT, POST = MemberId("tie"), MemberId("strut"), MemberId("post")


def roof(*fasteners: Fasteners, pieces: tuple[Piece, ...] = (), asks: tuple[End, ...] = ("last",)) -> Truss:
    """A post bolted to a tie that runs through, of wood of 420 kg/m3; the post's last end is at the tie."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0), "T": (1000.0, 800.0)},
        members={
            "tie": stick("A", "M", "B", role="bottom-chord"),
            "left": stick("A", "T", role="top-chord"),
            "right": stick("T", "B", role="top-chord"),
            "post": stick("T", "M", role="web"),
            "strut": stick("T", "M", role="web"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("M", fy=-900.0),)},
    )
    of_wood: dict[MemberId, Member] = {name: replace(m, material=WOOD) for name, m in truss.members.items()}
    of_wood[POST] = replace(of_wood[POST], fastener_slip=asks)
    joined = {
        f"c{number}": Connection(
            joint=JointId("M"), pieces=pieces or (Piece(member=POST), Piece(member=TIE)), fasteners=one
        )
        for number, one in enumerate(fasteners)
    }
    materials = {WOOD: Material(E=1e4, density=420.0), OAK: Material(E=1e4, density=700.0)}
    return replace(truss, members=of_wood, connections=joined, materials={**truss.materials, **materials})


def given(kind: FastenerKind = "bolt", **more: float) -> Fasteners:
    fields = {"diameter": 16.0, "count": 2} | more
    return Fasteners(kind=kind, **fields)  # type: ignore[arg-type]  # fields by name


def slip_of(truss: Truss, name: MemberId = POST, end: End = "last") -> float | None:
    return (by_fasteners(truss).members[name].slip or {}).get(end)


BOLT = 420.0**1.5 * 16.0 / 23


@pytest.mark.parametrize(
    ("fasteners", "expected"),
    [
        (given(), 2 * BOLT),
        (given("lag screw"), 2 * BOLT),
        (given("nail", diameter=4.0, count=5), 5 * 420.0**1.5 * 4.0**0.8 / 30),
        (given("split ring", connector=64.0), 2 * 420.0 * 64.0 / 2),
        (given("shear plate", connector=67.0), 2 * 420.0 * 67.0 / 2),
    ],
)
def test_a_lap_slips_by_its_fasteners_once_for_each(fasteners: Fasteners, expected: float) -> None:
    assert slip_of(roof(fasteners)) == pytest.approx(expected)


def test_planes_add_up_and_a_steel_plate_counts_twice() -> None:
    both = (Piece(member=TIE, ply=1), Piece(member=POST), Piece(member=TIE, ply=2))
    assert slip_of(roof(given(), pieces=both)) == pytest.approx(2 * 2 * BOLT)
    plates = (Piece(plate="steel"), Piece(member=POST), Piece(plate="steel"))
    assert slip_of(roof(given(), pieces=plates)) == pytest.approx(2 * 2 * 2 * BOLT)
    boards = (Piece(plate="wood", material=OAK), Piece(member=POST))
    assert slip_of(roof(given(), pieces=boards)) == pytest.approx(2 * BOLT * (700 / 420) ** 0.75)


def test_two_sticks_that_both_end_there_share_the_slip_between_them() -> None:
    """Each end twice as stiff, so that both together give as the fasteners do."""
    truss = roof(given(), pieces=(Piece(member=POST), Piece(member=STRUT)))
    assert slip_of(truss) == pytest.approx(2 * 2 * BOLT)


def test_two_groups_at_one_joint_act_together() -> None:
    assert slip_of(roof(given(), given("nail", diameter=4.0, count=1))) == pytest.approx(
        2 * BOLT + 420.0**1.5 * 4.0**0.8 / 30
    )


def test_a_hole_gives_play_and_without_it_there_is_none() -> None:
    loose = by_fasteners(roof(given(hole=17.0))).members[POST]
    assert loose.play == {"last": 1.0}
    assert by_fasteners(roof(given())).members[POST].play is None


def test_us_units_are_converted() -> None:
    """420 kg/m3 are 26.22 pcf; 16 mm are 0.63 in.; N/mm to lbf/in by 5.710."""
    truss = roof(given(diameter=16 / 25.4))
    wood = replace(truss.materials[WOOD], density=420 / 16.018463)
    us = replace(truss, units="us", materials={**truss.materials, WOOD: wood})
    assert slip_of(us) == pytest.approx(2 * BOLT * 5.7101471, rel=1e-6)


def test_what_is_given_by_itself_is_kept_and_others_do_not_slip() -> None:
    truss = roof(given(), asks=())
    assert by_fasteners(truss).members == truss.members
    every = by_fasteners(truss, every=True)
    assert dict(every.members[POST].slip or {}) == pytest.approx({"last": 2 * BOLT})
    assert every.members[TIE].slip is None, "it runs through"
    own = replace(truss, members={**truss.members, POST: replace(truss.members[POST], slip={"last": 5.0})})
    assert by_fasteners(own, every=True).members[POST].slip == {"last": 5.0}


@pytest.mark.parametrize("lack", ["fasteners", "density", "connector"])
def test_where_nothing_follows_it_is_a_stop(lack: str) -> None:
    truss = roof(given("split ring")) if lack == "connector" else roof() if lack == "fasteners" else roof(given())
    if lack == "density":
        truss = replace(truss, materials={**truss.materials, WOOD: Material(E=1e4)})
    made = by_fasteners(truss)
    (found,) = slip_unknown(made)
    assert (found.level, found.where) == ("stop", ("/members/post/fastener_slip",))
    assert found.says == "post is to slip by its fasteners at M, and no stiffness follows from the document."
    assert found in stops(made, idealisation="continuous")
    with pytest.raises(CannotAnalyseError, match="post is to slip by its fasteners at M"):
        calculate(truss, digest="sha256:" + "0" * 64)


def test_forces_and_sag_are_those_of_the_slip_written_out() -> None:
    run = RunId("D")
    asked = roof(given())
    written = replace(
        asked,
        members={**asked.members, POST: replace(asked.members[POST], fastener_slip=(), slip={"last": 2 * BOLT})},
    )
    found, expected = (calculate(truss, digest="sha256:" + "0" * 64).runs[run] for truss in (asked, written))
    assert found == expected
    assert found.slip
