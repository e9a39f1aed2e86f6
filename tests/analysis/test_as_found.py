"""A truss as found: what is severed, missing or come away no longer carries, and no load is lost."""

from __future__ import annotations

from dataclasses import replace
from math import isclose, sqrt
from typing import TYPE_CHECKING, Literal, TypeAlias

import pytest

from tests.trusses import CLAMP, PIN, RAFTER_PAIR, ROLLER, along, at_joint, build, stick
from trussio.analysis.as_found import as_found
from trussio.analysis.run import analyse
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.condition import Lost, LostSection, Missing, Parted, Released, Severed
from trussio.model.connection import Brace, Butt, Connection, Piece
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, RunId, SelfWeight, Target, Warmer
from trussio.model.material import Section
from trussio.model.truss import Curve, JointId, MemberId, SectionId, SegmentId
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.condition import Condition
    from trussio.model.forces import RunForces
    from trussio.model.loading import Load
    from trussio.model.truss import Idealisation, Truss

    Way: TypeAlias = Literal["down", "right", "across"]
    Per: TypeAlias = Literal["slope", "plan"]

P = RunId("P")
DIGEST = "sha256:" + "0" * 64


def found(truss: Truss, *entries: Condition, idealisation: Idealisation = "continuous") -> Truss:
    """A truss with the entries c1, c2, ... applied."""
    condition = {f"c{number}": one for number, one in enumerate(entries, start=1)}
    return as_found(replace(truss, condition=condition), idealisation)[0]


def severed(member: str, at: float) -> Severed:
    return Severed(member=MemberId(member), at=at, seen="sawn")


def parted(member: str, at: str) -> Parted:
    return Parted(member=MemberId(member), at=JointId(at), seen="pulled out")


def released(member: str, at: str) -> Released:
    return Released(member=MemberId(member), at=JointId(at), seen="cracked")


def missing(member: str) -> Missing:
    return Missing(member=MemberId(member), seen="gone")


def sticks(truss: Truss) -> dict[str, tuple[str, ...]]:
    """The joints of each member."""
    return {str(name): member.through for name, member in truss.members.items()}


def axial(run: RunForces) -> dict[str, float]:
    """Axial force by segment."""
    return {str(name): forces.axial for name, forces in run.segments.items()}


def close(found: Mapping[str, float], expected: Mapping[str, float]) -> bool:
    """Whether two tables of forces are one."""
    return found.keys() == expected.keys() and all(
        isclose(found[name], expected[name], rel_tol=1e-9, abs_tol=1e-9) for name in expected
    )


def queen(*loads: Load, curve: Curve | None = None) -> Truss:
    """A queen-post truss whose chords run through, 6 m by 1.5 m, pinned and rolling."""
    return build(
        joints={
            "B0": (0.0, 0.0),
            "B1": (2000.0, 0.0),
            "B2": (4000.0, 0.0),
            "B3": (6000.0, 0.0),
            "T1": (2000.0, 1500.0),
            "T2": (4000.0, 1500.0),
        },
        members={
            "bottom": stick("B0", "B1", "B2", "B3", role="bottom-chord", curve=curve),
            "top": stick("B0", "T1", "T2", "B3", role="top-chord"),
            "p1": stick("B1", "T1", role="web"),
            "p2": stick("B2", "T2", role="web"),
            "d": stick("B1", "T2", role="web"),
        },
        supports={"B0": PIN, "B3": ROLLER},
        cases={"P": loads},
    )


def test_rafters_whose_tie_is_cut_stand_on_their_bearings_alone() -> None:
    """Each rafter lifts half the load, 3000 x 5 / 3; the bearings push back with 3000 x 4 / 3."""
    between_walls = replace(RAFTER_PAIR.truss, supports={JointId("B0"): PIN, JointId("B2"): PIN})
    run = analyse(found(between_walls, severed("tie", 1000.0)))[P]
    assert close(axial(run), {"left:B0-T1": -5000.0, "right:T1-B2": -5000.0})
    assert run.reactions[JointId("B0")].x == pytest.approx(4000.0)


def test_rafters_whose_tie_is_cut_do_not_stand_on_a_rolling_bearing() -> None:
    truss = replace(RAFTER_PAIR.truss, condition={"c1": severed("tie", 1000.0)})
    with pytest.raises(CannotAnalyseError) as caught:
        calculate(truss, digest=DIGEST)
    assert caught.value.code == "mechanism"
    built = calculate(truss, digest=DIGEST, state="built")
    assert close(axial(built.runs[P]), {k: float(v) for k, v in RAFTER_PAIR.axial.items()})


