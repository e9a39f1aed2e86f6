"""Generic rigidity against the rank of a framework placed at random, and against hand-made cases."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.audit.forms import pitched
from tests.published.statics import UNSTABLE
from trussio.audit.regions import generic, regions
from trussio.audit.rigidity import Rigidity, rigidity
from trussio.audit.subject import subject_of

Pair = tuple[int, int]


@st.composite
def frameworks(draw: st.DrawFn) -> tuple[int, list[Pair]]:
    joints = draw(st.integers(2, 10))
    pair = st.sampled_from(list(combinations(range(joints), 2)))
    return joints, draw(st.lists(pair, max_size=24))


def rigid_pairs(joints: int, members: list[Pair]) -> tuple[int, set[Pair]]:
    """Rank of the framework at random places, and the pairs of joints that no motion brings nearer or farther."""
    xy = np.random.default_rng(7).normal(size=(joints, 2))

    def row(pair: Pair) -> np.ndarray:
        out = np.zeros((joints, 2))
        out[pair[1]] = xy[pair[1]] - xy[pair[0]]
        out[pair[0]] = -out[pair[1]]
        return out.ravel()

    rows = np.array([row(pair) for pair in members]).reshape(-1, 2 * joints)
    _, values, right = np.linalg.svd(rows)
    rank = int((values > 1e-9).sum())
    free = right[rank:].T
    return rank, {
        pair for pair in combinations(range(joints), 2) if np.abs(row(pair) @ free).max(initial=0) < 1e-7
    }


@settings(max_examples=300, deadline=None)
@given(frameworks())
def test_regions_freedom_and_spare_are_those_of_the_rank_at_random_places(
    framework: tuple[int, list[Pair]],
) -> None:
    joints, members = framework
    rank, rigid = rigid_pairs(joints, members)
    found = rigidity(joints, members)
    assert {pair for region in found.regions for pair in combinations(region.joints, 2)} == rigid
    assert found.spare == len(members) - rank == sum(region.spare for region in found.regions)
    assert found.freedom == max(0, 2 * joints - 3 - rank)


K33 = [(a, b) for a in (0, 1, 2) for b in (3, 4, 5)]


@pytest.mark.parametrize(
    ("says", "joints", "members", "expected"),
    [
        ("a triangle", 3, [(0, 1), (1, 2), (0, 2)], (0, 0, [(0, 1, 2)])),
        ("an open square", 4, [(0, 1), (1, 2), (2, 3), (3, 0)], (1, 0, [(0, 1), (0, 3), (1, 2), (2, 3)])),
        ("a member twice", 2, [(0, 1), (1, 0)], (0, 1, [(0, 1)])),
        ("six joints each joined to three, no triangle in it", 6, K33, (0, 0, [(0, 1, 2, 3, 4, 5)])),
        ("two triangles at one joint", 5, [(0, 1), (1, 2), (0, 2), (2, 3), (3, 4), (2, 4)],
         (1, 0, [(0, 1, 2), (2, 3, 4)])),
        ("a square with both diagonals beside a joint on one member", 5,
         [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3), (3, 4)], (1, 1, [(0, 1, 2, 3), (3, 4)])),
        ("nothing at all", 2, [], (1, 0, [])),
    ],
)  # fmt: skip
def test_hand_made_frameworks(
    says: str, joints: int, members: list[Pair], expected: tuple[int, int, list[tuple[int, ...]]]
) -> None:
    found = rigidity(joints, members)
    assert (found.freedom, found.spare, [region.joints for region in found.regions]) == expected, says


def generic_of(entry: str) -> Rigidity:
    (truss,) = (each.truss for each in UNSTABLE if each.id == entry)
    return generic(subject_of(truss, "pinned"))[1]


@pytest.mark.parametrize("entry", ["US01", "US09", "US11", "US17"])
def test_critical_forms_are_rigid_by_the_count_of_regions(entry: str) -> None:
    assert generic_of(entry).freedom == 0


@pytest.mark.parametrize(
    ("entry", "freedom"),
    [("US05", 1), ("US14", 2), ("US16", 1), ("US18", 3), ("US04", 1), ("US15", 0), ("US12", 0)],
)
def test_what_lacks_members_lacks_them_by_the_count_of_regions(entry: str, freedom: int) -> None:
    assert generic_of(entry).freedom == freedom


def test_a_spare_member_in_one_region_and_one_missing_elsewhere_are_named() -> None:
    (truss,) = (each.truss for each in UNSTABLE if each.id == "US04")
    (finding,) = regions(subject_of(truss, "pinned"))
    assert finding.code == "misplaced-members"
    assert (finding.evidence["spare"], finding.evidence["missing"]) == (1, 1)
    assert set(finding.where) == {
        f"/joints/{name}" for name in ("s0", "s1", "s2", "s3", "s4", "m1", "m2", "m3", "ap")
    }


def test_a_truss_that_stands_is_passed_over() -> None:
    assert list(regions(subject_of(pitched(), "pinned"))) == []
    assert generic(subject_of(pitched(), "pinned"))[1].freedom == 0
