"""What turns with what, and which joints are stations."""

from __future__ import annotations

import pytest

from tests.trusses import PIN, ROLLER, build, stick
from trussio.model.idealised import Rotation, Station, idealise
from trussio.model.truss import JointId, Member, MemberId, Support

A, B, C, D, E = (JointId(name) for name in "ABCDE")
SQUARE = {"A": (0.0, 0.0), "B": (100.0, 0.0), "C": (200.0, 0.0), "D": (100.0, 100.0), "E": (100.0, -100.0)}


def ends(members: dict[str, Member]) -> tuple[dict[str, tuple[int | None, int | None]], tuple[Rotation, ...]]:
    truss = build(joints=SQUARE, members=members, supports={"A": PIN, "C": ROLLER}, cases={})
    made = idealise(truss, "continuous")
    return dict(zip((s.id for s in truss.segments), made.ends, strict=True)), made.rotations


def test_a_stick_is_continuous_at_the_joint_it_runs_through_and_pinned_at_its_ends() -> None:
    by_segment, rotations = ends({"chord": stick("A", "B", "C"), "web": stick("B", "D")})
    assert rotations == (Rotation(joint=B),)
    assert by_segment == {"chord:A-B": (None, 0), "chord:B-C": (0, None), "web:B-D": (None, None)}


def test_a_fixed_end_turns_with_the_only_stick_that_runs_through() -> None:
    by_segment, rotations = ends({"chord": stick("A", "B", "C"), "web": stick("B", "D", fixed=("first",))})
    assert rotations == (Rotation(joint=B),)
    assert by_segment["web:B-D"] == (0, None)


def test_where_two_sticks_run_through_each_keeps_its_own_and_fixed_ends_share_the_joints() -> None:
    by_segment, rotations = ends(
        {
            "chord": stick("A", "B", "C"),
            "post": stick("E", "B", "D"),
            "knee": stick("B", "D", fixed=("first",)),
        }
    )
    chord, post = MemberId("chord"), MemberId("post")
    assert rotations == (Rotation(joint=B), Rotation(joint=B, member=chord), Rotation(joint=B, member=post))
    assert by_segment["chord:A-B"] == (None, 1)
    assert by_segment["post:B-D"] == (2, None)
    assert by_segment["knee:B-D"] == (0, None)


def test_nothing_turns_in_pinned() -> None:
    truss = build(
        joints=SQUARE,
        members={"chord": stick("A", "B", "C", fixed=("first", "last")), "web": stick("B", "D")},
        supports={"A": PIN, "C": ROLLER},
        cases={},
    )
    made = idealise(truss, "pinned")
    assert made.rotations == ()
    assert made.ends == ((None, None),) * 3


def line(
    offset: float, supports: dict[str, Support], extra: dict[str, Member] | None = None
) -> dict[JointId, Station]:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (100.0, offset), "C": (300.0, 0.0), "D": (400.0, 0.0), "E": (100.0, 80.0)},
        members={"one": stick("A", "B"), "two": stick("B", "C", "D")} | (extra or {}),
        supports=supports,
        cases={},
    )
    return dict(idealise(truss, "pinned").stations)


def test_a_butt_and_a_purlin_point_are_stations_between_the_joints_beyond_them() -> None:
    stations = line(0.0, {"A": PIN, "D": ROLLER})
    assert stations[B] in {
        Station(before=A, after=D, share=0.25),
        Station(before=D, after=A, share=0.75),
    }
    assert set(stations) == {B, C}


@pytest.mark.parametrize(
    ("offset", "station"),
    [(0.133, True), (0.134, False), (20.0, False)],
    ids=[
        "within a sine of 2e-3 between the two segments the joint is on the line",
        "beyond it the joint is a kink",
        "a kink",
    ],
)
def test_the_line_is_judged_by_the_angle(offset: float, station: bool) -> None:  # noqa: FBT001 - a parametrised verdict
    assert (B in line(offset, {"A": PIN, "D": ROLLER})) is station


def test_a_support_a_web_and_an_arc_make_a_joint_a_joint() -> None:
    assert B not in line(0.0, {"A": PIN, "B": ROLLER})
    assert B not in line(0.0, {"A": PIN, "D": ROLLER}, {"web": stick("B", "E")})


def test_a_loose_end_is_no_station() -> None:
    assert D not in line(0.0, {"A": PIN})


def test_overlapping_sticks_share_their_stations() -> None:
    stations = line(0.0, {"A": PIN, "D": ROLLER}, {"long": stick("A", "D")})
    assert {(s.before, s.after) for s in stations.values()} <= {(A, D), (D, A)}
    assert set(stations) == {B, C}