def test_a_cut_chord_becomes_two_sticks_and_untouched_segments_keep_their_ids() -> None:
    truss = found(queen(), severed("bottom", 2500.0))
    assert sticks(truss)["bottom"] == ("B0", "B1", "c1.1")
    assert sticks(truss)["bottom.2"] == ("c1.2", "B2", "B3")
    assert [str(s.id) for s in truss.segments if s.member in {"bottom", "bottom.2"}] == [
        "bottom:B0-B1",
        "bottom:B1-c1.1",
        "bottom:c1.2-B2",
        "bottom:B2-B3",
    ]
    assert {(truss.joints[JointId(name)].x, truss.joints[JointId(name)].y) for name in ("c1.1", "c1.2")} == {
        (2500.0, 0.0)
    }


def test_the_ends_at_a_cut_are_cantilevers() -> None:
    """1.5 kN/m on 500 mm beyond B1, and on 1500 mm before B2: w a2 / 2 over the joints."""
    run = analyse(found(queen(along("bottom", 1.5)), severed("bottom", 2500.0)))[P]
    assert run.segments[SegmentId("bottom:B1-c1.1")].moment == pytest.approx((-1.5 * 500.0**2 / 2, 0.0))
    assert run.segments[SegmentId("bottom:c1.2-B2")].moment == pytest.approx((0.0, -1.5 * 1500.0**2 / 2))
    assert run.segments[SegmentId("bottom:B1-c1.1")].axial == pytest.approx(0.0)


def test_in_pinned_what_hangs_on_a_joint_loads_it() -> None:
    truss = found(queen(along("bottom", (1.0, 4.0))), severed("bottom", 2600.0), idealisation="pinned")
    assert sticks(truss)["bottom"] == ("B0", "B1")
    assert sticks(truss)["bottom.2"] == ("B2", "B3")
    loads = truss.loads.cases[P].loads
    down = {load.joint: load.fy for load in loads if isinstance(load, JointLoad)}
    assert down == {"B1": pytest.approx(-(2.0 + 2.3) / 2 * 600.0), "B2": pytest.approx(-(2.3 + 3.0) / 2 * 1400.0)}


@pytest.mark.parametrize(
    ("entry", "stands", "gone"),
    [
        (severed("d", 1000.0), {"bottom", "top", "p1", "p2"}, "d"),
        (parted("d", "T2"), {"bottom", "top", "p1", "p2"}, "d"),
        (missing("d"), {"bottom", "top", "p1", "p2"}, "d"),
        (severed("bottom", 500.0), {"bottom", "top", "p1", "p2", "d"}, ""),
    ],
)
def test_a_stick_that_hangs_on_hinges_alone_carries_nothing(entry: Condition, stands: set[str], gone: str) -> None:
    truss = found(queen(at_joint("T1", fy=-1000.0)), entry)
    assert {*sticks(truss)} == stands
    assert gone not in sticks(truss)


def test_a_cut_near_the_heel_leaves_the_rest_of_the_chord_its_id() -> None:
    truss = found(queen(), severed("bottom", 500.0))
    assert sticks(truss)["bottom"] == ("c1.2", "B1", "B2", "B3")
    assert "c1.1" not in truss.joints


def test_a_stub_that_is_fixed_to_its_joint_stands() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (3000.0, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP, "B": ROLLER},
        cases={"P": (along("beam", 2.0),)},
    )
    cut = found(truss, severed("beam", 1000.0))
    assert sticks(cut) == {"beam": ("A", "c1.1")}
    run = analyse(cut)[P]
    assert run.segments[SegmentId("beam:A-c1.1")].moment == pytest.approx((-2.0 * 1000.0**2 / 2, 0.0))
    assert run.reactions[JointId("B")].y == pytest.approx(4000.0), "the rest hangs on B"
    assert run.reactions[JointId("A")].y == pytest.approx(2000.0)


