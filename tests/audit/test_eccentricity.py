"""Axes that miss their joint and bearings beside their heel, both ways and at the limit."""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

import pytest

from tests.audit.forms import BALK, pitched, supported
from tests.audit.spoilt import jointed
from tests.audit.spoilt_records import offset
from tests.trusses import PIN, ROLLER, stick
from trussio.audit.eccentricity import MUCH, eccentricities, heels
from trussio.audit.subject import subject_of
from trussio.model.connection import Connection, Piece, WallSeat
from trussio.model.truss import JointId, MemberId, SectionId

if TYPE_CHECKING:
    from trussio.model.truss import Truss

DEPTH = 240.0


def off(truss: Truss) -> list[object]:
    return [finding.evidence["off"] for finding in eccentricities(subject_of(truss, "continuous"))]


@pytest.mark.parametrize(
    ("says", "name", "aside", "expected"),
    [
        ("a post aside by a quarter of the depth", "p1", (MUCH * DEPTH, 0.0), []),
        ("a millimetre more", "p1", (MUCH * DEPTH + 1.0, 0.0), [61.0]),
        ("along its own axis nothing is missed", "p1", (0.0, 200.0), []),
    ],
)
def test_an_axis_may_miss_its_joint_by_a_quarter_of_the_depth(
    says: str, name: str, aside: tuple[float, float], expected: list[float]
) -> None:
    found = off(offset(pitched(), name, *aside))
    assert found == pytest.approx(expected, abs=4.0), says


def test_the_distance_is_square_to_the_axis_and_of_both_ends() -> None:
    truss = offset(pitched(), "d2", 150.0, 0.0)
    assert off(truss) == pytest.approx([150.0 * 3000.0 / hypot(1850.0, 3000.0)], rel=1e-3)
    both = replace(truss.members[MemberId("d2")], offsets={"first": (150.0, 0.0), "last": (150.0, 0.0)})
    shifted = replace(truss, members={**truss.members, MemberId("d2"): both})
    assert off(shifted) == pytest.approx([150.0 * 3000.0 / hypot(2000.0, 3000.0)] * 2, rel=1e-3)


def test_without_a_depth_nothing_can_be_said() -> None:
    bare = {SectionId("s"): replace(BALK, width=None, depth=None, area=1e4, inertia=1e7)}
    assert off(replace(offset(pitched(), "p1", 100.0, 0.0), sections=bare)) == []


def heel(truss: Truss) -> list[tuple[object, tuple[str, ...]]]:
    return [(found.evidence["off"], found.where) for found in heels(subject_of(truss, "continuous"))]


def inside(x: float) -> Truss:
    """A bearing `x` to the right of the heel."""
    chord = stick("B0", "H", "B1", "B2", "B3", "B4", "B5", "B6", role="bottom-chord")
    return supported(jointed(pitched(bottom=chord), H=(x, 0.0)), H=PIN, B6=ROLLER)


@pytest.mark.parametrize(
    ("x", "found"), [(MUCH * DEPTH, False), (MUCH * DEPTH + 1, True), (600.0, True), (1500.0, False)]
)
def test_a_bearing_beside_its_heel_is_asked_about(x: float, found: bool) -> None:  # noqa: FBT001 - a parametrised verdict
    expected = [(-x, ("/supports/H", "/joints/B0", "/members/bottom"))] if found else []
    assert heel(inside(x)) == expected


def test_axes_that_meet_beside_the_bearing_are_asked_about() -> None:
    assert heel(pitched()) == []
    ((found, where),) = heel(offset(pitched(), "left", 0.0, 100.0))
    assert found == pytest.approx(-222.2, abs=0.1)  # the rafter, now 900 in 2000, meets the chord's axis there
    assert where == ("/supports/B0", "/members/left/offsets", "/members/bottom")


@pytest.mark.parametrize(("to_end", "expected"), [(150.0, []), (250.0, [100.0])])
def test_a_wall_seat_beside_its_joint_is_asked_about(to_end: float, expected: list[float]) -> None:
    chord = stick("E", "B0", "B1", "B2", "B3", "B4", "B5", "B6", role="bottom-chord")
    seat = Connection(
        pieces=(Piece(member=MemberId("bottom")),),
        joint=JointId("B0"),
        wall=WallSeat(length=200.0, to_end=to_end),
    )
    truss = replace(jointed(pitched(bottom=chord), E=(-250.0, 0.0)), connections={"wall": seat})
    assert [found for found, _ in heel(truss)] == expected
