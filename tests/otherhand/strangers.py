"""Drawings that hold no truss: plans, elevations, details, machines, tables, maps. Everything is invented.

Each is lines, arcs and circles in a document of a unit by chance; the right reading of each is a refusal.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, dist, pi, sin
from typing import TYPE_CHECKING, Final

from ezdxf.filemanagement import new

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

    from tests.faulty.plans import Point


def drawing_of(rng: Random, kind: str) -> Drawing:
    """One drawing of a kind."""
    document = new(rng.choice(("R12", "R2000", "R2010", "R2018")))
    if document.dxfversion != "AC1009":
        document.header["$INSUNITS"] = rng.choice((0, 1, 4, 6))
    STRANGERS[kind](document.modelspace(), rng)
    return document


def _way(space: Modelspace, spots: list[Point], *, close: bool = False) -> None:
    for one, other in pairwise([*spots, spots[0]] if close else spots):
        space.add_line(one, other)


def _box(space: Modelspace, x: float, y: float, wide: float, high: float) -> None:
    _way(space, [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)], close=True)


def floor_plan(space: Modelspace, rng: Random) -> None:
    """Rooms by double walls, doors with their swing."""
    wide, high = rng.uniform(300, 900), rng.uniform(200, 500)
    for grow in (0, 8):
        _box(space, -grow, -grow, wide + 2 * grow, high + 2 * grow)
    for _ in range(rng.randint(2, 6)):
        x = rng.uniform(60, wide - 60)
        low, top = sorted((rng.uniform(0, high), rng.uniform(0, high)))
        for step in (0, 5):
            space.add_line((x + step, low), (x + step, top))
        space.add_arc((x, low), 32, 0, 90)
        space.add_line((x, low), (x, low + 32))


def furniture(space: Modelspace, rng: Random) -> None:
    """Tables, chairs and a bed in a room."""
    _box(space, 0, 0, 240, 180)
    for _ in range(rng.randint(4, 12)):
        x, y = rng.uniform(0, 200), rng.uniform(0, 140)
        _box(space, x, y, rng.uniform(12, 60), rng.uniform(12, 40))
    for _ in range(rng.randint(1, 4)):
        space.add_circle((rng.uniform(0, 240), rng.uniform(0, 180)), rng.uniform(8, 30))


def house(space: Modelspace, rng: Random) -> None:
    """The gable end of a house with windows, a door and a chimney."""
    wide, wall, rise = rng.uniform(240, 480), rng.uniform(96, 220), rng.uniform(60, 200)
    _way(space, [(0, 0), (wide, 0), (wide, wall), (wide / 2, wall + rise), (0, wall)], close=True)
    if rng.random() < 0.6:
        space.add_line((0, wall), (wide, wall))
    if rng.random() < 0.5:
        _way(space, [(-14, wall - 8), (wide / 2, wall + rise + 4), (wide + 14, wall - 8)])
    for _ in range(rng.randint(1, 5)):
        x, y = rng.uniform(10, wide - 60), rng.uniform(20, wall - 60)
        _box(space, x, y, 36, 48)
        space.add_line((x + 18, y), (x + 18, y + 48))
        space.add_line((x, y + 24), (x + 36, y + 24))
    _box(space, wide / 2 - 20, 0, 40, 80)


def hip_roof_plan(space: Modelspace, rng: Random) -> None:
    """A hipped roof from above."""
    wide, high = rng.uniform(300, 700), rng.uniform(200, 290)
    _box(space, 0, 0, wide, high)
    one, other = (high / 2, high / 2), (wide - high / 2, high / 2)
    for spot, ridge in (((0, 0), one), ((0, high), one), ((wide, 0), other), ((wide, high), other), (one, other)):
        space.add_line(spot, ridge)
    if rng.random() < 0.5:
        for step in range(1, int(wide // 48)):
            space.add_line((48 * step, 0), (48 * step, min(48 * step, wide - 48 * step, high / 2)))


def gate(space: Modelspace, rng: Random) -> None:
    """A gate of rails and stiles with one brace, or a door of boards with a Z."""
    wide, high = rng.uniform(40, 140), rng.uniform(40, 90)
    _box(space, 0, 0, wide, high)
    for step in range(1, rng.randint(3, 7)):
        space.add_line((0, high * step / 7), (wide, high * step / 7))
    space.add_line((0, 0), (wide, high))


def stairs(space: Modelspace, rng: Random) -> None:
    """A stair in section with its handrail."""
    steps = rng.randint(8, 18)
    spots: list[Point] = []
    for step in range(steps):
        spots += [(10.0 * step, 7.0 * step), (10.0 * step, 7.0 * (step + 1))]
    _way(space, spots)
    space.add_line((0, -10), (10.0 * steps, 7.0 * steps - 10))
    space.add_line((0, 36), (10.0 * steps, 7.0 * steps + 36))
    for step in range(0, steps, 2):
        space.add_line((10.0 * step, 7.0 * step), (10.0 * step, 7.0 * step + 36))


def gear(space: Modelspace, rng: Random) -> None:
    """A toothed wheel with spokes."""
    teeth, radius = rng.randint(12, 40), rng.uniform(2, 40)
    spots = []
    for step in range(4 * teeth):
        out = radius * (1.0 if step % 4 in {0, 1} else 1.12)
        spots.append((out * cos(2 * pi * step / 4 / teeth), out * sin(2 * pi * step / 4 / teeth)))
    _way(space, spots, close=True)
    space.add_circle((0, 0), radius * 0.3)
    for step in range(rng.randint(3, 8)):
        turn = 2 * pi * step / 6
        space.add_line(
            (radius * 0.3 * cos(turn), radius * 0.3 * sin(turn)),
            (radius * 0.9 * cos(turn), radius * 0.9 * sin(turn)),
        )


def bracket(space: Modelspace, rng: Random) -> None:
    """A plate with a rib, holes and rounded corners."""
    wide, high = rng.uniform(4, 20), rng.uniform(3, 15)
    _way(
        space,
        [(0, 0), (wide, 0), (wide, 1), (1 + wide * 0.3, 1), (1, high * 0.7), (1, high), (0, high)],
        close=True,
    )
    for _ in range(rng.randint(2, 5)):
        space.add_circle((rng.uniform(0.3, wide), rng.uniform(0.3, high)), 0.25)
    space.add_arc((1.5, 1.5), 0.5, 180, 270)


def table(space: Modelspace, rng: Random) -> None:
    """A ruled table with words."""
    rows, columns = rng.randint(3, 20), rng.randint(2, 8)
    for row in range(rows + 1):
        space.add_line((0, 8 * row), (30 * columns, 8 * row))
    for column in range(columns + 1):
        space.add_line((30 * column, 0), (30 * column, 8 * rows))
    for row in range(rows):
        space.add_text(f"ITEM {row}", height=4).set_placement((2, 8 * row + 2))


def site(space: Modelspace, rng: Random) -> None:
    """Plots, a road, contour lines, trees."""
    spots = [(rng.uniform(0, 3000), rng.uniform(0, 2000)) for _ in range(rng.randint(4, 9))]
    spots.sort(key=lambda p: (p[0] - 1500) ** 2 + p[1])
    _way(space, spots, close=True)
    for level in range(rng.randint(2, 8)):
        _way(space, [(100 * step, 300 + 80 * level + rng.uniform(-30, 30)) for step in range(30)])
    for _ in range(rng.randint(3, 15)):
        space.add_circle((rng.uniform(0, 3000), rng.uniform(0, 2000)), 60)


def flow_chart(space: Modelspace, rng: Random) -> None:
    """Boxes and lozenges joined by lines."""
    count = rng.randint(3, 8)
    for step in range(count):
        y = -60.0 * step
        if step % 3 == 2:
            _way(space, [(-40, y), (0, y + 20), (40, y), (0, y - 20)], close=True)
        else:
            _box(space, -40, y - 15, 80, 30)
        space.add_text("STEP", height=6).set_placement((-15, y - 3))
        if step < count - 1:
            space.add_line(
                (0, y - (20 if step % 3 == 2 else 15)), (0, y - 60 + (20 if (step + 1) % 3 == 2 else 15))
            )


def scribble(space: Modelspace, rng: Random) -> None:
    """Lines anywhere."""
    size = rng.choice((10, 100, 1000))
    for _ in range(rng.randint(3, 60)):
        space.add_line((rng.uniform(0, size), rng.uniform(0, size)), (rng.uniform(0, size), rng.uniform(0, size)))


def scattered_network(space: Modelspace, rng: Random) -> None:
    """Random points joined to some of their neighbours."""
    size = rng.choice((10, 100, 500, 1000))
    spots = [
        (rng.uniform(0, size), rng.uniform(0, size * rng.choice((0.3, 1.0)))) for _ in range(rng.randint(4, 40))
    ]
    for spot in spots:
        near = sorted((dist(spot, other), other) for other in spots)
        for _, other in near[1 : rng.randint(2, 4)]:
            space.add_line(spot, other)


def mesh(space: Modelspace, rng: Random) -> None:
    """A triangulated surface."""
    across, up, size = rng.randint(3, 12), rng.randint(2, 8), rng.choice((1, 10, 50))
    at = {
        (i, j): (size * (i + rng.uniform(-0.3, 0.3)), size * (j + rng.uniform(-0.3, 0.3)))
        for i in range(across)
        for j in range(up)
    }
    for (i, j), spot in at.items():
        for step in ((1, 0), (0, 1), (1, 1)):
            if (i + step[0], j + step[1]) in at:
                space.add_line(spot, at[i + step[0], j + step[1]])


def regular_net(space: Modelspace, rng: Random) -> None:
    """A fence or trellis: a square grid with diagonals, or without."""
    across, up, size = rng.randint(3, 12), rng.randint(3, 8), rng.choice((4, 12, 30))
    for i in range(across + 1):
        space.add_line((i * size, 0), (i * size, up * size))
    for j in range(up + 1):
        space.add_line((0, j * size), (across * size, j * size))
    if rng.random() < 0.6:
        for i in range(across):
            for j in range(up):
                if rng.random() < 0.7:
                    space.add_line((i * size, j * size), ((i + 1) * size, (j + 1) * size))


def star(space: Modelspace, rng: Random) -> None:
    """A star, a polygon with its diagonals, a wheel of spokes."""
    count, radius = rng.randint(3, 9), rng.uniform(5, 300)
    spots = [(radius * cos(2 * pi * k / count), radius * sin(2 * pi * k / count)) for k in range(count)]
    _way(space, spots, close=True)
    manner = rng.choice(("diagonals", "spokes", "star"))
    for k in range(count):
        if manner == "spokes":
            space.add_line((0, 0), spots[k])
        elif manner == "star":
            space.add_line(spots[k], spots[(k + 2) % count])
        elif k > 1:
            space.add_line(spots[0], spots[k])


def isometric(space: Modelspace, rng: Random) -> None:
    """Boxes in a slanting view."""
    for _ in range(rng.randint(1, 4)):
        x, y, size = rng.uniform(0, 100), rng.uniform(0, 100), rng.uniform(10, 60)
        a, b, c = (size * cos(pi / 6), size / 2), (-size * cos(pi / 6), size / 2), (0.0, size)
        o = (x, y)
        p = [(x + a[0] * i + b[0] * j + c[0] * k, y + a[1] * i + b[1] * j + c[1] * k)
             for i, j, k in ((1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 1), (0, 1, 1), (1, 1, 1))]  # fmt: skip
        for one, other in ((o, p[0]), (o, p[1]), (o, p[2]), (p[0], p[3]), (p[1], p[4]), (p[2], p[3]), (p[2], p[4]),
                           (p[3], p[5]), (p[4], p[5])):  # fmt: skip
            space.add_line(one, other)


def circuit(space: Modelspace, rng: Random) -> None:
    """Level and upright lines with small symbols."""
    for _ in range(rng.randint(5, 20)):
        x, y = rng.randint(0, 20) * 10.0, rng.randint(0, 12) * 10.0
        space.add_line((x, y), (x + 10 * rng.randint(1, 5), y))
        space.add_line((x, y), (x, y + 10 * rng.randint(1, 3)))
        if rng.random() < 0.5:
            _way(space, [(x, y), (x + 2, y + 2), (x + 4, y - 2), (x + 6, y + 2), (x + 8, y)])


def graph(space: Modelspace, rng: Random) -> None:
    """Axes with ticks and curves of measured values."""
    space.add_line((0, 0), (200, 0))
    space.add_line((0, 0), (0, 120))
    for step in range(1, 10):
        space.add_line((20 * step, -2), (20 * step, 2))
        space.add_line((-2, 12 * step), (2, 12 * step))
    for _ in range(rng.randint(1, 4)):
        value = rng.uniform(20, 80)
        spots = []
        for step in range(20):
            value += rng.uniform(-12, 12)
            spots.append((10.0 * step, value))
        _way(space, spots)


def building_section(space: Modelspace, rng: Random) -> None:
    """Floors, walls, a couple roof without a truss drawn as outlines, foundations."""
    wide = rng.uniform(200, 400)
    for y in (0, 100, 110, 200, 210):
        space.add_line((0, y), (wide, y))
    for x in (0, 10, wide - 10, wide):
        space.add_line((x, -30), (x, 210))
    _way(space, [(-20, 200), (wide / 2, 300), (wide + 20, 200)])
    _way(space, [(-20, 208), (wide / 2, 308), (wide + 20, 208)])


def portal(space: Modelspace, rng: Random) -> None:
    """A frame of columns and a beam, with knee braces or bracing in a bay."""
    bays, wide, high = rng.randint(1, 4), rng.uniform(120, 300), rng.uniform(100, 240)
    for bay in range(bays + 1):
        space.add_line((bay * wide, 0), (bay * wide, high))
    space.add_line((0, high), (bays * wide, high))
    if rng.random() < 0.5:
        space.add_line((0, 0), (wide, high))
        space.add_line((wide, 0), (0, high))
    else:
        for bay in range(bays):
            space.add_line((bay * wide, high * 0.8), (bay * wide + high * 0.2, high))


def letters(space: Modelspace, rng: Random) -> None:
    """Large letters by strokes."""
    shapes: dict[str, list[list[Point]]] = {
        "A": [[(0, 0), (5, 12), (10, 0)], [(2.5, 6), (7.5, 6)]],
        "W": [[(0, 12), (3, 0), (5, 8), (7, 0), (10, 12)]],
        "M": [[(0, 0), (0, 12), (5, 4), (10, 12), (10, 0)]],
        "X": [[(0, 0), (10, 12)], [(0, 12), (10, 0)]],
        "Z": [[(0, 12), (10, 12), (0, 0), (10, 0)]],
        "K": [[(0, 0), (0, 12)], [(10, 12), (0, 6), (10, 0)]],
    }
    size = rng.choice((1, 5, 20))
    for number in range(rng.randint(1, 12)):
        for stroke in shapes[rng.choice(list(shapes))]:
            _way(space, [((x + 13 * number) * size, y * size) for x, y in stroke])


def arrows(space: Modelspace, rng: Random) -> None:
    """Large arrows and triangles."""
    for _ in range(rng.randint(1, 6)):
        x, y, size = rng.uniform(0, 300), rng.uniform(0, 300), rng.uniform(5, 120)
        if rng.random() < 0.5:
            _way(space, [(x, y), (x + size, y), (x + size / 2, y + size * rng.uniform(0.3, 1.2))], close=True)
        else:
            shaft = [(0.0, 0.0), (1.0, 0.0), (1.0, -0.2), (1.5, 0.2), (1.0, 0.6), (1.0, 0.4), (0.0, 0.4)]
            _way(space, [(x + size * across, y + size * up) for across, up in shaft], close=True)


def window(space: Modelspace, rng: Random) -> None:
    """Windows with glazing bars, one with an arch and rays."""
    wide, high = rng.uniform(30, 80), rng.uniform(30, 90)
    _box(space, 0, 0, wide, high)
    for step in range(1, rng.randint(2, 5)):
        space.add_line((wide * step / 5, 0), (wide * step / 5, high))
        space.add_line((0, high * step / 5), (wide, high * step / 5))
    if rng.random() < 0.6:
        space.add_arc((wide / 2, high), wide / 2, 0, 180)
        for turn in (0.25, 0.5, 0.75):
            space.add_line(
                (wide / 2, high), (wide / 2 + wide / 2 * cos(turn * pi), high + wide / 2 * sin(turn * pi))
            )


def profile(space: Modelspace, rng: Random) -> None:
    """A turned part in outline with arcs, by halves about its axis."""
    x, y = 0.0, rng.uniform(2, 6)
    spots = [(x, y)]
    for _ in range(rng.randint(4, 9)):
        x += rng.uniform(1, 6)
        spots.append((x, y))
        y = rng.uniform(1, 7)
        spots.append((x, y))
    _way(space, spots)
    _way(space, [(x, -y) for x, y in spots])
    space.add_line((spots[0][0], spots[0][1]), (spots[0][0], -spots[0][1]))
    space.add_line((spots[-1][0], spots[-1][1]), (spots[-1][0], -spots[-1][1]))
    for spot in spots[::2]:
        space.add_line(spot, (spot[0], -spot[1]))


STRANGERS: Final[dict[str, Callable[[Modelspace, Random], None]]] = {
    kind.__name__.replace("_", " "): kind
    for kind in (
        floor_plan, furniture, house, hip_roof_plan, gate, stairs, gear, bracket, table, site, flow_chart,
        scribble, scattered_network, mesh, regular_net, star, isometric, circuit, graph, building_section,
        portal, letters, arrows, window, profile,
    )
}  # fmt: skip
