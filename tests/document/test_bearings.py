"""A support holds each direction once and moves only where it holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.document.small import SMALL, changed, only_fault, taken

if TYPE_CHECKING:
    from trussio.model.truss import Json

TWICE = "this direction is held already."
THIRD = "two other directions hold this joint already, so nothing is left for a third."
TURN = "the turn of this joint is held twice."
ALONG = "this support does not hold its joint in the direction of the movement."


@pytest.mark.parametrize(
    ("support", "where", "says"),
    [
        ({"holds": ["x", "x"]}, "holds/1", TWICE),
        ({"holds": ["x", [1, 0]]}, "holds/1", TWICE),
        ({"holds": [[0, -3], "y"]}, "holds/1", TWICE),
        ({"holds": [[0.6, 0.8], [-3, -4]]}, "holds/1", TWICE),
        ({"holds": ["x"], "springs": {"x": 5}}, "springs/x", TWICE),
        ({"holds": [[0, 2]], "springs": {"y": 5}}, "springs/y", TWICE),
        ({"holds": ["turn", "x", "turn"]}, "holds/2", TURN),
        ({"holds": ["turn"], "springs": {"turn": 5}}, "springs/turn", TURN),
        ({"holds": ["x", "y", [0.6, 0.8]]}, "holds/2", THIRD),
        ({"holds": []}, "", "this support holds nothing."),
        ({}, "", "this support holds nothing."),
        ({"holds": [[0, 0]]}, "holds/0", "[0, 0] is no direction."),
        ({"holds": ["z", "x"]}, "holds/0", 'the text "z" is not known here.'),
    ],
)
def test_a_support_that_holds_twice_or_nothing_is_refused(support: Json, where: str, says: str) -> None:
    fault = only_fault(changed(SMALL, "/supports/B2", support))
    assert fault.where == f"/supports/B2/{where}".rstrip("/")
    assert fault.what == says
    assert fault.do


@pytest.mark.parametrize(
    ("support", "moves", "where", "says"),
    [
        ({"holds": ["y"]}, {"x": 0.5}, "moves", ALONG),
        ({"holds": ["y"]}, {"x": 0.5, "y": -0.5}, "moves", ALONG),
        ({"holds": [[0.6, 0.8]]}, {"y": 0.4}, "moves", ALONG),
        ({"holds": [[0.6, 0.8]]}, {"x": 0.3, "y": 0.402}, "moves", ALONG),
        ({"holds": ["turn"]}, {"y": 0.1}, "moves", ALONG),
        ({"holds": ["x", "y"]}, {"turn": 0.01}, "moves/turn", "this support does not hold the turn of its joint"),
    ],
)
def test_a_support_moves_only_where_it_holds(support: Json, moves: Json, where: str, says: str) -> None:
    document = changed(SMALL, "/supports/B2", support)
    fault = only_fault(changed(document, "/loads/cases/D/loads/1", {"support": "B2", "moves": moves}))
    assert fault.where == f"/loads/cases/D/loads/1/{where}"
    assert fault.what.startswith(says)
    assert fault.do


@pytest.mark.parametrize(
    ("support", "moves"),
    [
        ({"holds": ["y"]}, {"y": -0.5, "x": 0}),
        ({"holds": ["y"]}, {"turn": 0}),
        ({"holds": [[0.6, 0.8]]}, {"x": -0.3, "y": -0.4}),
        ({"holds": [[0.707, 0.707]]}, {"x": 0.3536, "y": 0.3535}),
        ({"holds": ["x", [0.6, 0.8]]}, {"x": 0.5, "y": 9}),
        ({"holds": ["x"], "springs": {"y": 900, "turn": 1}}, {"x": 0.5, "y": 9, "turn": 1e-3}),
        ({"holds": ["x", "y"], "springs": {"turn": 5}}, {}),
        ({"springs": {"x": 5, "y": 5}, "holds": [[1, 1]]}, {"x": 1}),
    ],
)
def test_what_a_support_holds_may_move(support: Json, moves: Json) -> None:
    document = changed(SMALL, "/supports/B2", support)
    document = changed(document, "/loads/cases/D/loads/1", {"support": "B2", "moves": moves})
    assert taken(document).supports
