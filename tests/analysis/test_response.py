"""The frame as arrays: shapes, many cases at once, ill-conditioned frames against exact arithmetic."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
import pytest

from trussio.analysis.frame import Frame, deformation_matrix
from trussio.analysis.response import respond
from trussio.analysis.twofold import deformations, plus
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats

STOUT, SLENDER = 1e-9, 1.0
"""The give of a unit length along a stout stick, and in bending of a slender one: 1 / E A and 1 / E I."""


def beams(
    joints: list[tuple[float, float]], ends: list[tuple[int, int]], *, bending: list[float], held: list[int]
) -> Frame:
    """Sticks that turn with one rotation at every joint, all of them stout; `bending` gives 1 / E I of each."""
    places, pairs = np.array(joints), np.array(ends)
    length = np.hypot(*(places[pairs[:, 1]] - places[pairs[:, 0]]).T)
    flexibility = np.zeros((len(ends), 3, 3))
    flexibility[:, 0, 0] = STOUT * length
    flexibility[:, 1, 1] = flexibility[:, 2, 2] = np.array(bending) * length / 3
    flexibility[:, 1, 2] = flexibility[:, 2, 1] = np.array(bending) * length / 6
    total = 3 * len(joints)
    return Frame(
        joints=places,
        ends=pairs,
        turns=2 * len(joints) + pairs,
        total=total,
        flexibility=flexibility,
        free=np.setdiff1d(np.arange(total), held),
        springs=np.zeros(total),
        watched=np.array(held),
    )


def cantilever(angle: float = 0.0) -> Frame:
    """Two slender pieces built in at joint 0, in a row at an angle; turns are movements 6, 7 and 8."""
    along = np.array([np.cos(angle), np.sin(angle)])
    joints = [(0.0, 0.0), *(tuple(along * x) for x in (1.0, 2.0))]
    return beams(joints, [(0, 1), (1, 2)], bending=[SLENDER, SLENDER], held=[0, 1, 6])


def test_every_case_gives_what_it_gives_alone() -> None:
    frame = cantilever(0.3)
    loads = np.sin(np.arange(9.0 * 120)).reshape(9, 120)
    together = respond(frame, loads)
    assert together.movements.shape == (9, 120)
    assert together.forces.shape == (2, 3, 120)
    assert together.pulls.shape == (3, 120)
    for case in (0, 49, 50, 119):
        alone = respond(frame, loads[:, [case]])
        assert together.forces[..., case] == pytest.approx(alone.forces[..., 0], rel=1e-9)
        assert together.pulls[:, case] == pytest.approx(alone.pulls[:, 0], rel=1e-9)


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.0])
def test_a_slender_stick_a_thousand_million_times_softer_in_bending_is_solved(angle: float) -> None:
    """P at the tip, a third across: bending moments by statics and P l3 / 3 E I, whatever the angle."""
    along, across = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    loads = np.zeros((9, 1))
    loads[4:6, 0] = along - across / 3
    found = respond(cantilever(angle), loads)
    assert found.forces[:, 0, 0] == pytest.approx([1.0, 1.0], rel=1e-12)
    assert found.forces[:, 1:, 0] == pytest.approx(np.array([[-2 / 3, -1 / 3], [-1 / 3, 0.0]]), abs=1e-12)
    assert across @ found.movements[4:6, 0] == pytest.approx(-(2.0**3) / 9, rel=1e-11)
    assert along @ found.movements[4:6, 0] == pytest.approx(2e-9, rel=1e-3)


def exactly(frame: Frame, loads: Floats) -> list[list[Fraction]]:
    """Basic forces of a frame whose segments have whole lengths, by the same method without any rounding."""
    rows: list[list[Fraction]] = []
    stiff: list[list[list[Fraction]]] = []
    for (first, last), turns, flexible in zip(frame.ends.tolist(), frame.turns, frame.flexibility, strict=True):
        x, y = (Fraction(float(side)) for side in frame.joints[last] - frame.joints[first])
        length = Fraction(round(float(np.hypot(float(x), float(y)))))
        assert length**2 == x**2 + y**2
        places = [2 * first, 2 * first + 1, int(turns[0]), 2 * last, 2 * last + 1, int(turns[1])]
        c, s = x / length, y / length
        for row in (
            [-c, -s, Fraction(0), c, s, Fraction(0)],
            [s / length, -c / length, Fraction(-1), -s / length, c / length, Fraction(0)],
            [-s / length, c / length, Fraction(0), s / length, -c / length, Fraction(1)],
        ):
            whole = [Fraction(0)] * (frame.total + 1)
            for place, part in zip(places, row, strict=True):
                whole[place] += part
            rows.append(whole[: frame.total])
        acts = [True, turns[0] < frame.total, turns[1] < frame.total]
        stiff.append(inverted(flexible, acts))
    free = frame.free.tolist()
    pulled = [
        [
            sum((own[i][j] * rows[3 * m + j][column] for j in range(3)), Fraction(0))
            for column in range(frame.total)
        ]
        for m, own in enumerate(stiff)
        for i in range(3)
    ]
    whole_of = [
        [sum((r[a] * p[b] for r, p in zip(rows, pulled, strict=True)), Fraction(0)) for b in free] for a in free
    ]
    moved = eliminated(whole_of, [Fraction(float(loads[a, 0])) for a in free])
    return [
        [sum((pulled[3 * m + i][a] * u for a, u in zip(free, moved, strict=True)), Fraction(0)) for i in range(3)]
        for m in range(len(stiff))
    ]


def inverted(flexible: Floats, acts: list[bool]) -> list[list[Fraction]]:
    """The stiffness of a segment; rows and columns of hinges are zero."""
    kept = [index for index in range(3) if acts[index]]
    part = [[Fraction(float(flexible[i, j])) for j in kept] for i in kept]
    own = [[Fraction(0)] * 3 for _ in range(3)]
    for position, j in enumerate(kept):
        unit = [Fraction(int(k == position)) for k in range(len(kept))]
        for i, value in zip(kept, eliminated(part, unit), strict=True):
            own[i][j] = value
    return own


def eliminated(matrix: list[list[Fraction]], right: list[Fraction]) -> list[Fraction]:
    """The solution of a symmetrical system by elimination."""
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for pivot in range(len(rows)):
        for row in range(len(rows)):
            if row != pivot and rows[row][pivot]:
                factor = rows[row][pivot] / rows[pivot][pivot]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[pivot], strict=True)]
    return [row[-1] / row[index] for index, row in enumerate(rows)]


def panel_on_legs() -> Frame:
    """A braced panel of bars, stout, on two slender legs that are built in below: it leans as they bend."""
    joints = [(0.0, 0.0), (4.0, 0.0), (0.0, 3.0), (4.0, 3.0), (0.0, 6.0), (4.0, 6.0)]
    ends = [(0, 2), (1, 3), (2, 3), (4, 5), (2, 4), (3, 5), (2, 5), (3, 4)]
    total = 14
    turns = np.full((len(ends), 2), total)
    turns[0, 0], turns[1, 0] = 12, 13
    length = np.array([3.0, 3.0, 4.0, 4.0, 3.0, 3.0, 5.0, 5.0])
    flexibility = np.zeros((len(ends), 3, 3))
    flexibility[:, 0, 0] = STOUT * length
    flexibility[:, 1, 1] = flexibility[:, 2, 2] = SLENDER * length / 3
    flexibility[:, 1, 2] = flexibility[:, 2, 1] = SLENDER * length / 6
    return Frame(
        joints=np.array(joints),
        ends=np.array(ends),
        turns=turns,
        total=total,
        flexibility=flexibility,
        free=np.arange(4, 12),
        springs=np.zeros(total),
        watched=np.array([0, 1, 2, 3, 12, 13]),
    )


def test_a_stout_panel_that_slender_legs_carry_about_keeps_its_digits() -> None:
    """It moves ten thousand million times as far as it strains; exact arithmetic knows its forces."""
    frame = panel_on_legs()
    loads = np.zeros((frame.total, 1))
    loads[8, 0], loads[11, 0] = 1.0, -0.5
    found = respond(frame, loads)
    exact = exactly(frame, loads)
    assert found.movements[8, 0] > 1.0
    for segment, forces in enumerate(exact):
        for force in range(3):
            assert found.forces[segment, force, 0] == pytest.approx(float(forces[force]), abs=1e-12)
    assert found.pulls[[0, 2], 0].sum() == pytest.approx(-1.0, rel=1e-12)


def test_without_twice_the_digits_the_panel_loses_them() -> None:
    """The check on the check: forces taken from the movements alone are off by far more than rounding."""
    frame = panel_on_legs()
    loads = np.zeros((frame.total, 1))
    loads[8, 0], loads[11, 0] = 1.0, -0.5
    found = respond(frame, loads)
    flat = (deformation_matrix(frame) @ found.movements).reshape(-1, 3)[:, 0] / frame.flexibility[:, 0, 0]
    off = max(abs(flat[segment] - float(forces[0])) for segment, forces in enumerate(exactly(frame, loads)))
    assert off > 1e-9


def test_deformations_of_movements_and_their_rest_are_right_to_the_last_digit() -> None:
    """Against fractions: a segment of 3 and 4 carried far, with a rest that alone makes it longer."""
    frame = Frame(
        joints=np.array([[0.1, 0.2], [3.1, 4.2]]),
        ends=np.array([[0, 1]]),
        turns=np.array([[4, 5]]),
        total=6,
        flexibility=np.eye(3)[None],
        free=np.arange(6),
        springs=np.zeros(6),
        watched=np.arange(0),
    )
    moved = np.array([[7e8 / 3], [-1e8 / 7], [7e8 / 3 - 4e7], [-1e8 / 7 + 3e7], [1e7], [1e7 / 3]])
    rest = np.array([[1e-9], [0.0], [2e-9], [3e-9], [1e-10], [-1e-10]])
    x, y = (Fraction(float(b)) - Fraction(float(a)) for a, b in zip(*frame.joints, strict=True))
    u = [Fraction(float(a)) + Fraction(float(b)) for a, b in zip(moved[:, 0], rest[:, 0], strict=True)]
    square = x**2 + y**2
    longer = (x * (u[2] - u[0]) + y * (u[3] - u[1])) / Fraction(sqrt(square))
    swing = (x * (u[3] - u[1]) - y * (u[2] - u[0])) / square
    found = deformations(frame, (moved, rest))[0, :, 0]
    assert found[0] == pytest.approx(float(longer), rel=1e-14)
    assert found[1] == pytest.approx(float(swing - u[4]), rel=1e-14)
    assert found[2] == pytest.approx(float(u[5] - swing), rel=1e-14)


def test_a_sum_and_what_rounding_took_from_it_are_the_sum() -> None:
    one, other = np.array([1e16, 0.1, -3.0]), np.array([1.0, 0.2, 3.0 + 1e-15])
    total, lost = plus(one, other)
    for a, b, high, low in zip(one, other, total, lost, strict=True):
        assert Fraction(float(a)) + Fraction(float(b)) == Fraction(float(high)) + Fraction(float(low))
    assert lost[0] == 1.0


def test_springs_ties_and_prescribed_movements_act_together() -> None:
    """A bar of 1 / E A = 1e-9 on a spring of 2e9, its foot pushed in by 3: a third of it stays in the bar."""
    frame = Frame(
        joints=np.array([[0.0, 0.0], [1.0, 0.0]]),
        ends=np.array([[0, 1]]),
        turns=np.array([[4, 4]]),
        total=4,
        flexibility=STOUT * np.eye(3)[None],
        free=np.array([2]),
        springs=np.array([0.0, 0.0, 2e9, 0.0]),
        watched=np.array([0, 1, 2, 3]),
    )
    start = np.array([[3.0], [0.0], [0.0], [0.0]])
    for given in (frame, frame._replace(ties=np.array([[0.0], [0.0], [1.0], [0.0]]))):
        found = respond(given, np.zeros((4, 1)), start=start)
        assert found.movements[:, 0] == pytest.approx([3.0, 0.0, 1.0, 0.0], rel=1e-12)
        assert found.forces[0, :, 0] == pytest.approx([-2e9, 0.0, 0.0], rel=1e-12)
        assert found.pulls[:, 0] == pytest.approx([2e9, 0.0, -2e9, 0.0], rel=1e-12)


def test_a_misfit_between_walls_strains_the_bar_by_all_of_it() -> None:
    frame = cantilever()._replace(free=np.arange(0), watched=np.array([0, 4]))
    misfits = np.zeros((2, 3, 1))
    misfits[:, 0] = 1e-3
    found = respond(frame, np.zeros((9, 1)), misfits)
    assert found.forces[:, 0, 0] == pytest.approx([-1e6, -1e6], rel=1e-12)
    assert found.movements[:, 0] == pytest.approx([0.0] * 9)


def test_a_frame_that_can_move_gives_no_numbers() -> None:
    """Held at its foot in x and y alone it can turn about it, whether a load makes it or not."""
    frame = cantilever(0.3)._replace(free=np.arange(2, 9))
    with pytest.raises(
        CannotAnalyseError, match=r"^mechanism: the frame can move without straining any segment\."
    ):
        respond(frame, np.zeros((9, 1)))


def test_a_frame_softer_than_numbers_can_tell_gives_none() -> None:
    """By its shape it stands; in bending it is 1e16 times softer than along its axis."""
    frame = beams([(0.0, 0.0), (0.8, 0.6), (1.6, 1.2)], [(0, 1), (1, 2)], bending=[1e7, 1e7], held=[0, 1, 6])
    with pytest.raises(CannotAnalyseError, match=r"^near-mechanism: the frame is so near to a mechanism"):
        respond(frame, np.ones((9, 1)))
