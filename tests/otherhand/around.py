"""What another drafter draws around a truss that is no truss: supports, sheets, dimensions, roofing, marks."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.faulty.plans import Point
    from tests.otherhand.hand import Pen


def _drop(held: Pen) -> float:
    """How far under a heel the underside of the chord lies."""
    if held.style == "single":
        return 0.0
    return max(stick.depth for stick in held.plan.sticks if stick.role == "bottom-chord") / 2


def _top(held: Pen) -> float:
    return max(y for _, y in held.plan.joints)


def _heels(held: Pen) -> list[Point]:
    low = -_drop(held)
    return [(0.0, low), (held.plan.span, low)]


def triangles(held: Pen) -> None:
    """A triangle under either heel, one on rollers."""
    for number, (x, y) in enumerate(_heels(held)):
        held.way(
            (x, y), (x - 7, y - 12), (x + 7, y - 12), what="AUFLAGER", close=True, loose=held.rng.random() < 0.5
        )
        if number:
            held.circle((x - 4, y - 14), 2.0, "AUFLAGER")
            held.circle((x + 4, y - 14), 2.0, "AUFLAGER")
        held.line((x - 12, y - 16 if number else y - 12), (x + 12, y - 16 if number else y - 12), "AUFLAGER")


def filled_triangles(held: Pen) -> None:
    """Filled triangles as supports."""
    for x, y in _heels(held):
        held.solid((x, y), (x - 6, y - 10), (x + 6, y - 10), what="SUPP")


def walls(held: Pen) -> None:
    """A wall under either heel by two lines, a plate on it."""
    for x, y in _heels(held):
        held.way((x - 6, y), (x + 6, y), (x + 6, y - 1.5), (x - 6, y - 1.5), what="WALL", close=True)
        held.line((x - 6, y - 1.5), (x - 6, y - 70), "WALL")
        held.line((x + 6, y - 1.5), (x + 6, y - 70), "WALL")


def brick_walls(held: Pen) -> None:
    """A wall under either heel as a rectangle with a hatch."""
    for x, y in _heels(held):
        corners = ((x - 8, y), (x + 8, y), (x + 8, y - 60), (x - 8, y - 60))
        held.way(*corners, what="WALL", close=True)
        if held.modern:
            held.space.add_hatch(dxfattribs=held.attribs("WALL")).paths.add_polyline_path(
                [held.at(p) for p in corners]
            )


def support_blocks(held: Pen) -> None:
    """Support symbols as blocks."""
    block = held.document.blocks.new("SUPPORT")
    for one, other in (((0, 0), (-6, -10)), ((-6, -10), (6, -10)), ((6, -10), (0, 0))):
        block.add_line(held.at(one), held.at(other))
    for step in range(4):
        block.add_line(held.at((-6 + 4 * step, -10)), held.at((-9 + 4 * step, -14)))
    for spot in _heels(held):
        held.space.add_blockref("SUPPORT", held.at(spot), dxfattribs=held.attribs("SYMBOLS"))


def posts(held: Pen) -> None:
    """A column under either heel, by its two edges with a cut across."""
    for x, y in _heels(held):
        held.line((x - 3, y), (x - 3, y - 80), "POSTS")
        held.line((x + 3, y), (x + 3, y - 80), "POSTS")
        zigzag = ((-8, 0), (-2, 0), (-1, 4), (1, -4), (2, 0), (8, 0))
        held.way(*((x + dx, y - 80 + dy) for dx, dy in zigzag), what="POSTS")


def sheet(held: Pen) -> None:
    """A sheet with zones at its border and a title block full of cells."""
    span, top = held.plan.span, _top(held)
    left, right, low, high = -150.0, span + 150.0, -260.0, top + 130.0
    held.way((left, low), (right, low), (right, high), (left, high), what="SHEET", close=True,
             loose=held.rng.random() < 0.5)  # fmt: skip
    held.way((left + 12, low + 12), (right - 12, low + 12), (right - 12, high - 12), (left + 12, high - 12),
             what="SHEET", close=True)  # fmt: skip
    for number in range(1, 6):
        x = left + (right - left) * number / 6
        held.line((x, low), (x, low + 12), "SHEET")
        held.line((x, high), (x, high - 12), "SHEET")
        held.text(str(number), (x - 30, low + 4), 5.0, "SHEET")
    box = max(left + 12, right - 12 - 220)
    for row in range(5):
        held.line((box, low + 12 + 14 * row), (right - 12, low + 12 + 14 * row), "SHEET")
        says = ("SHEET 4", "SCALE 1:24", "DRAWN J K", "TRUSS T3", "OLD MILL")[row]
        held.text(says, (box + 4, low + 16 + 14 * row), 5.0, "SHEET")
    held.line((box, low + 12), (box, low + 82), "SHEET")
    held.line((box + 100, low + 12), (box + 100, low + 54), "SHEET")


def revisions(held: Pen) -> None:
    """A table of revisions."""
    x, y = held.plan.span + 60.0, -40.0
    for row in range(4):
        held.line((x, y - 9 * row), (x + 80, y - 9 * row), "TABLE")
    for side in (0, 14, 50, 80):
        held.line((x + side, y), (x + side, y - 27), "TABLE")
    held.text("REV", (x + 2, y - 7), 4.0, "TABLE")
    held.text("MEMBERS ADDED", (x + 16, y - 16), 4.0, "TABLE")


def says_length(inches: float, factor: float) -> str:
    """A length as a dimension writes it."""
    if factor in {25.4, 0.0254}:
        return f"{inches * 25.4:.0f}"
    feet, rest = divmod(round(inches * 4) / 4, 12)
    whole = int(rest)
    part = {0.0: "", 0.25: " 1/4", 0.5: " 1/2", 0.75: " 3/4"}[rest - whole]
    return f"{int(feet)}'-{whole}{part}\""


def dimensions(held: Pen) -> None:
    """Dimension entities: panels, the whole span, and the height."""
    chord = sorted(
        {joint for stick in held.plan.sticks if stick.role == "bottom-chord" for joint in stick.through}
    )
    spots = sorted(held.plan.joints[joint] for joint in chord)
    style = {"dimtxt": 5.0 * held.factor, "dimasz": 4.0 * held.factor, "dimexo": 3.0 * held.factor,
             "dimexe": 3.0 * held.factor, "dimgap": held.factor,
             "dimtsz": 2.0 * held.factor * held.rng.randint(0, 1),
             "dimlfac": 1.0}  # fmt: skip
    pairs = [*pairwise(spots)] if held.rng.random() < 0.6 else []
    for level, (one, other) in [(-60.0, pair) for pair in pairs] + [(-80.0, (spots[0], spots[-1]))]:
        held.space.add_linear_dim(
            base=held.at((0.0, level)), p1=held.at(one), p2=held.at(other), override=style,
            dxfattribs=held.attribs("dim"), text=says_length(other[0] - one[0], held.factor),
        ).render()  # fmt: skip
    top = max(held.plan.joints, key=lambda p: p[1])
    held.space.add_linear_dim(
        base=held.at((-60.0, 0.0)), p1=held.at((0.0, 0.0)), p2=held.at(top), angle=90, override=style,
        dxfattribs=held.attribs("dim"), text=says_length(top[1], held.factor),
    ).render()  # fmt: skip


def loose_dimensions(held: Pen) -> None:
    """Dimensions as loose lines with filled arrow heads or round ends."""
    chord = sorted(
        {joint for stick in held.plan.sticks if stick.role == "bottom-chord" for joint in stick.through}
    )
    spots = sorted(held.plan.joints[joint] for joint in chord)
    low, clear = -50.0, 4.0 + _drop(held)
    dots = held.rng.random() < 0.5
    for one, other in pairwise(spots):
        held.line((one[0], low), (other[0], low), "dim")
        says = says_length(other[0] - one[0], held.factor)
        held.text(says, ((one[0] + other[0]) / 2, low + 4.0), 4.5, "dim", middle=True)
        for x, way in ((one[0], 1), (other[0], -1)):
            if dots:
                held.circle((x, low), 0.8, "dim")
            else:
                held.solid((x, low), (x + 4 * way, low + 0.8), (x + 4 * way, low - 0.8), what="dim")
    for x, _y in spots:
        held.line((x, -clear), (x, low - 3.0), "dim")


def grid(held: Pen) -> None:
    """Grid lines with bubbles at the heels."""
    kind = held.rng.choice(("CENTER", "DASHDOT"))
    for number, x in enumerate((0.0, held.plan.span)):
        top = _top(held) + 40.0
        held.line((x, -120.0), (x, top), "GRID", linetype=kind)
        held.circle((x, top + 9.0), 9.0, "GRID")
        held.text("AB"[number], (x, top + 9.0), 6.0, "GRID", middle=True)


def purlins(held: Pen) -> None:
    """Small squares on the top chord, turned with it, crossed or not."""
    for stick in held.plan.sticks:
        if stick.role != "top-chord" or stick.circle is not None:
            continue
        one, other = held.plan.joints[stick.through[0]], held.plan.joints[stick.through[-1]]
        if one[0] > other[0]:
            one, other = other, one
        size = ((other[0] - one[0]) ** 2 + (other[1] - one[1]) ** 2) ** 0.5
        ux, uy = (other[0] - one[0]) / size, (other[1] - one[1]) / size
        lift = stick.depth / 2 if held.style == "double" else 0.0
        count = max(2, int(size / 40))
        for step in range(count):
            along = size * (step + 0.5) / count
            x, y = one[0] + ux * along - uy * lift, one[1] + uy * along + ux * lift
            corners = [
                (x + ux * a - uy * b, y + uy * a + ux * b) for a, b in ((-1.5, 0), (1.5, 0), (1.5, 6), (-1.5, 6))
            ]
            held.way(*corners, what="PURLIN", close=True)


def roofing(held: Pen) -> None:
    """Two lines of roofing above a straight top chord."""
    tops = sorted({j for s in held.plan.sticks if s.role == "top-chord" for j in s.through},
                  key=lambda j: held.plan.joints[j])  # fmt: skip
    if any(stick.circle for stick in held.plan.sticks):
        return
    spots = [held.plan.joints[joint] for joint in tops]
    deep = max(stick.depth for stick in held.plan.sticks if stick.role == "top-chord")
    for lift in (12.0 + deep / 2, 13.0 + deep / 2):
        held.way(*((x, y + lift) for x, y in spots), what="ROOF")


def plates(held: Pen) -> None:
    """Plates around some joints, with bolts in them."""
    joints = [p for p in held.plan.joints if 0 < p[0] < held.plan.span]
    for x, y in held.rng.sample(joints, min(3, len(joints))):
        held.way((x - 9, y - 6), (x + 9, y - 6), (x + 9, y + 6), (x - 9, y + 6), what="PLATES", close=True)
        for dx, dy in ((-6, -3), (6, -3), (6, 3), (-6, 3)):
            held.circle((x + dx, y + dy), 0.4, "BOLTS")


def slope_mark(held: Pen) -> None:
    """The small triangle that gives a roof's slope."""
    x, y = held.plan.span * 0.2, _top(held) + 30.0
    held.way((x, y), (x + 24, y), (x + 24, y + 10), what="note", close=True, loose=True)
    held.text("12", (x + 10, y - 7), 4.0)
    held.text("5", (x + 27, y + 3), 4.0)


