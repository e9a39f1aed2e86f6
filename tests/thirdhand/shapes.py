"""Trusses of eight families for the third hand: plans with their truth, all of it invented."""

from __future__ import annotations

from itertools import pairwise
from math import sqrt
from typing import TYPE_CHECKING, Final

from tests.faulty.plans import Plan, Point, Stick

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from random import Random

    from trussio.model.truss import Role

Way = tuple[int, ...]


def _plan(
    rng: Random,
    joints: Sequence[Point],
    chords: Sequence[tuple[Role, Way]],
    webs: Sequence[Way],
    *,
    bow: float = 0.0,
) -> Plan:
    size: dict[str, str] = {
        "top-chord": rng.choice(("2x8", "3x10", "2-2x8", "6x8")),
        "bottom-chord": rng.choice(("2x10", "3x12", "2-3x10", "6x10")),
        "web": rng.choice(("2x6", "3x6", "4x6")),
    }
    middle = max(x for x, _ in joints) / 2
    circle = (middle, max(y for _, y in joints) - bow, bow) if bow else None
    sticks = [
        Stick(role=role, through=way, size=size[role], circle=circle if role == "top-chord" else None)
        for role, way in chords
    ]
    sticks += [Stick(role="web", through=way, size=size["web"]) for way in webs]
    return Plan(kind="howe", joints=tuple(joints), sticks=tuple(sticks))


def _span(rng: Random, low: int, high: int) -> float:
    return 12.0 * rng.randint(low, high)


def scissors(rng: Random) -> Plan:
    """Ties that cross at the king and run up to the rafters."""
    span = _span(rng, 26, 44)
    rise, lift = span * rng.uniform(0.3, 0.4), span * rng.uniform(0.08, 0.12)
    half = span / 2
    quarter = (span / 4, rise / 2)
    joints = [(0.0, 0.0), (half, lift), (span, 0.0), quarter, (half, rise), (span - quarter[0], quarter[1])]
    chords: list[tuple[Role, Way]] = [("bottom-chord", (0, 1)), ("bottom-chord", (1, 2))]
    chords += [("top-chord", (0, 3, 4)), ("top-chord", (4, 5, 2))]
    return _plan(rng, joints, chords, [(1, 3), (1, 4), (1, 5)])


def fink(rng: Random) -> Plan:
    """Each rafter held in the middle, a W under them."""
    span = _span(rng, 24, 48)
    rise = span * rng.uniform(0.2, 0.35)
    lower = [(span * i / 3, 0.0) for i in range(4)]
    upper = [(span / 4, rise / 2), (span / 2, rise), (3 * span / 4, rise / 2)]
    chords: list[tuple[Role, Way]] = [("bottom-chord", (0, 1, 2, 3)), ("top-chord", (0, 4, 5))]
    return _plan(rng, [*lower, *upper], [*chords, ("top-chord", (5, 6, 3))], [(1, 4), (1, 5), (2, 5), (2, 6)])


def _gable(rng: Random, *, falling: bool) -> Plan:
    panels = rng.choice((6, 8))
    span = _span(rng, 30, 64)
    rise, half = span * rng.uniform(0.2, 0.32), panels // 2
    joints = [(span * i / panels, 0.0) for i in range(panels + 1)]
    joints += [(x, rise * (1 - abs(2 * x / span - 1))) for x, _ in joints[1:-1]]
    top = [0, *range(panels + 1, 2 * panels), panels]
    webs: list[Way] = [(i, top[i]) for i in range(1, panels)]
    for i in range(1, half):
        mine, other = (i, top[i + 1]) if falling else (i + 1, top[i])
        webs += [(mine, other), (panels - mine, top[panels - (i + 1 if falling else i)])]
    chords: list[tuple[Role, Way]] = [("bottom-chord", tuple(range(panels + 1)))]
    chords += [("top-chord", tuple(top[: half + 1])), ("top-chord", tuple(top[half:]))]
    return _plan(rng, joints, chords, webs)


def howe(rng: Random) -> Plan:
    """Uprights, and diagonals that rise towards the middle."""
    return _gable(rng, falling=False)


