"""Mechanisms told apart: groups, motions, whether they go on, and what would hold them."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from tests.audit.forms import pitched, supported
from tests.published.statics import UNSTABLE
from tests.trusses import OPEN_SQUARE, PIN, ROLLER, build, stick
from trussio.audit.compatibility import compatibility
from trussio.audit.cures import Cure, cures
from trussio.audit.instability import instability
from trussio.audit.mechanisms import extent, mechanisms, plainest
from trussio.audit.rank import decompose, statics
from trussio.model.idealised import idealise
from trussio.model.truss import Idealisation, JointId, Member, MemberId, Support, Truss

KNOWN = {entry.id: entry.truss for entry in UNSTABLE}


def told(truss: Truss, idealisation: Idealisation = "continuous") -> list[tuple[str, int, tuple[str, ...]]]:
    """Kind, number and joints of each group."""
    names = list(truss.joints)
    compat = compatibility(truss, idealise(truss, idealisation))
    return [
        (group.kind, group.count, tuple(names[joint] for joint in group.joints))
        for group in mechanisms(compat, decompose(compat.matrix).motions)
    ]


def extents(truss: Truss) -> list[str]:
    compat = compatibility(truss, idealise(truss, "continuous"))
    rank = decompose(compat.matrix)
    groups = mechanisms(compat, rank.motions)
    return [extent(compat, rank.stresses, shape) for group in groups for shape in plainest(group)]


@pytest.mark.parametrize(
    ("says", "entry", "groups"),
    [
        ("a joint between two collinear bars moves by itself", "US09", [("local", 1, ("b",))]),
        ("two such joints are two groups", "US10", [("local", 1, ("b",)), ("local", 1, ("c",))]),
        ("three parallel bearings let the whole truss slide", "US17", [("whole", 1, ("a", "b", "c", "d", "e"))]),
        ("a part by itself has three motions of one piece", "US18", [("part", 3, ("p", "q", "r"))]),
        ("two panels without diagonals move together", "US14", [("internal", 2, ("b", "d", "e", "f"))]),
        ("a stable control has none", "US15", []),
    ],
)
def test_groups_of_published_mechanisms(
    says: str, entry: str, groups: list[tuple[str, int, tuple[str, ...]]]
) -> None:
    assert told(KNOWN[entry]) == groups, says


def test_two_open_panels_far_apart_between_three_bearings_are_two_groups() -> None:
    places = {"a": (0, 0), "b": (1, 0), "c": (0, 1), "d": (1, 1), "e": (2, 0), "f": (2, 1)}
    truss = build(
        joints={name: (float(x), float(y)) for name, (x, y) in places.items()},
        members={"ac": stick("a", "c"), "bd": stick("b", "d"), "ef": stick("e", "f"), "cd": stick("c", "d")},
        supports={"a": PIN, "b": PIN, "e": PIN},
        cases={},
    )
    assert told(truss) == [("internal", 1, ("c", "d")), ("local", 1, ("f",))]


def test_a_joint_that_no_member_meets_is_told_as_such() -> None:
    truss = replace(OPEN_SQUARE.truss, joints={**pitched().joints}, members=pitched().members)
    lone = replace(
        supported(truss, B0=PIN, B6=ROLLER),
        joints={**truss.joints, JointId("J9"): replace(truss.joints[JointId("T3")], y=9e3)},
    )
    assert told(lone) == [("lone", 2, ("J9",))]
    compat = compatibility(lone, idealise(lone, "continuous"))
    (finding,) = instability(lone, compat, decompose(compat.matrix), idealisation="continuous")
    assert finding.says == (
        "J9 can move: no member meets it (2 mechanisms); a hold in x at J9 and in y at J9 would stop it."
    )


@pytest.mark.parametrize(
    ("says", "entry", "expected"),
    [
        ("collinear bars are stopped by their own growth", "US09", ["infinitesimal"]),
        ("the critical hexagon is only infinitesimally mobile", "US01", ["infinitesimal"]),
        ("concurrent links too", "US11", ["infinitesimal"]),
        ("concurrent bearings too", "US07", ["infinitesimal"]),
        ("rollers roll on", "US17", ["finite"]),
        ("an open panel goes on", "US16", ["finite"]),
        ("both open panels go on", "US14", ["finite", "finite"]),
    ],
)
def test_whether_a_motion_goes_on(says: str, entry: str, expected: list[str]) -> None:
    assert extents(KNOWN[entry]) == expected, says


@pytest.mark.parametrize("entry", [entry for entry in KNOWN if told(KNOWN[entry])])
def test_motions_lengthen_no_bar_and_span_the_mechanisms(entry: str) -> None:
    truss = KNOWN[entry]
    compat = compatibility(truss, idealise(truss, "continuous"))
    motions = decompose(compat.matrix).motions
    groups = mechanisms(compat, motions)
    assert sum(group.count for group in groups) == motions.shape[1]
    for group in groups:
        shapes = plainest(group)
        assert len(shapes) == group.count
        assert all(np.abs(shape).max() == pytest.approx(1.0) for shape in shapes)
        for shape in shapes:
            apart = shape[compat.ends[:, 1]] - shape[compat.ends[:, 0]]
            assert np.abs((apart * compat.along).sum(axis=1)).max() < 1e-9


def test_a_part_of_its_own_is_shown_in_motions_of_two_joints_each() -> None:
    truss = KNOWN["US18"]
    compat = compatibility(truss, idealise(truss, "continuous"))
    (group,) = mechanisms(compat, decompose(compat.matrix).motions)
    assert [int((np.abs(shape).max(axis=1) > 0).sum()) for shape in plainest(group)] == [2, 2, 2]


def cured(truss: Truss, idealisation: Idealisation) -> list[Cure]:
    compat = compatibility(truss, idealise(truss, idealisation))
    (group,) = mechanisms(compat, decompose(compat.matrix).motions)
    return cures(list(truss.joints), compat, group)


def with_cure(truss: Truss, cure: Cure) -> Truss:
    """The truss with a cure built in."""
    members = {
        **truss.members,
        **{
            MemberId(f"cure{k}"): Member(through=pair, section=None, material=None)
            for k, pair in enumerate(cure.members)
        },
    }
    supports = dict(truss.supports)
    for joint, axis in cure.holds:
        old = supports.get(joint, Support())
        supports[joint] = replace(old, holds=(*old.holds, axis))
    return replace(truss, members=members, supports=supports)


@pytest.mark.parametrize("entry", [entry for entry in KNOWN if told(KNOWN[entry]) and entry != "US10"])
def test_every_cure_offered_holds_its_group(entry: str) -> None:
    offered = cured(KNOWN[entry], "continuous")
    assert offered
    for cure in offered:
        assert statics(with_cure(KNOWN[entry], cure), "continuous").mechanisms == 0


@pytest.mark.parametrize("gone", ["d1", "d2", "d4", "d5"])
def test_the_brace_that_is_gone_is_among_the_first_two_cures(gone: str) -> None:
    offered = cured(pitched(skipped=gone), "pinned")
    pair = frozenset(pitched().members[MemberId(gone)].through)
    assert pair in [frozenset(cure.members[0]) for cure in offered[:2]]


def test_no_cheaper_cure_than_one_member_for_each_mechanism() -> None:
    truss = KNOWN["US14"]
    (cure,) = cured(truss, "continuous")
    assert len(cure.members) == 2
    names = list(truss.joints)
    for pair in combinations(names, 2):
        single = with_cure(truss, Cure(members=(pair,)))
        assert statics(single, "continuous").mechanisms >= 1


def test_a_cure_passes_through_no_joint_and_repeats_no_member() -> None:
    truss = pitched(skipped="d2")
    beside = {frozenset((s.first, s.last)) for s in truss.segments}
    for cure in cured(truss, "pinned"):
        assert not {frozenset(pair) for pair in cure.members} & beside


def test_the_message_says_who_moves_where_and_what_would_hold_it() -> None:
    truss = pitched(skipped="d2 d4")
    compat = compatibility(truss, idealise(truss, "pinned"))
    found = instability(truss, compat, decompose(compat.matrix), idealisation="pinned")
    assert [finding.says for finding in found] == [
        (
            "B1, B2, T1 and T2 can move together, T2 most, up to the left and down to the right (1 mechanism); "
            "a diagonal B3-T2, B2-T3 or B4-T2 would hold it."
        ),
        (
            "B4, B5, T4 and T5 can move together, T4 most, up and down (1 mechanism); "
            "a diagonal B3-T4, B4-T3 or B2-T4 would hold it."
        ),
    ]
    assert found[0].where == ("/joints/B1", "/joints/B2", "/joints/T1", "/joints/T2")
    assert found[0].evidence["cures"] == [
        {"members": [list(pair)]} for pair in (("B3", "T2"), ("B2", "T3"), ("B4", "T2"))
    ]


def test_very_many_loose_joints_are_told_in_few_findings() -> None:
    apart = build(
        joints={f"{end}{k}": (1000.0 * k, 500.0 * (end == "b")) for k in range(12) for end in "ab"},
        members={f"m{k}": stick(f"a{k}", f"b{k}") for k in range(12)},
        supports={f"a{k}": PIN for k in range(12)},
        cases={},
    )
    compat = compatibility(apart, idealise(apart, "continuous"))
    found = instability(apart, compat, decompose(compat.matrix), idealisation="continuous")
    assert len(found) == 9
    assert found[-1].says == "Besides, b8, b9, b10 and b11 can move (4 mechanisms)."
    assert sum(int(str(finding.evidence["mechanisms"])) for finding in found) == 12