def north(held: Pen) -> None:
    """An arrow in a circle, and a scale bar."""
    x, y = -100.0, _top(held) + 40.0
    held.circle((x, y), 14.0)
    held.way((x, y + 12), (x - 5, y - 8), (x, y - 4), (x + 5, y - 8), close=True)
    for step in range(4):
        left, right = x + 40 + 12 * step, x + 52 + 12 * step
        held.way((left, y), (right, y), (right, y + 3), (left, y + 3), close=True)


def bubble(held: Pen) -> None:
    """A circle around a joint, with a leader and the name of a detail."""
    x, y = held.plan.joints[1]
    held.circle((x, y), 20.0)
    held.line((x + 20 * cos(-pi / 3), y + 20 * sin(-pi / 3)), (x + 40, y - 50))
    held.text("DETAIL A", (x + 42, y - 53))


def photo_tags(held: Pen) -> None:
    """Numbers in circles, each with a line to a member."""
    for number, stick in enumerate(held.rng.sample(list(held.plan.sticks), 2)):
        if stick.circle is not None:
            continue
        one, other = held.plan.joints[stick.through[0]], held.plan.joints[stick.through[1]]
        x, y = one[0] * 0.45 + other[0] * 0.55, one[1] * 0.45 + other[1] * 0.55
        far = (x + 14.0, y - 22.0)
        held.line((x, y), far, "PHOTO")
        held.circle((far[0] + 2, far[1] - 5), 5.4, "PHOTO")
        held.text(str(number + 4), (far[0] + 2, far[1] - 5), 4.0, "PHOTO", middle=True)


