"""A panel point where a post was forgotten is asked about; purlins, hangers and what a record explains are not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.audit.forms import pitched
from tests.audit.spoilt import surveyed
from tests.trusses import at_joint, stick
from trussio.audit.bare_joints import bare_joints
from trussio.audit.subject import subject_of
from trussio.model.connection import Brace, Butt, Connection
from trussio.model.site import Site, Surface
from trussio.model.truss import Joint, JointId, MemberId, Truss

OPEN = pitched(skipped="p3 d2 d4")
"""Nothing meets the bottom chord at B3 any more."""


def told(truss: Truss) -> list[tuple[str, ...]]:
    return [finding.where for finding in bare_joints(subject_of(truss, "continuous"))]


def recorded(*, butt: float | None = None, brace: JointId | None = None) -> Truss:
    record = {
        "butts": () if butt is None else (Butt(ply=1, at=butt),),
        "braced": () if brace is None else (Brace(plane="out", by="strut", seen=True, at=brace),),
    }
    truss = surveyed(bottom=record)
    return replace(truss, members={n: m for n, m in truss.members.items() if n not in {"p3", "d2", "d4"}})


def purlined(at: JointId | float) -> Truss:
    ceiling = Surface(kind="ceiling", role="bottom-chord", purlins=(at,))
    return replace(OPEN, surfaces={"ceiling": ceiling}, site=Site(edition="en1991", spacing=4000.0))


def joined(at: str) -> Truss:
    return replace(OPEN, connections={"c": Connection(pieces=(), joint=JointId(at))})


@pytest.mark.parametrize(
    ("says", "truss", "expected"),
    [
        ("the middle post gone", OPEN, [("/joints/B3", "/joints/T3", "/members/bottom")]),
        ("every post there", pitched(), []),
        ("two left bare", pitched(skipped="p3 d2 d4 p1 d1"),
         [("/joints/B1", "/joints/B3", "/joints/T1", "/joints/T3", "/members/bottom")]),
        ("three are a pattern", pitched(skipped="p3 d2 d4 p1 d1 p5 d5"), []),
        ("a load hangs there", pitched(at_joint("B3", fy=-900.0), skipped="p3 d2 d4"), []),
        ("a butt is there", recorded(butt=6000.0), []),
        ("a butt is elsewhere", recorded(butt=5000.0), [("/joints/B3", "/joints/T3", "/members/bottom")]),
        ("a brace is there", recorded(brace=JointId("B3")), []),
        ("a purlin is there by name", purlined(JointId("B3")), []),
        ("a purlin is there by place", purlined(6000.0), []),
        ("a purlin is elsewhere", purlined(5000.0), [("/joints/B3", "/joints/T3", "/members/bottom")]),
        ("a connection is there", joined("B3"), []),
    ],
)  # fmt: skip
def test_what_is_bare(says: str, truss: Truss, expected: list[tuple[str, ...]]) -> None:
    assert told(truss) == expected, says


def test_two_sticks_that_meet_end_to_end_are_not_said_to_run_through() -> None:
    cut = pitched(
        skipped="bottom p3 d2 d4",
        b1=stick("B0", "B1", "B2", "B3", role="bottom-chord"),
        b2=stick("B3", "B4", "B5", "B6", role="bottom-chord"),
    )
    (found,) = bare_joints(subject_of(cut, "continuous"))
    assert found.says == (
        "b1 and b2 meet end to end at B3, and nothing else is known to be there: no member, load, butt, brace or "
        "connection. A post from B3 to T3 would be usual."
    )


def test_no_post_is_offered_where_a_stick_runs_already() -> None:
    post = {"p": stick("B3", "M3", role="web"), "q": stick("M3", "T3", role="web")}
    truss = pitched(skipped="p3", **post)
    middle = replace(truss, joints={**truss.joints, JointId("M3"): Joint(x=6000.0, y=1000.0)})
    (found,) = bare_joints(subject_of(middle, "continuous"))
    assert found.says.endswith(
        "p and q meet end to end at M3, and nothing else is known to be there: no member, "
        "load, butt, brace or connection."
    )


def test_purlins_on_the_top_chord_are_silent_and_a_single_one_is_asked_about() -> None:
    places = {"S1": (1000.0, 500.0), "S2": (3000.0, 1500.0)}
    joints = {JointId(name): Joint(x=x, y=y) for name, (x, y) in places.items()}
    both = pitched(left=stick("B0", "S1", "T1", "S2", "T2", "T3", role="top-chord"))
    one = pitched(left=stick("B0", "S1", "T1", "T2", "T3", role="top-chord"))
    assert told(replace(both, joints={**both.joints, **joints})) == []
    assert told(replace(one, joints={**one.joints, **joints})) == [("/joints/S1", f"/members/{MemberId('left')}")]
