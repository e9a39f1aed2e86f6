"""Forces of a statically determinate truss in exact rational arithmetic: settled by equilibrium alone.

Unknown is the *force density* of each segment, its axial force over the length of its chord: with it the equations
of a joint hold nothing but differences of coordinates, which are rational as they stand in the document, while the
length is a root. Holds are unknowns too; a station adds one, what it hands across its line to its neighbours.

Three holds come first, from the balance of the whole. Then joint after joint is solved where no more than two
unknowns are left, as one does on paper; what cannot be reached so (a compound truss) is eliminated row by
row. No square root, no rounding, standard library only: what comes out is the answer to the coordinates and loads
as given, and every equation left over is verified to hold exactly. Coordinates are scaled to whole numbers, and
numerators and denominators are kept apart, which is quicker than arithmetic with fractions and no less exact.
"""

from __future__ import annotations

from fractions import Fraction
from math import gcd, hypot, lcm
from typing import TYPE_CHECKING, NamedTuple

from trussio.errors import CannotAnalyseError
from trussio.recheck.elimination import eliminate
from trussio.recheck.holding import stations_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.truss import JointId, SegmentId, Truss

    Whole = tuple[int, int]
    Column = list[tuple[int, int, int]]
    Hold = tuple[JointId, int, int]


class ExactForces(NamedTuple):
    """Force densities of all segments, tension positive, and the reactions (x, y) on the truss."""

    densities: Mapping[SegmentId, Fraction]
    reactions: Mapping[JointId, tuple[Fraction, Fraction]]


class _System(NamedTuple):
    """Columns of unknowns as entries (joint, x, y), and answers (numerator, denominator) so far.

    `left` is what is unbalanced at each joint: x and y over a common denominator. `unsolved` lists the unknowns
    at each joint that no answer is known for.
    """

    columns: Sequence[Column]
    left: list[tuple[int, int, int]]
    unsolved: list[set[int]]
    answers: dict[int, Whole]


def exact_forces(truss: Truss, loads: Mapping[JointId, tuple[Fraction, Fraction]]) -> ExactForces:
    """Exact forces of a pinned truss under loads at its joints, to which loads along segments must have gone.

    Raises CannotAnalyseError `not-determinate` when equilibrium alone does not settle every force: the count is
    not nought, or the truss can move.
    """
    points, scale = _whole_points(truss)
    holds = _holds(truss)
    columns = _columns(truss, holds, points)
    if len(columns) != 2 * len(points):
        raise _undetermined(f"{len(columns)} unknowns stand against {2 * len(points)} equations of equilibrium.")
    unsolved: list[set[int]] = [set() for _ in points]
    for index, column in enumerate(columns):
        for place, _, _ in column:
            unsolved[place].add(index)
    system = _System(columns, [_over_one(loads.get(joint)) for joint in truss.joints], unsolved, {})
    first_hold = len(truss.segments)
    if len(holds) == 3:
        _balance_whole(system, points, range(first_hold, first_hold + 3))
    _joint_by_joint(system)
    _all_together(system)
    if len(system.answers) < len(columns) or any(x or y for x, y, _ in system.left):
        raise _undetermined("Some part of it can move.")
    answers = {unknown: Fraction(*answer) for unknown, answer in system.answers.items()}
    reactions: dict[JointId, tuple[Fraction, Fraction]] = {}
    for unknown, (joint, x, y) in enumerate(holds, start=first_hold):
        so_far_x, so_far_y = reactions.get(joint, (Fraction(0), Fraction(0)))
        reactions[joint] = (so_far_x + answers[unknown] * x, so_far_y + answers[unknown] * y)
    return ExactForces(
        densities={segment.id: answers[index] * scale for index, segment in enumerate(truss.segments)},
        reactions=reactions,
    )


def axial_forces(truss: Truss, exact: ExactForces) -> dict[SegmentId, float]:
    """Axial forces as floats, right to the last digit but one."""
    return {
        segment.id: float(exact.densities[segment.id]) * hypot(last.x - first.x, last.y - first.y)
        for segment in truss.segments
        for first, last in [(truss.joints[segment.first], truss.joints[segment.last])]
    }


def forces_under(truss: Truss, pushed: Sequence[float]) -> dict[SegmentId, float]:
    """Axial forces under x and y of the load at each joint in turn. Raises as `exact_forces` does."""
    loads = {
        joint: (Fraction(pushed[2 * index]), Fraction(pushed[2 * index + 1]))
        for index, joint in enumerate(truss.joints)
    }
    return axial_forces(truss, exact_forces(truss, loads))


def _undetermined(what: str) -> CannotAnalyseError:
    return CannotAnalyseError(
        "not-determinate",
        where="/members",
        what=f"Equilibrium alone does not settle this truss. {what}",
        do="Use the forces of least energy, which take stiffness into account.",
    )