def notes(held: Pen) -> None:
    """A block of notes."""
    for row, says in enumerate(
        ("NOTES", "1. ALL WOOD D.F.", "2. BOLTS 3/4 DIA.", "3. SEE SHEET 5", "SURVEYED 3 MAY")
    ):
        held.text(says, (held.plan.span + 40.0, _top(held) - 9.0 * row), 5.0)


def view_title(held: Pen) -> None:
    """A title under the truss with two lines under it."""
    x, y = held.plan.span * 0.35, -150.0
    held.text("TRUSS T3, LOOKING NORTH", (x, y), 9.0)
    held.line((x, y - 4), (x + 160, y - 4))
    held.line((x, y - 6), (x + 160, y - 6))


def pieces(held: Pen) -> None:
    """Section marks: strokes with a filled arrow and a letter at either side."""
    x = held.plan.span * 0.62
    for y, way in ((_top(held) + 25.0, -1), (-40.0, 1)):
        held.line((x, y), (x, y + 12 * way), "SECT")
        held.solid((x, y), (x - 6, y + 2), (x - 6, y - 2), what="SECT")
        held.text("S", (x + 4, y), 6.0, "SECT")


def levels(held: Pen) -> None:
    """Level marks with a line and a height."""
    for y in (0.0, _top(held)):
        x = -90.0
        held.line((x, y), (x + 40, y), "LEVEL")
        held.way((x + 10, y), (x + 6, y + 5), (x + 14, y + 5), what="LEVEL", close=True)
        held.text(f"+{y / 12:.2f}", (x + 16, y + 3), 4.0, "LEVEL")


AROUND: Final[dict[str, Callable[[Pen], None]]] = {
    f.__name__.replace("_", " "): f
    for f in (
        triangles, filled_triangles, walls, brick_walls, support_blocks, posts, sheet, revisions, dimensions,
        loose_dimensions, grid, purlins, roofing, plates, slope_mark, north, bubble, photo_tags, notes, view_title,
        pieces, levels,
    )
}  # fmt: skip
SUPPORTS: Final = ("triangles", "filled triangles", "walls", "brick walls", "support blocks", "posts")
