"""Trusses of a dozen shapes to be drawn by another hand than that of `tests.faulty`: plans with their truth.

A plan is joints in inches with its left heel at 0, 0, and sticks through them. All of it is invented.
"""

from __future__ import annotations

from itertools import pairwise
from math import hypot, sqrt
from typing import TYPE_CHECKING, Final

from tests.faulty.plans import DRESSED_DEPTH, Plan, Point, Stick

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from random import Random

    from trussio.model.truss import Role

CHORDS: Final = ("2x8", "2x10", "3x10", "6x8", "2-2x8", "3x12", "4x8")
WEBS: Final = ("2x4", "2x6", "3x4", "3x6", "4x4", "2x8")


def _sizes(rng: Random) -> dict[Role, str]:
    return {"top-chord": rng.choice(CHORDS), "bottom-chord": rng.choice(CHORDS), "web": rng.choice(WEBS)}


def _plan(
    rng: Random,
    joints: Iterable[Point],
    *,
    bottom: Iterable[tuple[int, ...]],
    top: Iterable[tuple[int, ...]],
    webs: Iterable[tuple[int, ...]],
    circle: tuple[float, float, float] | None = None,
) -> Plan:
    size = _sizes(rng)
    sticks = [Stick(role="bottom-chord", through=way, size=size["bottom-chord"]) for way in bottom]
    sticks += [Stick(role="top-chord", through=way, size=size["top-chord"], circle=circle) for way in top]
    sticks += [Stick(role="web", through=way, size=size["web"]) for way in webs]
    return Plan(kind="howe", joints=tuple(joints), sticks=tuple(sticks))


def _feet(rng: Random, low: int, high: int) -> float:
    return 12.0 * rng.randint(low, high) + rng.choice((0.0, 0.0, 3.5, 6.0, 7.25))


def _gable(rng: Random, panels: int, low: int = 24, high: int = 70) -> tuple[float, list[Point], list[Point]]:
    span = _feet(rng, low, high)
    rise = span * rng.uniform(0.15, 0.5)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    return span, lower, [(x, rise * (1 - abs(2 * x / span - 1))) for x, _ in lower[1:-1]]


def pitched_pratt(rng: Random) -> Plan:
    """Uprights, and diagonals that fall towards the middle."""
    panels = rng.choice((4, 6, 8, 10))
    _, lower, upper = _gable(rng, panels)
    top = [0, *range(panels + 1, 2 * panels), panels]
    half = panels // 2
    webs = [(i, top[i]) for i in range(1, panels)]
    webs += [(i + 1, top[i]) for i in range(1, half)]
    webs += [(panels - i - 1, top[panels - i]) for i in range(1, half)]
    return _plan(
        rng, (*lower, *upper), bottom=[tuple(range(panels + 1))], top=[tuple(top[: half + 1]), tuple(top[half:])],
        webs=webs,
    )  # fmt: skip


def king_post(rng: Random) -> Plan:
    """One post, with or without struts."""
    span = _feet(rng, 16, 36)
    rise = span * rng.uniform(0.2, 0.5)
    joints = [(0.0, 0.0), (span / 2, 0.0), (span, 0.0), (span / 2, rise)]
    if rng.random() < 0.4:
        return _plan(rng, joints, bottom=[(0, 1, 2)], top=[(0, 3), (3, 2)], webs=[(1, 3)])
    share = rng.uniform(0.4, 0.6)
    joints += [(span / 2 * share, rise * share), (span - span / 2 * share, rise * share)]
    return _plan(rng, joints, bottom=[(0, 1, 2)], top=[(0, 4, 3), (3, 5, 2)], webs=[(1, 3), (1, 4), (1, 5)])


def queen_trapezoid(rng: Random) -> Plan:
    """Two posts, a straining beam between them, no peak; two braces in the middle panel or one."""
    span = _feet(rng, 28, 50)
    third = span * rng.uniform(0.28, 0.36)
    rise = span * rng.uniform(0.15, 0.3)
    joints = [(0.0, 0.0), (third, 0.0), (span - third, 0.0), (span, 0.0), (third, rise), (span - third, rise)]
    webs = [(1, 4), (2, 5), (1, 5)]
    if rng.random() < 0.5:
        webs.append((2, 4))
    return _plan(rng, joints, bottom=[(0, 1, 2, 3)], top=[(0, 4), (4, 5), (5, 3)], webs=webs)


def double_w(rng: Random) -> Plan:
    """Webs in two W's."""
    _, lower, upper = _gable(rng, 4, 36, 60)
    span = lower[-1][0]
    rise = upper[1][1]
    bottom = [(span * i / 5, 0.0) for i in range(6)]
    top = [(span / 8 * i, rise * (1 - abs(2 * i / 8 - 1))) for i in (1, 2, 3, 4, 5, 6, 7) if i not in {1, 7}]
    joints = [*bottom, *top]
    return _plan(
        rng, joints, bottom=[tuple(range(6))], top=[(0, 6, 7, 8), (8, 9, 10, 5)],
        webs=[(1, 6), (1, 7), (2, 7), (2, 8), (3, 8), (3, 9), (4, 9), (4, 10)],
    )  # fmt: skip


