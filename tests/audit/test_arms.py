"""Ends beside joints decide with the rest whether a truss can move, and the rank is that of the true matrix."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.strategies import random_truss, seeded
from tests.trusses import PIN, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.audit.arms import arms_of, shifted
from trussio.audit.compatibility import compatibility, reach_of
from trussio.audit.rank import decompose
from trussio.audit.stops import stops
from trussio.errors import CannotAnalyseError
from trussio.model.idealised import idealise
from trussio.model.truss import JointId, MemberId, Truss


def three_hinges(down: float) -> Truss:
    """Two sticks in one line between two pins; the first ends below their joint, on the second, which turns it."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0)},
        members={"one": stick("A", "M"), "two": stick("M", "B", fixed=("first",))},
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("M", fy=-100.0),)},
    )
    one = replace(truss.members[MemberId("one")], offsets={"last": (0.0, -down)} if down else None)
    return replace(truss, members={**truss.members, MemberId("one"): one})


def test_three_hinges_in_one_line_move_and_with_one_below_they_stand() -> None:
    """The middle hinge hangs 100 below: a shallow arch upside down, a tie on both sides."""
    assert [one.code for one in stops(three_hinges(0.0), idealisation="continuous")]
    with pytest.raises(CannotAnalyseError):
        analyse(three_hinges(0.0))
    hung = three_hinges(100.0)
    assert stops(hung, idealisation="continuous") == ()
    (run,) = analyse(hung).values()
    assert run.segments[next(s.id for s in hung.segments if s.member == "one")].axial > 0.0


def test_an_offset_back_into_the_line_makes_a_mechanism_of_what_stood() -> None:
    hung = three_hinges(0.0)
    joints = {**hung.joints, JointId("M"): replace(hung.joints[JointId("M")], y=100.0)}
    raised = replace(hung, joints=joints)
    assert stops(raised, idealisation="continuous") == ()
    one = replace(raised.members[MemberId("one")], offsets={"last": (0.0, -100.0)})
    level = replace(raised, members={**raised.members, MemberId("one"): one})
    assert [found.code for found in stops(level, idealisation="continuous")]
    with pytest.raises(CannotAnalyseError):
        analyse(level)


@pytest.mark.parametrize("seed", range(8))
def test_a_truss_that_turns_as_a_whole_feels_nothing(seed: int) -> None:
    """Every segment and every fixed end follows a small turn of all, whatever the arms; only holds feel it."""
    draw = seeded(seed)
    truss = random_truss(draw, idealisation="continuous", panels=3)
    ideal = idealise(truss, "continuous")
    members = dict(truss.members)
    for name, member in truss.members.items():
        ends = {"first": member.through[0], "last": member.through[-1]}
        aside = {e: (draw.uniform(-9, 9), draw.uniform(-9, 9)) for e, j in ends.items() if j in ideal.shared}
        members[name] = replace(member, offsets=aside or None)  # type: ignore[arg-type]  # keys are ends
    beside = replace(truss, members=members)
    compat, plain = compatibility(beside, ideal), compatibility(truss, ideal)
    assert compat.matrix.shape == plain.matrix.shape
    assert np.abs(compat.matrix - plain.matrix).max() > 1e-4
    assert decompose(compat.matrix).rank == decompose(plain.matrix).rank
    lengths = np.hypot(*(compat.xy[compat.ends[:, 1]] - compat.xy[compat.ends[:, 0]]).T)
    for arm in arms_of(beside, ideal):
        assert arm.turn == ideal.shared[list(truss.joints)[compat.ends[arm.segment, arm.end]]]
    across = shifted(compat.xy[compat.ends[:, 1]] - compat.xy[compat.ends[:, 0]], arms_of(beside, ideal))
    reach = reach_of(ideal, compat.moments, np.hypot(across[:, 0], across[:, 1]))
    turned = np.concatenate([np.column_stack((-compat.xy[:, 1], compat.xy[:, 0])).ravel(), reach])
    inner = len(lengths) + len(compat.moments)
    assert np.abs(compat.matrix[:inner] @ turned).max() < 1e-9 * lengths.max()
