"""What the third hand gets wrong, or puts around a truss: each changes a board, and says how it is to be handled.

A blunder gives None where the board offers no place for it.
"""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING, Final

from tests.thirdhand.drawer import Board, Line

if TYPE_CHECKING:
    from tests.faulty.truth import Handling

Blunder = "Callable[[Board], Handling | None]"


def _webs(made: Board) -> list[Line]:
    return [
        line
        for line in made.lines
        if line.stick >= 0 and made.plan.sticks[line.stick].role == "web" and line.length > 40
    ]


def _some(made: Board, most: int = 3) -> list[Line]:
    webs = _webs(made)
    return made.rng.sample(webs, min(len(webs), made.rng.randint(1, most)))


def short_ends(made: Board) -> Handling | None:
    """Webs that stop short of the chord by a fraction of an inch."""
    if made.style == "double":
        return None
    for line in _some(made):
        line.moved(made.rng.randint(0, 1), -made.rng.uniform(0.05, 0.3))
    return "report"


def long_ends(made: Board) -> Handling | None:
    """Webs that run past the chord by a fraction of an inch."""
    if made.style == "double":
        return None
    for line in _some(made):
        line.moved(made.rng.randint(0, 1), made.rng.uniform(0.05, 0.3))
    return "report"


def drawn_twice(made: Board) -> Handling | None:
    """Lines again, the other way round."""
    made.lines += [Line(first=line.last, last=line.first, stick=line.stick) for line in _some(made, 5)]
    return "silent"


def points_left_over(made: Board) -> Handling | None:
    """Lines of no length."""
    made.lines += [Line(first=line.first, last=line.first) for line in _some(made)]
    return "silent"


def lapped_chord(made: Board) -> Handling | None:
    """A chord in two lengths that lap."""
    held = [line for line in made.lines if line.stick >= 0 and line.length > 200]
    if not held or made.style == "double":
        return None
    line = made.rng.choice(held)
    share, lap = made.rng.uniform(0.3, 0.7), 12.0 / line.length
    (x, y), (u, v) = line.first, line.last
    line.last = (x + (u - x) * (share + lap), y + (v - y) * (share + lap))
    made.lines.append(Line(first=(x + (u - x) * share, y + (v - y) * share), last=(u, v), stick=line.stick))
    return "report"


def border(made: Board) -> Handling | None:
    """A frame around the sheet with a title."""
    left, low, right, high = -90.0, -110.0, made.plan.span + 90.0, max(y for _, y in made.plan.joints) + 90.0
    made.extras.append(("add_lwpolyline", ([(left, low), (right, low), (right, high), (left, high)],),
                        {"close": True}))  # fmt: skip
    made.texts.append(("ROOF TRUSS AS SURVEYED", (made.plan.span / 2, low + 20.0), 0.0))
    return "silent"


def right_dimension(made: Board) -> Handling | None:
    """The span, its text typed over the measured one."""
    return _dimension(made, made.plan.span, "silent")


def wrong_dimension(made: Board) -> Handling | None:
    """A text that says two feet more than is drawn."""
    return _dimension(made, made.plan.span + 24.0, "ask")


def _dimension(made: Board, says: float, handling: Handling) -> Handling:
    text = f"{int(says // 12)}'-{says % 12:g}\""
    ends = {"base": (0.0, -50.0), "p1": (0.0, 0.0), "p2": (made.plan.span, 0.0)}
    made.extras.append(("add_linear_dim", (), {**ends, "text": text}))
    return handling


def bolts(made: Board) -> Handling | None:
    """Pairs of small circles at joints."""
    for x, y in made.rng.sample(list(made.plan.joints), 3):
        made.extras += [("add_circle", ((x + by, y + by / 2), 0.5), {}) for by in (-2.0, 2.0)]
    return "silent"


def triangles(made: Board) -> Handling | None:
    """Filled triangles under the heels."""
    drop = made.plan.sticks[0].depth / 2 if made.style == "double" else 0.0
    for x in (0.0, made.plan.span):
        made.extras.append(("add_solid", ([(x, -drop), (x - 7.0, -drop - 11.0), (x + 7.0, -drop - 11.0)],), {}))
    return "ask"


def notes(made: Board) -> Handling | None:
    """What the surveyor wrote beside the truss."""
    made.texts.append(
        ("SPLIT, SEE PHOTO 4", (made.plan.span / 2, max(y for _, y in made.plan.joints) + 40.0), 0.0)
    )
    return "silent"


def cloud(made: Board) -> Handling | None:
    """A revision cloud beside the truss."""
    y = max(y for _, y in made.plan.joints) + 60.0
    spots = [(60.0 + 24.0 * cos(2 * pi * k / 12), y + 24.0 * sin(2 * pi * k / 12)) for k in range(12)]
    made.extras.append(("add_lwpolyline", ([(*spot, 0.5) for spot in spots],), {"format": "xyb", "close": True}))
    return "silent"


def no_unit(made: Board) -> Handling | None:
    """A header without a unit."""
    made.unit = None
    return "ask"


def in_feet(made: Board) -> Handling | None:
    """Drawn in feet, as the header says."""
    made.unit, made.factor = 2, 1 / 12
    return "silent"


def feet_as_inches(made: Board) -> Handling | None:
    """Drawn in feet under a header of inches."""
    made.factor = 1 / 12
    return "ask"


def far_away(made: Board) -> Handling | None:
    """At the coordinates of the site."""
    made.away = (1.25e6, 4.5e5)
    return "silent"


def upright(made: Board) -> Handling | None:
    """Drawn in the plane of x and z."""
    if made.extras:
        return None
    made.upright = True
    return "silent"


def mirrored(made: Board) -> Handling | None:
    """In a block that is put down mirrored; the truss is its own mirror image."""
    turned = {(round(made.plan.span - x, 6), round(y, 6)) for x, y in made.plan.joints}
    if turned != {(round(x, 6), round(y, 6)) for x, y in made.plan.joints}:
        return None
    made.block = True
    return "silent"


def webs_off(made: Board) -> Handling | None:
    """All webs on a layer that is switched off."""
    for line in _webs(made):
        line.layer = "WEBS"
    made.off.add("WEBS")
    return "ask"


FIRST: Final = (short_ends, long_ends, lapped_chord, drawn_twice, points_left_over, webs_off)
AROUND: Final = (border, right_dimension, wrong_dimension, bolts, triangles, notes, cloud)
WHOLE: Final = (no_unit, in_feet, feet_as_inches, far_away, upright, mirrored)
BLUNDERS: Final = (*FIRST, *AROUND, *WHOLE)
RIVALS: Final = (
    (no_unit, in_feet, feet_as_inches),
    (right_dimension, wrong_dimension),
    (upright, mirrored, far_away),
    (feet_as_inches, wrong_dimension),
    (no_unit, wrong_dimension, right_dimension),
)