def test_a_stick_cut_twice_between_two_joints_lets_the_middle_fall() -> None:
    """What fell is brought to the nearest joint that the stick still reaches."""
    truss = found(queen(along("bottom", 1.0)), severed("bottom", 2500.0), severed("bottom", 3200.0))
    assert sticks(truss)["bottom"] == ("B0", "B1", "c1.1")
    assert sticks(truss)["bottom.2"] == ("c2.2", "B2", "B3")
    down = {load.joint: load.fy for load in truss.loads.cases[P].loads if isinstance(load, JointLoad)}
    assert down == {"B1": pytest.approx(-700.0)}


def test_a_stick_that_came_away_from_a_joint_passes_it() -> None:
    truss = found(queen(at_joint("B1", fy=-100.0)), parted("bottom", "B1"))
    assert sticks(truss)["bottom"] == ("B0", "c1", "B2", "B3")
    assert truss.joints[JointId("c1")].x == 2000.0


def test_a_released_joint_is_a_hinge() -> None:
    """A stick over three supports, hinged over the middle one: two simple beams, w L2 / 8 each."""
    truss = build(
        joints={"B0": (0.0, 0.0), "B1": (4000.0, 0.0), "B2": (8000.0, 0.0)},
        members={"beam": stick("B0", "B1", "B2")},
        supports={"B0": PIN, "B1": ROLLER, "B2": ROLLER},
        cases={"P": (along("beam", 2.0),)},
    )
    hinged = found(truss, released("beam", "B1"))
    assert sticks(hinged) == {"beam": ("B0", "B1"), "beam.2": ("B1", "B2")}
    run = analyse(hinged)[P]
    assert run.segments[SegmentId("beam:B0-B1")].moment == pytest.approx((0.0, 0.0), abs=1e-6)
    assert run.segments[SegmentId("beam:B1-B2")].moment_peak == pytest.approx(4e6)


def test_a_released_end_is_pinned() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"beam": stick("A", "B", fixed=("first", "last"))},
        supports={"A": CLAMP, "B": CLAMP},
        cases={"P": (along("beam", 2.0),)},
    )
    run = analyse(found(truss, released("beam", "B")))[P]
    assert run.segments[SegmentId("beam:A-B")].moment == pytest.approx((-2.0 * 2000.0**2 / 8, 0.0), abs=1e-6)


def test_every_load_of_a_missing_stick_goes_to_its_joints_by_the_lever() -> None:
    loads = (
        along("d", 2.0),
        PointLoad(on=Target(member=MemberId("d")), at=625.0, fx=30.0, fy=-400.0),
        PointLoad(on=Target(member=MemberId("d")), at=JointId("T2"), fy=-7.0),
        LineLoad(on=Target(role="web"), direction="right", value=1.0, per="plan"),
    )
    truss = found(queen(*loads), missing("d"))
    at: dict[str, tuple[float, float]] = {}
    for load in truss.loads.cases[P].loads:
        if isinstance(load, JointLoad):
            x, y = at.get(load.joint, (0.0, 0.0))
            at[load.joint] = (x + load.fx, y + load.fy)
    assert [*at] == ["B1", "T2"]
    assert at["B1"] == pytest.approx((30.0 * 0.75 + 1000.0, -2500.0 - 300.0))
    assert at["T2"] == pytest.approx((30.0 * 0.25 + 1000.0, -2500.0 - 100.0 - 7.0))


def test_the_weight_of_a_missing_stick_is_gone_and_that_of_one_that_hangs_is_not() -> None:
    whole, gone, hangs = (
        sum(r.y for r in analyse(truss)[P].reactions.values())
        for truss in (
            queen(SelfWeight(of="all")),
            found(queen(SelfWeight(of="all")), missing("d")),
            found(queen(SelfWeight(of="all")), severed("d", 900.0)),
        )
    )
    assert hangs == pytest.approx(whole)
    assert whole - gone == pytest.approx(500.0 * 9.80665e-9 * 1000.0 * 2500.0)


def test_named_weights_follow_the_parts() -> None:
    truss = found(
        queen(SelfWeight(of=(MemberId("bottom"), MemberId("d")))), severed("bottom", 2500.0), missing("d")
    )
    assert truss.loads.cases[P].loads == (SelfWeight(of=(MemberId("bottom"), MemberId("bottom.2"))),)