def pratt(rng: Random) -> Plan:
    """Uprights, and diagonals that fall towards the middle."""
    return _gable(rng, falling=True)


def warren(rng: Random) -> Plan:
    """Level chords, diagonals to and fro, and no upright."""
    panels = rng.choice((5, 6, 7))
    span = _span(rng, 36, 70)
    deep = span / panels * rng.uniform(0.6, 0.9)
    joints = [(span * i / panels, 0.0) for i in range(panels + 1)]
    joints += [(span * (i + 0.5) / panels, deep) for i in range(panels)]
    up = panels + 1
    chords: list[tuple[Role, Way]] = [("bottom-chord", tuple(range(up)))]
    chords += [("top-chord", tuple(range(up, up + panels))), ("top-chord", (0, up))]
    chords.append(("top-chord", (up + panels - 1, panels)))
    webs = [way for i in range(1, panels) for way in ((i, up + i - 1), (i, up + i))]
    return _plan(rng, joints, chords, webs)


def bowstring(rng: Random) -> Plan:
    """A bow on a level tie, with uprights and diagonals."""
    panels = rng.choice((6, 8, 10))
    span = _span(rng, 40, 90)
    rise = span * rng.uniform(0.12, 0.16)
    radius = (span * span / 4 + rise * rise) / (2 * rise)
    joints = [(span * i / panels, 0.0) for i in range(panels + 1)]
    joints += [(x, rise - radius + sqrt(radius**2 - (x - span / 2) ** 2)) for x, _ in joints[1:-1]]
    top = [0, *range(panels + 1, 2 * panels), panels]
    webs: list[Way] = [(i, top[i]) for i in range(1, panels)]
    for i in range(1, panels // 2):
        webs += [(i, top[i + 1]), (panels - i, top[panels - i - 1])]
    chords: list[tuple[Role, Way]] = [("bottom-chord", tuple(range(panels + 1))), ("top-chord", tuple(top))]
    return _plan(rng, joints, chords, webs, bow=radius)


def monopitch(rng: Random) -> Plan:
    """One slope, an upright at its high end."""
    panels = rng.choice((3, 4, 5))
    span = _span(rng, 18, 34)
    rise = span * rng.uniform(0.25, 0.4)
    joints = [(span * i / panels, 0.0) for i in range(panels + 1)]
    joints += [(x, rise * x / span) for x, _ in joints[1:]]
    top = [0, *range(panels + 1, 2 * panels + 1)]
    webs: list[Way] = [(i, top[i]) for i in range(1, panels + 1)]
    webs += [(i + 1, top[i]) for i in range(1, panels)]
    chords: list[tuple[Role, Way]] = [("bottom-chord", tuple(range(panels + 1))), ("top-chord", tuple(top))]
    return _plan(rng, joints, chords, webs)


def collared(rng: Random) -> Plan:
    """Rafters on a tie, a collar on queen posts and braces under it, as the middle of a hammer-beam roof."""
    span = _span(rng, 26, 40)
    rise, share = span * rng.uniform(0.32, 0.4), rng.uniform(0.28, 0.34)
    left = (span * share, rise * 2 * share)
    joints = [(0.0, 0.0), (left[0], 0.0), (span - left[0], 0.0), (span, 0.0), left, (span - left[0], left[1])]
    joints += [(span / 2, rise), (span / 2, left[1])]
    chords: list[tuple[Role, Way]] = [("bottom-chord", (0, 1, 2, 3)), ("top-chord", (0, 4, 6))]
    chords.append(("top-chord", (6, 5, 3)))
    return _plan(rng, joints, chords, [(1, 4), (2, 5), (4, 7, 5), (7, 6), (1, 7), (2, 7)])


SHAPES: Final[dict[str, Callable[[Random], Plan]]] = {
    made.__name__: made for made in (scissors, fink, howe, pratt, warren, bowstring, monopitch, collared)
}


def pieces(plan: Plan, stick: Stick) -> list[tuple[Point, Point]]:
    """The straight pieces of a stick from joint to joint."""
    return [(plan.joints[one], plan.joints[other]) for one, other in pairwise(stick.through)]