def scissors(rng: Random) -> Plan:
    """Bottom chords that rise to the middle and run on to the rafters."""
    span = _feet(rng, 24, 44)
    rise = span * rng.uniform(0.35, 0.5)
    low = rise * rng.uniform(0.35, 0.5)
    # The lower chords cross under the ridge and end on the far rafters.
    slope = low / (span / 2)
    far = rise * 2 / span
    x = far * span / (slope + far)
    at = (x, slope * x)
    joints = [(0.0, 0.0), (span, 0.0), (span / 2, rise), (span / 2, low), at, (span - at[0], at[1])]
    return _plan(rng, joints, bottom=[(0, 3, 4), (1, 3, 5)], top=[(0, 5, 2), (2, 4, 1)], webs=[(3, 2)])


def bowstring(rng: Random) -> Plan:
    """A top chord on one circle, webs as a lattice of V's, or with uprights."""
    panels = rng.choice((4, 6, 8, 10, 12, 14))
    span = _feet(rng, 30, 110)
    rise = span * rng.uniform(0.09, 0.2)
    radius = (span * span / 4 + rise * rise) / (2 * rise)
    centre = (span / 2, rise - radius)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    if rng.random() < 0.5:
        xs = [x for x, _ in lower[1:-1]]
        top = [0, *range(panels + 1, 2 * panels), panels]
        webs = [(i, top[i]) for i in range(1, panels)]
        webs += [(i, top[i + 1]) for i in range(1, panels // 2)]
        webs += [(panels - i, top[panels - i - 1]) for i in range(1, panels // 2)]
    else:
        xs = [span * (i + 0.5) / panels for i in range(panels)]
        top = [0, *range(panels + 1, 2 * panels + 1), panels]
        webs = [(i, panels + i) for i in range(1, panels)] + [(i, panels + 1 + i) for i in range(1, panels)]
    upper = [(x, centre[1] + sqrt(radius**2 - (x - centre[0]) ** 2)) for x in xs]
    return _plan(
        rng, (*lower, *upper), bottom=[tuple(range(panels + 1))], top=[tuple(top)], webs=webs,
        circle=(*centre, radius),
    )  # fmt: skip


def crescent(rng: Random) -> Plan:
    """A bowstring whose bottom chord rises in straight pieces to the middle."""
    bow = bowstring(rng)
    lift = bow.span * rng.uniform(0.015, 0.04)
    bottom = bow.sticks[0].through
    joints = list(bow.joints)
    for number in bottom:
        x, _ = joints[number]
        joints[number] = (x, lift * (1 - (2 * x / bow.span - 1) ** 2))
    pieces = [Stick(role="bottom-chord", through=pair, size=bow.sticks[0].size) for pair in pairwise(bottom)]
    return Plan(kind="howe", joints=tuple(joints), sticks=(*pieces, *bow.sticks[1:]))


def parallel(rng: Random) -> Plan:
    """Level chords; posts at the ends or none."""
    panels = rng.choice((4, 6, 8, 10, 12))
    span = _feet(rng, 24, 80)
    depth = span * rng.uniform(0.08, 0.18)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    up = panels + 1
    half = panels // 2
    joints = [*lower, *((x, depth) for x, _ in lower)]
    webs = [(i, up + i) for i in range(panels + 1)]
    if rng.random() < 0.5:
        webs += [(i, up + i + 1) for i in range(half)] + [(i + 1, up + i) for i in range(half, panels)]
    else:
        webs += [(i + 1, up + i) for i in range(half)] + [(i, up + i + 1) for i in range(half, panels)]
    return _plan(rng, joints, bottom=[tuple(range(up))], top=[tuple(range(up, 2 * up))], webs=webs)


def warren(rng: Random) -> Plan:
    """Webs in V's between level chords, the top chord the shorter; uprights or none."""
    panels = rng.choice((3, 4, 5, 6, 8))
    span = _feet(rng, 24, 80)
    depth = span / panels * rng.uniform(0.5, 0.95)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    upper = [(span * (i + 0.5) / panels, depth) for i in range(panels)]
    first = panels + 1
    webs = [(i, first + i) for i in range(1, panels)] + [(i, first + i - 1) for i in range(1, panels)]
    return _plan(
        rng, (*lower, *upper), bottom=[tuple(range(first))],
        top=[(0, first), tuple(range(first, first + panels)), (first + panels - 1, panels)], webs=webs,
    )  # fmt: skip


def mono(rng: Random) -> Plan:
    """One slope, with a post at the high end."""
    panels = rng.choice((3, 4, 5))
    span = _feet(rng, 16, 40)
    rise = span * rng.uniform(0.2, 0.45)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    upper = [(x, rise * x / span) for x, _ in lower[1:]]
    top = [0, *range(panels + 1, 2 * panels + 1)]
    webs = [(i, top[i]) for i in range(1, panels + 1)] + [(i + 1, top[i]) for i in range(1, panels)]
    return _plan(rng, (*lower, *upper), bottom=[tuple(range(panels + 1))], top=[tuple(top)], webs=webs)


def fan(rng: Random) -> Plan:
    """Webs that spread from two joints of the bottom chord."""
    span = _feet(rng, 30, 60)
    rise = span * rng.uniform(0.2, 0.4)
    at = span * rng.uniform(0.3, 0.37)
    joints = [(0.0, 0.0), (at, 0.0), (span - at, 0.0), (span, 0.0)]
    joints += [(span / 6 * i, rise * (1 - abs(i / 3 - 1))) for i in (1, 2, 3, 4, 5)]
    return _plan(
        rng, joints, bottom=[(0, 1, 2, 3)], top=[(0, 4, 5, 6), (6, 7, 8, 3)],
        webs=[(1, 4), (1, 5), (1, 6), (2, 6), (2, 7), (2, 8)],
    )  # fmt: skip


def fink(rng: Random) -> Plan:
    """Webs in one W."""
    span = _feet(rng, 18, 44)
    rise = span * rng.uniform(0.15, 0.45)
    joints = [(0.0, 0.0), (span / 3, 0.0), (2 * span / 3, 0.0), (span, 0.0)]
    joints += [(span / 4, rise / 2), (span / 2, rise), (3 * span / 4, rise / 2)]
    return _plan(
        rng, joints, bottom=[(0, 1, 2, 3)], top=[(0, 4, 5), (5, 6, 3)], webs=[(1, 4), (1, 5), (2, 5), (2, 6)]
    )


def raised_heel(rng: Random) -> Plan:
    """A gable whose chords stay apart at the heels, with posts there."""
    panels = rng.choice((4, 6, 8))
    span = _feet(rng, 28, 60)
    rise, heel = span * rng.uniform(0.15, 0.25), rng.uniform(24.0, 60.0)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    upper = [(x, heel + rise * (1 - abs(2 * x / span - 1))) for x, _ in lower]
    up, half = panels + 1, panels // 2
    webs = [(i, up + i) for i in range(up)]
    webs += [(i + 1, up + i) for i in range(half)] + [(i, up + i + 1) for i in range(half, panels)]
    return _plan(
        rng, (*lower, *upper), bottom=[tuple(range(up))],
        top=[tuple(range(up, up + half + 1)), tuple(range(up + half, 2 * up))], webs=webs,
    )  # fmt: skip


def attic(rng: Random) -> Plan:
    """A room between two posts under a collar, and a post above."""
    span = _feet(rng, 24, 40)
    rise = span * rng.uniform(0.45, 0.55)
    room = span * rng.uniform(0.24, 0.3)
    side = (span / 2 - room) if room < span / 2 else span / 4
    slope = rise / (span / 2)
    at = side * 1.0
    collar = rise * rng.uniform(0.68, 0.78)
    joints = [
        (0.0, 0.0), (at, 0.0), (span - at, 0.0), (span, 0.0), (span / 2, rise),
        (at, slope * at), (span - at, slope * at), (collar / slope, collar), (span - collar / slope, collar),
        (span / 2, collar),
    ]  # fmt: skip
    return _plan(
        rng, joints, bottom=[(0, 1, 2, 3)], top=[(0, 5, 7, 4), (4, 8, 6, 3)],
        webs=[(1, 5), (2, 6), (7, 9, 8), (9, 4)],
    )  # fmt: skip


def gambrel(rng: Random) -> Plan:
    """A roof of two slopes to either side."""
    span = _feet(rng, 24, 44)
    out, knee, rise = span * rng.uniform(0.18, 0.25), span * rng.uniform(0.25, 0.32), span * 0.42
    joints = [
        (0.0, 0.0), (out, 0.0), (span / 2, 0.0), (span - out, 0.0), (span, 0.0),
        (out, knee), (span / 2, rise), (span - out, knee),
    ]  # fmt: skip
    return _plan(
        rng, joints, bottom=[(0, 1, 2, 3, 4)], top=[(0, 5), (5, 6), (6, 7), (7, 4)],
        webs=[(1, 5), (3, 7), (2, 5), (2, 6), (2, 7)],
    )  # fmt: skip


ROOFS: Final[dict[str, Callable[[Random], Plan]]] = {
    "pitched pratt": pitched_pratt,
    "king post": king_post,
    "queen post without a peak": queen_trapezoid,
    "double w": double_w,
    "scissors": scissors,
    "bowstring": bowstring,
    "crescent": crescent,
    "parallel chords": parallel,
    "warren": warren,
    "mono pitch": mono,
    "fan": fan,
    "fink": fink,
    "raised heel": raised_heel,
    "attic": attic,
    "gambrel": gambrel,
}


def depth_of(size: str) -> float:
    """Dressed depth of a size in inches."""
    return DRESSED_DEPTH[size.rsplit("x", 1)[1]]


def apart(one: Point, other: Point) -> float:
    """Distance of two points."""
    return hypot(other[0] - one[0], other[1] - one[1])
