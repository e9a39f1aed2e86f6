"""Critical forms: whether the movement goes on or stops is said as it is."""

from __future__ import annotations

from math import cos, sin
from typing import TYPE_CHECKING

import pytest

from tests.trusses import PIN, ROLLER, build, stick
from trussio.audit.regions import regions
from trussio.audit.subject import subject_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import Truss

GOES_ON = (
    "Members and holds are enough in every region: it is the form that fails, and the members do not stop the "
    "movement once it has begun."
)
IN_THIS_SHAPE = (
    "Members and holds are enough in every region: it is the form that fails. In this very shape, and in none "
    "near it, the joints can move."
)


def linked(joints: Mapping[str, tuple[float, float]], *pairs: str) -> Truss:
    """A framework of single sticks, each named by its two joints, on a pin at the first joint and a roller."""
    names = list(joints)
    return build(
        joints=joints,
        members={pair: stick(*pair) for pair in pairs},
        supports={names[0]: PIN, names[1]: ROLLER},
        cases={},
    )


LOWER = {"a": (0.0, 0.0), "b": (3000.0, 0.0), "c": (1500.0, 2000.0)}
TWO_TRIANGLES = ("ab", "bc", "ca", "de", "ef", "fd", "ad", "be", "cf")


def above(**by: tuple[float, float]) -> dict[str, tuple[float, float]]:
    return {**LOWER, **by}


AROUND = (0.1, 1.0, 2.3, 3.0, 4.1, 5.2)


def ellipse() -> dict[str, tuple[float, float]]:
    """Six joints on one ellipse, a conic."""
    return {name: (5000 * cos(at), 3000 * sin(at)) for name, at in zip("abcdef", AROUND, strict=True)}


@pytest.mark.parametrize(
    ("says", "truss", "words"),
    [
        ("three parallel links of one length: a parallelogram",
         linked(above(d=(500.0, 4000.0), e=(3500.0, 4000.0), f=(2000.0, 6000.0)), *TWO_TRIANGLES), GOES_ON),
        ("three parallel links of three lengths",
         linked(above(d=(0.0, 4000.0), e=(3000.0, 4500.0), f=(1500.0, 7000.0)), *TWO_TRIANGLES), IN_THIS_SHAPE),
        ("three links whose lines meet in one point, (1500, 9000)",
         linked(above(d=(600.0, 3600.0), e=(2325.0, 4050.0), f=(1500.0, 6200.0)), *TWO_TRIANGLES), IN_THIS_SHAPE),
        ("each of three joints to each of three, all six on a conic",
         linked(ellipse(), "ab", "ad", "af", "cb", "cd", "cf", "eb", "ed", "ef"), IN_THIS_SHAPE),
    ],
)  # fmt: skip
def test_a_critical_form_says_whether_the_movement_goes_on(says: str, truss: Truss, words: str) -> None:
    """Links that meet in one point, and joints on a conic.

    Three links hold a body unless their lines meet in one point or are parallel; three joints each tied to three
    others are rigid unless all lie on a conic (E. D. Bolker, B. Roth, Pacific J. Math. 90 (1980), from memory).
    """
    assert [found.says for found in regions(subject_of(truss, "pinned"))] == [words], says


def test_one_link_off_the_common_point_is_no_critical_form() -> None:
    moved = linked(above(d=(600.0, 3600.0), e=(2325.0, 4050.0), f=(1900.0, 6200.0)), *TWO_TRIANGLES)
    assert list(regions(subject_of(moved, "pinned"))) == []
