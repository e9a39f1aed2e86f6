"""Many frames of one pattern: stiffness put together and solved side by side, the sample index last.

Of a segment ten numbers make up its stiffness against the movements of its ends: three against the shift d of one
end from the other, two and two between that shift and either turn, three between the turns. Its basic deformations
are e d, w d - t1 and t2 - w d, where e is its direction, w the direction to its left over its length, t a turn.
Shapes: m segments, n movements, c load cases, s samples.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.banded import eliminate, order, reaches, substitute
from trussio.analysis.frame import acting, movements_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.analysis.arrays import Counts, Flags, Floats
    from trussio.analysis.frame import Frame

    Layer = tuple[bool, Counts, Counts]
    """Whether values are added to sums rather than taken off, to which, and which values."""

# movements of a segment two by two, which of its ten numbers ties them, and its sign
COUPLED = (
    *((0, 0, 0, 1), (0, 1, 1, 1), (1, 1, 2, 1), (3, 3, 0, 1), (3, 4, 1, 1), (4, 4, 2, 1)),
    *((0, 3, 0, -1), (0, 4, 1, -1), (1, 3, 1, -1), (1, 4, 2, -1)),
    *((0, 2, 3, -1), (1, 2, 4, -1), (2, 3, 3, 1), (2, 4, 4, 1)),
    *((0, 5, 5, -1), (1, 5, 6, -1), (3, 5, 5, 1), (4, 5, 6, 1)),
    *((2, 2, 7, 1), (2, 5, 8, 1), (5, 5, 9, 1)),
)
# movements, which of a segment's four forces pulls there (along x, along y, turns), and its sign
PULLED = ((0, 0, -1), (1, 1, -1), (2, 2, 1), (3, 0, 1), (4, 1, 1), (5, 3, 1))
SHIFTS = 3
"""The first three numbers belong to shifts alone."""
SHIFTED = ((0, 0, 0), (1, 0, 1), (2, 1, 1))
"""Which they are: the number, and the two axes that it ties."""


class Pattern(NamedTuple):
    """What all samples have in common.

    `at` (m, 6) are the movements of segments, those that are `bent` turn with something. `rank` (n + 1,) is the
    place of a movement in elimination, -1 for what is held or none; `band` tells how the ten numbers of segments
    add up to rows of `width`, `pulls` how their four forces do to what acts on the unknowns.
    """

    frame: Frame
    at: Counts
    bent: Counts | slice
    rank: Counts
    reach: Sequence[int]
    width: int
    band: Sequence[Layer]
    pulls: Sequence[Layer]


class Segments(NamedTuple):
    """Segments of samples: `e` and `w` (m, 2, s), and their `own` stiffness (3, 3, m, s)."""

    e: Floats
    w: Floats
    own: Floats


def pattern(frame: Frame) -> Pattern:
    """The pattern of a frame without ties."""
    at, acts = movements_of(frame), acting(frame)
    number = np.full(frame.total + 1, -1)
    number[frame.free] = np.arange(len(frame.free))
    meeting = [[one for one in row if one >= 0] for row in number[at].tolist()]
    ordered = order(meeting, len(frame.free))
    rank = np.full(frame.total + 1, -1)
    rank[frame.free[ordered]] = np.arange(len(ordered))
    reach = reaches([[one for one in row if one >= 0] for row in rank[at].tolist()], len(ordered))
    width = 2 * max(reach, default=0) + 1
    bends: Flags = np.any(np.concatenate([acts[:, 1:], frame.turns < frame.total], axis=1), axis=1)
    row = rank[at]
    return Pattern(
        frame=frame,
        at=at,
        bent=_together(np.flatnonzero(bends)),
        rank=rank,
        reach=reach,
        width=width,
        band=_band(row, bends, width),
        pulls=_pulls(row),
    )


def _together(numbers: Counts) -> Counts | slice:
    """Numbers as a slice where they follow each other, so that arrays need not be copied."""
    if len(numbers) and numbers[-1] - numbers[0] == len(numbers) - 1:
        return slice(int(numbers[0]), int(numbers[-1]) + 1)
    return numbers


def _band(row: Counts, bends: Flags, width: int) -> list[Layer]:
    """Where the ten numbers (10, m) of segments go in rows of `width`, the diagonal in the middle."""
    count, found = len(row), []
    for one, other, number, way in COUPLED:
        for segment in np.flatnonzero((row[:, one] >= 0) & (row[:, other] >= 0)).tolist():
            if bends[segment] or number < SHIFTS:
                low, high = sorted((int(row[segment, one]), int(row[segment, other])))
                share = (low * width + width // 2 + high - low, number * count + segment, way > 0)
                found += [share] * (2 if low == high and one != other else 1)
    return _layers(found)


def _pulls(row: Counts) -> list[Layer]:
    """Where the four forces (4, m) of segments go among the unknowns."""
    return _layers(
        (unknown, number * len(row) + segment, way > 0)
        for one, number, way in PULLED
        for segment, unknown in enumerate(row[:, one].tolist())
        if unknown >= 0
    )


def _layers(shares: Iterable[tuple[int, int, bool]]) -> list[Layer]:
    """Shares of sums - of which, by which value, added or taken off - in layers that meet each sum once."""
    found: dict[tuple[bool, int], list[tuple[int, int]]] = {}
    met: dict[tuple[bool, int], int] = {}
    for target, source, added in sorted(shares):
        depth = met[added, target] = met.get((added, target), -1) + 1
        found.setdefault((added, depth), []).append((target, source))
    return [
        (added, np.array([target for target, _ in pairs]), np.array([source for _, source in pairs]))
        for (added, _), pairs in found.items()
    ]


def _add(total: Floats, layers: Sequence[Layer], values: Floats) -> None:
    """Add values to the sums that they are shares of."""
    for added, targets, sources in layers:
        if added:
            total[targets] += values[sources]
        else:
            total[targets] -= values[sources]


def directions(along: Floats, chord: Floats) -> tuple[Floats, Floats]:
    """The vectors e and w (m, 2, s) of segments along `along` (m, 2, s)."""
    return along, np.stack([-along[:, 1], along[:, 0]], axis=1) / chord[:, None]


def matrices(of: Pattern, made: Segments) -> tuple[Floats, Floats]:
    """The stiffness of all samples, row by row (k, width, s), and what measures each row (k, s).

    A shift is measured by the stiffness of all that meets at its joint, whatever its direction.
    """
    numbers = _numbers(of, made)
    rows = np.zeros((len(of.reach) * of.width, numbers.shape[2]))
    _add(rows, of.band, numbers.reshape(-1, numbers.shape[2]))
    rest = rows.reshape(len(of.reach), of.width, -1)
    diagonal = rest[:, of.width // 2]
    for movement in np.flatnonzero(of.frame.springs).tolist():
        if of.rank[movement] >= 0:
            diagonal[of.rank[movement]] += of.frame.springs[movement]
    return rest, _measures(of, numbers[0] + numbers[2], diagonal)


def _measures(of: Pattern, stiff: Floats, diagonal: Floats) -> Floats:
    """What measures each row (k, s), from the stiffness (m, s) of segments against shifts of any direction."""
    joints = of.frame.springs[: 2 * len(of.frame.joints)].reshape(-1, 2).sum(axis=1)
    met = np.repeat(joints[:, None], stiff.shape[1], axis=1)
    for segment, ends in enumerate(of.frame.ends.tolist()):
        for joint in ends:
            met[joint] += stiff[segment]
    found = diagonal.copy()
    for movement, row in enumerate(of.rank[: 2 * len(joints)].tolist()):
        if row >= 0:
            found[row] = met[movement // 2]
    return found


def _numbers(of: Pattern, made: Segments) -> Floats:
    """The ten numbers (10, m, s) of segments."""
    bent, pull = of.bent, made.own[0, 0]
    found = np.empty((10, *pull.shape))
    for number, x, y in SHIFTED:
        found[number] = pull * made.e[:, x] * made.e[:, y]
    e, w, own = made.e[bent], made.w[bent], made.own[:, :, bent]
    turns = own[1] - own[2]
    bend = turns[1] - turns[2]
    for number, x, y in SHIFTED:
        found[number, bent] += turns[0] * (e[:, x] * w[:, y] + e[:, y] * w[:, x]) + bend * w[:, x] * w[:, y]
    for axis in (0, 1):
        found[3 + axis, bent] = -own[0, 1] * e[:, axis] - turns[1] * w[:, axis]
        found[5 + axis, bent] = own[0, 2] * e[:, axis] + turns[2] * w[:, axis]
    found[7, bent], found[8, bent], found[9, bent] = own[1, 1], -own[1, 2], own[2, 2]
    if of.frame.arms is not None:
        found[:, bent] = _with_arms(found[:, bent], of.frame.arms[bent])
    return found


def _levers(arms: Floats) -> tuple[Floats, Floats]:
    """What a turn of either end adds to the shift of one end from the other, each (2, m, 1)."""
    x, y = arms.transpose(2, 1, 0)[..., None]
    return np.stack([y[0], -x[0]]), np.stack([-y[1], x[1]])


def _with_arms(numbers: Floats, arms: Floats) -> Floats:
    """The ten numbers of segments whose turns also move their ends, at the end of rigid arms."""
    found = numbers.copy()
    shifts = np.array([[found[0], found[1]], [found[1], found[2]]])
    first, last = _levers(arms)
    by_first, by_last = (np.einsum("abms,bms->ams", shifts, lever) for lever in (first, last))
    found[7] += (first * (by_first + 2 * found[3:5])).sum(axis=0)
    found[9] += (last * (by_last + 2 * found[5:7])).sum(axis=0)
    found[8] += (first * (by_last + found[5:7]) + last * found[3:5]).sum(axis=0)
    found[3:5] += by_first
    found[5:7] += by_last
    return found


def deformed(of: Pattern, made: Segments, movements: Floats, at: Counts) -> Floats:
    """The basic deformations (m, 3, c, s) of segments whose ends move by the rows `at` (m, 6) of movements."""
    x, y = movements[at[:, 3]] - movements[at[:, 0]], movements[at[:, 4]] - movements[at[:, 1]]
    found = np.zeros((len(at), 3, *movements.shape[1:]))
    bent = of.bent
    first, last = movements[at[bent, 2]], movements[at[bent, 5]]
    if of.frame.arms is not None:
        for lever, turn in zip(_levers(of.frame.arms[bent]), (first, last), strict=True):
            x[bent] += lever[0][:, None] * turn
            y[bent] += lever[1][:, None] * turn
    e, w = made.e[:, :, None], made.w[bent][:, :, None]
    found[:, 0] = e[:, 0] * x + e[:, 1] * y
    swung = w[:, 0] * x[bent] + w[:, 1] * y[bent]
    found[bent, 1], found[bent, 2] = swung - first, last - swung
    return found


def forces(of: Pattern, made: Segments, deformations: Floats) -> Floats:
    """The basic forces (m, 3, c, s) that go with basic deformations."""
    found = np.zeros_like(deformations)
    found[:, 0] = made.own[0, 0][:, None] * deformations[:, 0]
    own, few = made.own[:, :, of.bent, None], deformations[of.bent]
    for row in range(3):
        found[of.bent, row] = own[row, 0] * few[:, 0] + own[row, 1] * few[:, 1] + own[row, 2] * few[:, 2]
    return found


def pulls(of: Pattern, made: Segments, basic: Floats) -> Floats:
    """What basic forces (m, 3, c, s) of segments do to the unknowns, in their order (k, c, s)."""
    four = _four(of, made, basic)
    found = np.zeros((len(of.reach), *basic.shape[2:]))
    _add(found, of.pulls, four.reshape(-1, *four.shape[2:]))
    return found


def needed(of: Pattern, made: Segments, basic: Floats, movements: Sequence[int]) -> Floats:
    """What basic forces (m, 3, c, s) need from outside at some movements (c, s each), in their order."""
    four, at = _four(of, made, basic), of.at
    found = np.zeros((len(movements), *basic.shape[2:]))
    for row, movement in enumerate(movements):
        for one, number, way in PULLED:
            for segment in np.flatnonzero(at[:, one] == movement).tolist():
                found[row] += way * four[number, segment]
    return found


def _four(of: Pattern, made: Segments, basic: Floats) -> Floats:
    """The four forces (4, m, c, s) with which segments act: along x, along y, and turning either end."""
    e, w = made.e[:, :, None], made.w[:, :, None]
    four = np.empty((4, len(basic), *basic.shape[2:]))
    swing = basic[:, 1] - basic[:, 2]
    for axis in (0, 1):
        four[axis] = basic[:, 0] * e[:, axis] + swing * w[:, axis]
    four[2], four[3] = -basic[:, 1], basic[:, 2]
    if of.frame.arms is not None:
        for turn, lever in zip((2, 3), _levers(of.frame.arms), strict=True):
            four[turn] += lever[0][:, None] * four[0] + lever[1][:, None] * four[1]
    return four


def solved(
    of: Pattern, made: Segments, *, loads: Floats, gaps: Floats | None, start: Floats | None
) -> tuple[Floats, Floats]:
    """Basic forces (m, 3, c, s) under `loads` (n, c, s), misfits (m, 3, c, s) and prescribed movements (n, c).

    Also the smallest pivot of each sample (s,); near zero, its forces mean nothing.
    """
    count = len(of.reach)
    moved = np.zeros((count + 1, *loads.shape[1:]))
    right = moved[:-1]
    right[of.rank[of.frame.free]] = loads[of.frame.free]
    before = _before(of, made, gaps, start)
    if before is not None:
        right -= pulls(of, made, before)
    rest, measures = matrices(of, made)
    eliminate(rest, of.reach)
    pivots = (rest[:, of.width // 2] / measures).min(axis=0, initial=1.0)
    substitute(rest, of.reach, right)
    found = forces(of, made, deformed(of, made, moved, of.rank[of.at]))
    return (found if before is None else found + before), pivots


def _before(of: Pattern, made: Segments, gaps: Floats | None, start: Floats | None) -> Floats | None:
    """Basic forces while every unknown is kept at zero, or None where there are none."""
    if start is None:
        return None if gaps is None else forces(of, made, -gaps)
    moved = np.zeros((of.frame.total + 1, *start.shape[1:], made.e.shape[2]))
    moved[:-1] = start[..., None]
    free = deformed(of, made, moved, of.at)
    return forces(of, made, free if gaps is None else free - gaps)