def _whole_points(truss: Truss) -> tuple[list[Whole], int]:
    """Coordinates as whole numbers, and the scale that makes them so."""
    ratios = [(*j.x.as_integer_ratio(), *j.y.as_integer_ratio()) for j in truss.joints.values()]
    scale = lcm(*(part for ratio in ratios for part in ratio[1::2]))
    return [(x * (scale // over_x), y * (scale // over_y)) for x, over_x, y, over_y in ratios], scale


def _over_one(load: tuple[Fraction, Fraction] | None) -> tuple[int, int, int]:
    """A load as two numerators over one denominator."""
    if load is None:
        return (0, 0, 1)
    below = lcm(load[0].denominator, load[1].denominator)
    return (int(load[0] * below), int(load[1] * below), below)


def _holds(truss: Truss) -> list[Hold]:
    """Every direction in which a bearing holds or springs, as whole numbers, of any length."""
    axes = {"x": (1, 0), "y": (0, 1)}
    holds: list[Hold] = []
    for joint, support in truss.supports.items():
        for hold in (*support.holds, *(name for name in support.springs if name not in support.holds)):
            if not isinstance(hold, str):
                (x, over_x), (y, over_y) = (part.as_integer_ratio() for part in hold)
                holds.append((joint, x * over_y, y * over_x))
            elif hold in axes:
                holds.append((joint, *axes[hold]))
    return holds


def _columns(truss: Truss, holds: Sequence[Hold], points: Sequence[Whole]) -> list[Column]:
    """What each unknown does to the joints: segments, holds, stations (times the square of their line)."""
    number = {joint: index for index, joint in enumerate(truss.joints)}
    columns: list[Column] = []
    for segment in truss.segments:
        first, last = number[segment.first], number[segment.last]
        dx, dy = points[last][0] - points[first][0], points[last][1] - points[first][1]
        columns.append([(first, dx, dy), (last, -dx, -dy)])
    columns += [[(number[joint], x, y)] for joint, x, y in holds]
    for joint, (before, after, _) in stations_of(truss).items():
        here, start, end = number[joint], number[before], number[after]
        dx, dy = points[end][0] - points[start][0], points[end][1] - points[start][1]
        square = dx * dx + dy * dy
        share = (points[here][0] - points[start][0]) * dx + (points[here][1] - points[start][1]) * dy
        rest = square - share
        columns.append(
            [(here, dy * square, -dx * square), (start, -rest * dy, rest * dx), (end, -share * dy, share * dx)]
        )
    return columns


def _settle(system: _System, unknown: int, above: int, below: int) -> None:
    """Write down an answer, and what it leaves unbalanced."""
    common = gcd(above, below) if below > 0 else -gcd(above, below)
    above, below = above // common, below // common
    system.answers[unknown] = (above, below)
    for joint, x, y in system.columns[unknown]:
        left_x, left_y, over = system.left[joint]
        push = above * over
        left_x, left_y, over = left_x * below + push * x, left_y * below + push * y, over * below
        common = gcd(left_x, left_y, over)
        system.left[joint] = (left_x // common, left_y // common, over // common)
        system.unsolved[joint].discard(unknown)


def _at(system: _System, unknown: int, joint: int) -> Whole:
    """What an unknown does at one of its joints."""
    return next((x, y) for place, x, y in system.columns[unknown] if place == joint)


def _balance_whole(system: _System, points: Sequence[Whole], holds: Sequence[int]) -> None:
    """Three holds from the balance of the whole, unless they do not hold it."""
    entries = [system.columns[unknown][0] for unknown in holds]
    rows = [
        [x for _, x, _ in entries],
        [y for _, _, y in entries],
        [points[joint][0] * y - points[joint][1] * x for joint, x, y in entries],
    ]
    whole = _determinant(rows)
    if not whole:
        return
    over = lcm(*(below for _, _, below in system.left))
    loads = [(x * (over // below), y * (over // below)) for x, y, below in system.left]
    turned = sum(x * fy - y * fx for (x, y), (fx, fy) in zip(points, loads, strict=True))
    right = (-sum(fx for fx, _ in loads), -sum(fy for _, fy in loads), -turned)
    for index, unknown in enumerate(holds):
        replaced = [[*row[:index], value, *row[index + 1 :]] for row, value in zip(rows, right, strict=True)]
        _settle(system, unknown, _determinant(replaced), whole * over)


def _determinant(rows: Sequence[Sequence[int]]) -> int:
    (a, b, c), (d, e, f), (g, h, i) = rows
    return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)


def _joint_by_joint(system: _System) -> None:
    """Solve joints where one or two unknowns are left, as far as that leads."""
    waiting = [joint for joint, unknowns in enumerate(system.unsolved) if len(unknowns) <= 2]
    while waiting:
        joint = waiting.pop()
        solved = _solve_joint(system, joint)
        waiting += [place for u in solved for place, _, _ in system.columns[u] if len(system.unsolved[place]) <= 2]


def _solve_joint(system: _System, joint: int) -> list[int]:
    """The unknowns at a joint that its two equations settle, settled."""
    unknowns = sorted(system.unsolved[joint])
    left_x, left_y, over = system.left[joint]
    if len(unknowns) == 1:
        x, y = _at(system, unknowns[0], joint)
        _settle(system, unknowns[0], *((-left_x, x * over) if x else (-left_y, y * over)))
    elif len(unknowns) == 2:
        one, other = unknowns
        (ax, ay), (bx, by) = _at(system, one, joint), _at(system, other, joint)
        whole = (ax * by - ay * bx) * over
        if not whole:
            return []
        _settle(system, one, left_y * bx - left_x * by, whole)
        _settle(system, other, left_x * ay - left_y * ax, whole)
    return unknowns


def _all_together(system: _System) -> None:
    """What cannot be reached joint by joint, by elimination."""
    rows: list[dict[int, Fraction]] = []
    right: list[Fraction] = []
    for joint, unknowns in enumerate(system.unsolved):
        for axis in (0, 1):
            row = {u: Fraction(part) for u in sorted(unknowns) if (part := _at(system, u, joint)[axis])}
            if row:
                rows.append(row)
                right.append(Fraction(-system.left[joint][axis], system.left[joint][2]))
    for unknown, answer in eliminate(rows, right).items():
        _settle(system, unknown, answer.numerator, answer.denominator)
