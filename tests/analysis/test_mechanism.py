"""What can move is refused: no support, mechanisms, and what is too near to one, whatever the loads do."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin
from typing import TYPE_CHECKING

import pytest

from tests.trusses import CLAMP, MATERIAL, OPEN_SQUARE, PIN, RAFTER_PAIR, ROLLER, P, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.errors import CannotAnalyseError
from trussio.model.loading import LoadCase, Loads
from trussio.model.truss import Joint, JointId, Support

if TYPE_CHECKING:
    from trussio.model.loading import Load
    from trussio.model.truss import Idealisation, Truss

ASK = "Ask what holds it in the roof: a member, a bearing or a stick that runs through is missing here."


def refusal(truss: Truss, idealisation: Idealisation = "continuous") -> CannotAnalyseError:
    with pytest.raises(CannotAnalyseError) as refused:
        analyse(truss, idealisation=idealisation)
    return refused.value


@pytest.mark.parametrize("supports", [{}, {JointId("B0"): Support(holds=("turn",), springs={"turn": 1.0})}])
def test_a_truss_that_nothing_supports_is_told_so(supports: dict[JointId, Support]) -> None:
    found = refusal(replace(RAFTER_PAIR.truss, supports=supports))
    assert (found.code, found.where) == ("no-support", "/supports")
    assert found.what == (
        "nothing holds the truss: no joint is supported in x, in y or along an inclined bearing."
    )
    assert found.do == (
        "Say where it bears and what each bearing holds, usually one end `x` and `y`, the other `y` alone."
    )


def lone(x: float, y: float) -> Truss:
    return replace(RAFTER_PAIR.truss, joints={**RAFTER_PAIR.truss.joints, JointId("Z"): Joint(x=x, y=y)})


def unbraced(*loads: Load, kink: float = 0.0) -> Truss:
    """Two bars on one line with a joint between: it can move across, unless the line has a kink."""
    return build(
        joints={"A": (0.0, 0.0), "M": (1000.0, kink), "B": (2000.0, 0.0)},
        members={"one": stick("A", "M"), "two": stick("M", "B")},
        supports={"A": PIN, "B": PIN},
        cases={"P": loads},
    )


@pytest.mark.parametrize(
    ("truss", "where", "what"),
    [
        (unbraced(at_joint("M", fy=-1.0)), "/joints/M", "M can move up and down (1 mechanism)."),
        (lone(1.0, 9000.0), "/joints/Z", "Z can move (2 mechanisms)."),
        (
            replace(RAFTER_PAIR.truss, supports={JointId("B0"): ROLLER, JointId("B2"): ROLLER}),
            "/joints/B0",
            "B0, T1 and B2 can move (1 mechanism).",
        ),
        (
            replace(RAFTER_PAIR.truss, supports={JointId("B0"): PIN}),
            "/joints/T1",
            "T1 and B2 can move (1 mechanism).",
        ),
        (
            build(
                joints={"A": (0.0, 0.0), "B": (0.0, 1000.0)},
                members={"post": stick("A", "B")},
                supports={"A": CLAMP},
                cases={"P": (at_joint("B", fy=-1.0),)},
            ),
            "/joints/B",
            "B can move sideways (1 mechanism).",
        ),
    ],
)
def test_what_can_move_is_named_with_where_it_goes(truss: Truss, where: str, what: str) -> None:
    found = refusal(truss)
    assert (found.code, found.where, found.what, found.do) == ("mechanism", where, what, ASK)


def square(*loads: Load) -> Truss:
    return replace(OPEN_SQUARE.truss, loads=Loads(cases={P: LoadCase(loads=loads)}))


@pytest.mark.parametrize(
    "loads",
    [(), (at_joint("A", fy=-1000.0),), (at_joint("D", fx=0.0, fy=-1000.0), at_joint("C", fy=-1000.0))],
    ids=["no load", "on a bearing", "down its posts"],
)
def test_a_mechanism_that_no_load_stirs_is_refused_all_the_same(loads: tuple[Load, ...]) -> None:
    assert refusal(square(*loads)).code == "mechanism"
    assert refusal(square(*loads), "pinned").code == "mechanism"


@pytest.mark.parametrize("factor", [1e-9, 1.0, 1e9])
@pytest.mark.parametrize("turn", [0.0, 0.1, 0.7, 1.3])
def test_a_mechanism_is_one_at_any_stiffness_and_in_any_position(factor: float, turn: float) -> None:
    """Turned, its joints have rounded places; nothing of it stands exactly upright any more."""
    square = {"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0), "D": (0.0, 1000.0)}
    truss = build(
        joints={
            name: (x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)) for name, (x, y) in square.items()
        },
        members=dict(OPEN_SQUARE.truss.members.items()),
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("C", fx=3.0, fy=-1000.0),)},
        material=replace(MATERIAL, E=1e4 * factor),
    )
    assert refusal(truss).what == "C and D can move (1 mechanism)."


def test_a_kink_that_carries_by_thousands_is_solved_and_one_that_no_drawing_shows_is_refused() -> None:
    """P / (2 kink / L) in both bars while the kink is one; below what numbers can tell it is none."""
    for kink in (-1.0, -0.1, -0.01):
        found = analyse(unbraced(at_joint("M", fy=-1.0), kink=kink))[P]
        assert next(iter(found.segments.values())).axial == pytest.approx(1000.0 / (-2 * kink), rel=1e-6)
    assert refusal(unbraced(at_joint("M", fy=-1.0), kink=-1e-7)).code == "mechanism"


def test_between_the_two_a_near_mechanism_is_told_as_such() -> None:
    found = refusal(unbraced(at_joint("M", fy=-1.0), kink=-3e-5))
    assert str(found) == (
        "near-mechanism: the truss is so near to a mechanism that no force in it can be computed to be trusted. "
        "Look for joints that hardly anything holds, and for stiffnesses far too small or too large."
    )
