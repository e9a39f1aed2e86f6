"""Plans of trusses to draw from: the truth that a drawing of them should be read back to.

A *plan* is joints, members through them (straight or on one circle), roles and sizes, in inches, its left heel at
0, 0. Everything is invented; the kinds are those of the trade.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot, sqrt
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from trussio.model.truss import Role

Point = tuple[float, float]
Kind = Literal["bowstring", "howe", "pratt", "king-post", "queen-post", "fink", "warren", "fan", "segmental"]

CHORD_SIZES: Final = ("2-3x10", "3x12", "2-2x10", "6x8", "3-2x10")
WEB_SIZES: Final = ("2x6", "3x6", "2x8", "4x4", "2x4")
DRESSED_DEPTH: Final = {"4": 3.625, "6": 5.5, "8": 7.5, "10": 9.5, "12": 11.5}


@dataclass(frozen=True, kw_only=True)
class Stick:
    """One member of a plan; `circle` is centre x, centre y and radius where it is curved."""

    role: Role
    through: tuple[int, ...]
    size: str
    circle: tuple[float, float, float] | None = None

    @property
    def depth(self) -> float:
        """Depth as drawn by its edges, in inches."""
        return DRESSED_DEPTH[self.size.rsplit("x", 1)[1]]


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A truss to draw."""

    kind: Kind
    joints: tuple[Point, ...]
    sticks: tuple[Stick, ...]

    @property
    def span(self) -> float:
        """Distance between the heels."""
        return max(x for x, _ in self.joints)

    @property
    def segments(self) -> list[tuple[int, int, Stick]]:
        """Every piece between successive joints."""
        return [(one, other, stick) for stick in self.sticks for one, other in pairwise(stick.through)]


def plan(rng: Random, kind: Kind | None = None) -> Plan:
    """A truss of one kind with invented dimensions."""
    chosen: Kind = kind if kind is not None else rng.choice(sorted(PLANS))
    return PLANS[chosen](rng)


def _sizes(rng: Random) -> tuple[str, str, str]:
    chord = rng.choice(CHORD_SIZES)
    return chord, rng.choice(CHORD_SIZES), rng.choice(WEB_SIZES)