def test_misfits_are_shared_by_length_and_warmth_is_not() -> None:
    on = Target(role="bottom-chord")
    truss = found(queen(Longer(on=on, by=6.0), Warmer(on=on, by=10.0)), severed("bottom", 2500.0))
    first, second = Target(member=MemberId("bottom")), Target(member=MemberId("bottom.2"))
    assert truss.loads.cases[P].loads == (
        Longer(on=first, by=2.5),
        Longer(on=second, by=3.5),
        Warmer(on=first, by=10.0),
        Warmer(on=second, by=10.0),
    )


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
@pytest.mark.parametrize("direction", ["down", "right", "across"])
@pytest.mark.parametrize("per", ["slope", "plan"])
@pytest.mark.parametrize(
    "entries",
    [
        (severed("top", 1900.0),),
        (severed("top", 700.0), severed("top", 1100.0), missing("d")),
        (parted("top", "B0"), released("top", "T2")),
        (missing("top"), severed("p1", 10.0)),
    ],
)
def test_no_load_is_lost_also_along_an_arc(
    idealisation: Idealisation, direction: Way, per: Per, entries: tuple[Condition, ...]
) -> None:
    """The sum of the loads before and after, both by the same sums along whole sticks that stand."""
    if direction == "across" and per == "plan":
        return
    load = LineLoad(
        on=Target(member=MemberId("top")),
        direction=direction,
        value=(1.0, 3.0),
        start=200.0,
        end=4000.0,
        per=per,
    )
    whole = queen(load)
    curved = replace(
        whole,
        members={
            **whole.members,
            MemberId("top"): stick("B0", "T1", "T2", "B3", curve=Curve(radius=3e3, bows="up")),
        },
    )
    held = replace(
        curved,
        supports=dict.fromkeys(curved.joints, CLAMP),
    )
    after = found(held, *entries, idealisation=idealisation)
    after = replace(after, supports={joint: PIN for joint in after.joints if "." not in joint})
    before = total(analyse(held)[P])
    assert total(analyse(after, idealisation=idealisation)[P]) == pytest.approx(before, rel=1e-9, abs=1e-6)


def total(run: RunForces) -> tuple[float, float]:
    """The sum of the reactions."""
    return sum(r.x for r in run.reactions.values()), sum(r.y for r in run.reactions.values())


def test_whole_lost_section_without_a_shift_is_a_smaller_section() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("B", fx=1000.0),)},
        section=Section(width=50.0, depth=200.0, plies=2, shear_area=6000.0),
    )
    lost = LostSection(member=MemberId("bar"), what=Lost(plus_y=25.0, minus_y=25.0, plies=1), seen="rot")
    after = found(truss, lost)
    section = after.section_of(MemberId("bar"))
    assert after.members[MemberId("bar")].section == SectionId("s.c1")
    assert section == Section(width=50.0, depth=150.0, plies=1, shear_area=6000.0 * 150 / 400)
    assert not after.members[MemberId("bar")].worn
    assert analyse(after)[P].joints[JointId("B")].dx == pytest.approx(1000.0 * 2000.0 / (1e4 * 50.0 * 150.0))


def test_what_is_known_along_a_stick_stays_with_its_part() -> None:
    butts = (Butt(ply=1, at=JointId("B2")), Butt(ply=2, at=500.0))
    braced = (
        Brace(plane="out", by="purlin", seen=True, at=3000.0),
        Brace(plane="out", by="ceiling", seen=True, start=JointId("B1")),
    )
    whole = queen()
    chord = replace(whole.members[MemberId("bottom")], butts=butts, braced=braced)
    truss = found(replace(whole, members={**whole.members, MemberId("bottom"): chord}), severed("bottom", 2500.0))
    first, second = truss.members[MemberId("bottom")], truss.members[MemberId("bottom.2")]
    assert [(butt.ply, butt.at) for butt in first.butts or ()] == [(2, 500.0)]
    assert [(butt.ply, butt.at) for butt in second.butts or ()] == [(1, 1500.0)]
    assert [(b.by, b.at, b.start, b.end) for b in first.braced or ()] == [("ceiling", None, 2000.0, 2500.0)]
    assert [(b.by, b.at, b.start, b.end) for b in second.braced or ()] == [
        ("purlin", 500.0, None, None),
        ("ceiling", None, 0.0, 3500.0),
    ]