def _bowstring(rng: Random) -> Plan:
    panels = rng.choice((6, 8, 10, 12))
    span = 12.0 * rng.randint(40, 100)
    rise = span * rng.uniform(0.11, 0.16)
    radius = (span * span / 4 + rise * rise) / (2 * rise)
    centre = (span / 2, rise - radius)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    upper = [(x, centre[1] + sqrt(radius**2 - (x - centre[0]) ** 2)) for x, _ in lower[1:-1]]
    joints = (*lower, *upper)
    top = [0, *range(panels + 1, 2 * panels), panels]
    bottom, chord, web = _sizes(rng)
    sticks = [
        Stick(role="bottom-chord", through=tuple(range(panels + 1)), size=bottom),
        Stick(role="top-chord", through=tuple(top), size=chord, circle=(*centre, radius)),
    ]
    sticks += [Stick(role="web", through=(i, top[i]), size=web) for i in range(1, panels)]
    for i in range(1, panels // 2):
        sticks.append(Stick(role="web", through=(i, top[i + 1]), size=web))
        sticks.append(Stick(role="web", through=(panels - i, top[panels - i - 1]), size=web))
    return Plan(kind="bowstring", joints=joints, sticks=tuple(sticks))


def _segmental(rng: Random) -> Plan:
    """A bowstring whose top chord is straight between panel points."""
    bow = _bowstring(rng)
    top = bow.sticks[1].through
    pieces = [
        Stick(role="top-chord", through=(one, other), size=bow.sticks[1].size) for one, other in pairwise(top)
    ]
    return Plan(kind="segmental", joints=bow.joints, sticks=(bow.sticks[0], *pieces, *bow.sticks[2:]))


def _pitched(rng: Random, panels: int) -> tuple[list[Point], list[Point]]:
    span = 12.0 * rng.randint(28, 60)
    rise = span * rng.uniform(0.2, 0.35)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    upper = [(x, rise * (1 - abs(2 * x / span - 1))) for x, _ in lower[1:-1]]
    return lower, upper


def _howe(rng: Random) -> Plan:
    panels = rng.choice((4, 6, 8))
    lower, upper = _pitched(rng, panels)
    top = [0, *range(panels + 1, 2 * panels), panels]
    half = panels // 2
    bottom, chord, web = _sizes(rng)
    sticks = [
        Stick(role="bottom-chord", through=tuple(range(panels + 1)), size=bottom),
        Stick(role="top-chord", through=tuple(top[: half + 1]), size=chord),
        Stick(role="top-chord", through=tuple(top[half:]), size=chord),
        *(Stick(role="web", through=(i, top[i]), size=web) for i in range(1, panels)),
        *(Stick(role="web", through=(i + 1, top[i]), size=web) for i in range(1, half)),
        *(Stick(role="web", through=(panels - i - 1, top[panels - i]), size=web) for i in range(1, half)),
    ]
    return Plan(kind="howe", joints=(*lower, *upper), sticks=tuple(sticks))


def _king_post(rng: Random) -> Plan:
    lower, upper = _pitched(rng, 4)
    joints = (lower[0], lower[2], lower[4], *upper)
    bottom, chord, web = _sizes(rng)
    return Plan(
        kind="king-post",
        joints=joints,
        sticks=(
            Stick(role="bottom-chord", through=(0, 1, 2), size=bottom),
            Stick(role="top-chord", through=(0, 3, 4), size=chord),
            Stick(role="top-chord", through=(4, 5, 2), size=chord),
            Stick(role="web", through=(1, 4), size=web),
            Stick(role="web", through=(1, 3), size=web),
            Stick(role="web", through=(1, 5), size=web),
        ),
    )


def _queen_post(rng: Random) -> Plan:
    span = 12.0 * rng.randint(28, 50)
    rise = span * rng.uniform(0.22, 0.3)
    third = span / 3
    at = rise * 2 / 3
    joints = (
        (0.0, 0.0),
        (third, 0.0),
        (2 * third, 0.0),
        (span, 0.0),
        (third, at),
        (2 * third, at),
        (span / 2, rise),
    )
    bottom, chord, web = _sizes(rng)
    return Plan(
        kind="queen-post",
        joints=joints,
        sticks=(
            Stick(role="bottom-chord", through=(0, 1, 2, 3), size=bottom),
            Stick(role="top-chord", through=(0, 4, 6), size=chord),
            Stick(role="top-chord", through=(6, 5, 3), size=chord),
            Stick(role="web", through=(1, 4), size=web),
            Stick(role="web", through=(2, 5), size=web),
            Stick(role="web", through=(4, 5), size=web),
        ),
    )


def _fink(rng: Random) -> Plan:
    span = 12.0 * rng.randint(24, 48)
    rise = span * rng.uniform(0.2, 0.33)
    joints = (
        (0.0, 0.0),
        (span / 3, 0.0),
        (2 * span / 3, 0.0),
        (span, 0.0),
        (span / 4, rise / 2),
        (span / 2, rise),
        (3 * span / 4, rise / 2),
    )
    bottom, chord, web = _sizes(rng)
    return Plan(
        kind="fink",
        joints=joints,
        sticks=(
            Stick(role="bottom-chord", through=(0, 1, 2, 3), size=bottom),
            Stick(role="top-chord", through=(0, 4, 5), size=chord),
            Stick(role="top-chord", through=(5, 6, 3), size=chord),
            Stick(role="web", through=(1, 4), size=web),
            Stick(role="web", through=(1, 5), size=web),
            Stick(role="web", through=(2, 5), size=web),
            Stick(role="web", through=(2, 6), size=web),
        ),
    )


def _fan(rng: Random) -> Plan:
    span = 12.0 * rng.randint(30, 48)
    rise = span * rng.uniform(0.22, 0.3)
    joints = (
        (0.0, 0.0),
        (span / 3, 0.0),
        (2 * span / 3, 0.0),
        (span, 0.0),
        (span / 6, rise / 3),
        (span / 3, 2 * rise / 3),
        (span / 2, rise),
        (2 * span / 3, 2 * rise / 3),
        (5 * span / 6, rise / 3),
    )
    bottom, chord, web = _sizes(rng)
    webs = ((1, 4), (1, 5), (1, 6), (2, 6), (2, 7), (2, 8))
    return Plan(
        kind="fan",
        joints=joints,
        sticks=(
            Stick(role="bottom-chord", through=(0, 1, 2, 3), size=bottom),
            Stick(role="top-chord", through=(0, 4, 5, 6), size=chord),
            Stick(role="top-chord", through=(6, 7, 8, 3), size=chord),
            *(Stick(role="web", through=web_ends, size=web) for web_ends in webs),
        ),
    )


def _flat(rng: Random) -> tuple[int, list[Point]]:
    panels = rng.choice((6, 8, 10))
    span = 12.0 * rng.randint(36, 80)
    depth = span * rng.uniform(0.1, 0.16)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    return panels, [*lower, *((x, depth) for x, _ in lower)]


def _pratt(rng: Random) -> Plan:
    panels, joints = _flat(rng)
    up = panels + 1
    half = panels // 2
    bottom, chord, web = _sizes(rng)
    return Plan(
        kind="pratt",
        joints=tuple(joints),
        sticks=(
            Stick(role="bottom-chord", through=tuple(range(panels + 1)), size=bottom),
            Stick(role="top-chord", through=tuple(range(up, 2 * up)), size=chord),
            *(Stick(role="web", through=(i, up + i), size=web) for i in range(panels + 1)),
            *(Stick(role="web", through=(i + 1, up + i), size=web) for i in range(half)),
            *(Stick(role="web", through=(i, up + i + 1), size=web) for i in range(half, panels)),
        ),
    )


def _warren(rng: Random) -> Plan:
    panels = rng.choice((4, 5, 6, 7))
    span = 12.0 * rng.randint(36, 72)
    depth = span / panels * rng.uniform(0.6, 0.9)
    lower = [(span * i / panels, 0.0) for i in range(panels + 1)]
    upper = [(span * (i + 0.5) / panels, depth) for i in range(panels)]
    first = panels + 1
    bottom, chord, web = _sizes(rng)
    return Plan(
        kind="warren",
        joints=(*lower, *upper),
        sticks=(
            Stick(role="bottom-chord", through=tuple(range(panels + 1)), size=bottom),
            Stick(role="top-chord", through=tuple(range(first, first + panels)), size=chord),
            Stick(role="top-chord", through=(0, first), size=chord),
            Stick(role="top-chord", through=(first + panels - 1, panels), size=chord),
            *(Stick(role="web", through=(i, first + i), size=web) for i in range(1, panels)),
            *(Stick(role="web", through=(i, first + i - 1), size=web) for i in range(1, panels)),
        ),
    )


PLANS: Final[dict[Kind, Callable[[Random], Plan]]] = {
    "bowstring": _bowstring,
    "segmental": _segmental,
    "howe": _howe,
    "king-post": _king_post,
    "queen-post": _queen_post,
    "fink": _fink,
    "fan": _fan,
    "pratt": _pratt,
    "warren": _warren,
}


def length(one: Point, other: Point) -> float:
    """Distance of two points."""
    return hypot(other[0] - one[0], other[1] - one[1])