def test_connections_follow_the_part_that_reaches_their_joint_or_go() -> None:
    def joined(joint: str, *members: str) -> Connection:
        return Connection(pieces=tuple(Piece(member=MemberId(name)) for name in members), joint=JointId(joint))

    connections = {"heel": joined("B3", "top", "bottom"), "foot": joined("B1", "bottom", "d")}
    truss = found(replace(queen(), connections=connections), severed("bottom", 2500.0), missing("d"))
    assert truss.connections == {"heel": joined("B3", "top", "bottom.2")}


def test_a_joint_that_nothing_meets_any_more_goes_unless_it_is_loaded() -> None:
    whole = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0), "C": (2000.0, 900.0)},
        members={"beam": stick("A", "B"), "hung": stick("B", "C")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("C", fy=-5.0),)},
    )
    assert "C" in found(whole, missing("hung")).joints
    unloaded = replace(whole, loads=replace(whole.loads, cases={}))
    assert "C" not in found(unloaded, missing("hung")).joints
    bare = found(unloaded, missing("beam"), missing("hung"))
    assert (*bare.joints, *bare.supports) == ()


def test_ids_that_are_taken_are_not_taken_again() -> None:
    whole = queen()
    taken = replace(
        whole,
        joints={**whole.joints, JointId("c1.1"): whole.joints[JointId("B1")]},
        members={**whole.members, MemberId("bottom.2"): whole.members[MemberId("p1")]},
    )
    truss = found(taken, severed("bottom", 2500.0))
    assert sticks(truss)["bottom"] == ("B0", "B1", "c1.1~")
    assert sticks(truss)["bottom.2~"] == ("c1.2", "B2", "B3")


def test_as_built_nothing_of_it_counts() -> None:
    truss = replace(queen(along("bottom", 1.0)), condition={"c1": severed("bottom", 2500.0)})
    built = calculate(truss, digest=DIGEST, state="built")
    assert built.runs == calculate(replace(truss, condition={}), digest=DIGEST, state="built").runs


def test_the_second_method_follows_a_truss_that_came_apart() -> None:
    truss = replace(
        queen(along("bottom", 1.0), at_joint("T1", fy=-9e3)),
        condition={"c1": severed("bottom", 2500.0), "c2": released("top", "T1")},
    )
    results = calculate(truss, digest=DIGEST)
    assert recheck(truss, claims(results), digest=DIGEST).verdict == "agrees"
    wrong = replace(results, state="built")
    assert recheck(truss, claims(wrong), digest=DIGEST, state="built").verdict == "disagrees"


def test_findings_say_what_was_seen_and_point_into_the_document() -> None:
    entries: dict[str, Condition] = {
        "c1": severed("bottom", 2500.0),
        "c2": parted("d", "T2"),
        "c3": missing("p2"),
        "c4": released("top", "T1"),
        "c5": LostSection(
            member=MemberId("p1"),
            what=Lost(minus_y=50.0),
            start=JointId("B1"),
            end=300.0,
            seen="rot",
        ),
    }
    truss = replace(queen(), condition=entries, sections={SectionId("s"): Section(width=100.0, depth=200.0)})
    told = {finding.evidence["entry"]: finding for finding in as_found(truss, "continuous")[1]}
    assert {name: (finding.code, finding.level) for name, finding in told.items()} == {
        "c1": ("severed", "query"),
        "c2": ("severed", "query"),
        "c3": ("missing", "query"),
        "c4": ("released", "note"),
        "c5": ("lost-section", "note"),
    }
    assert told["c1"].says == "bottom is severed between B1 and B2, 500 mm from B1 (seen: sawn)."
    assert told["c2"].says == (
        "d has come away from T2; 2500 mm of it hangs on B1 and carries nothing (seen: pulled out)."
    )
    assert told["c5"].says == (
        "p1 has 75 % of its area and 42 % of its inertia left from B1 to 300 mm along it, "
        "with its centroid 25 mm aside; axial force bends it there (seen: rot)."
    )
    assert told["c1"].where == ("/condition/c1", "/members/bottom")


def test_rafters_of_a_square_keep_their_length_at_a_cut() -> None:
    """A cut half way up a rafter 3 in 4 lies half way up it."""
    truss = found(queen(), severed("top", 1250.0))
    assert truss.joints[JointId("c1.2")].x == pytest.approx(1000.0)
    assert truss.joints[JointId("c1.2")].y == pytest.approx(750.0)
    assert sqrt(truss.joints[JointId("c1.2")].x ** 2 + truss.joints[JointId("c1.2")].y ** 2) == pytest.approx(
        1250.0
    )
