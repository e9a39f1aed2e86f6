"""How the third hand draws: strokes in inches first, spoilt by blunders, then a file with its unit and plane."""

from __future__ import annotations

from dataclasses import dataclass, field
from io import StringIO
from math import atan2, cos, degrees, hypot, pi, sin
from typing import TYPE_CHECKING, Any, Final, Literal

from ezdxf.filemanagement import new

if TYPE_CHECKING:
    from random import Random

    from ezdxf.layouts.base import BaseLayout

    from tests.faulty.plans import Plan, Point, Stick
    from tests.faulty.truth import Handling

Style = Literal["single", "double"]
LABELS: Final = ("along", "leader")


@dataclass(kw_only=True)
class Line:
    """A straight stroke; `stick` is the number of the member that it draws, -1 for none."""

    first: Point
    last: Point
    layer: str = "WOOD"
    stick: int = -1

    @property
    def length(self) -> float:
        """Its length."""
        return hypot(self.last[0] - self.first[0], self.last[1] - self.first[1])

    def moved(self, end: int, by: float) -> None:
        """Make it longer at one end by so much, or shorter."""
        (x, y), (u, v) = (self.first, self.last) if end else (self.last, self.first)
        spot = (u + (u - x) / self.length * by, v + (v - y) / self.length * by)
        if end:
            self.last = spot
        else:
            self.first = spot


@dataclass(kw_only=True)
class Board:
    """One drawing in the making. `extras` are calls on the space that draw what is no line."""

    plan: Plan
    rng: Random
    style: Style
    lines: list[Line] = field(default_factory=list)
    arcs: list[tuple[Point, float, float, float]] = field(default_factory=list)
    texts: list[tuple[str, Point, float]] = field(default_factory=list)
    extras: list[tuple[str, tuple[Any, ...], dict[str, Any]]] = field(default_factory=list)
    off: set[str] = field(default_factory=set)
    unit: int | None = 1
    factor: float = 1.0
    upright: bool = False
    away: Point = (0.0, 0.0)
    block: bool = False
    handling: Handling = "silent"


def board(plan: Plan, rng: Random, style: Style) -> Board:
    """The plan drawn without a fault, with every size."""
    made = Board(plan=plan, rng=rng, style=style)
    labels = rng.choice(LABELS)
    for number, stick in enumerate(plan.sticks):
        half = stick.depth / 2
        for by in (0.0,) if style == "single" else (half, -half):
            _stroke(made, number, stick, by)
        _label(made, stick, labels)
    return made


def _stroke(made: Board, number: int, stick: Stick, by: float) -> None:
    ends = made.plan.joints[stick.through[0]], made.plan.joints[stick.through[-1]]
    if stick.circle is not None:
        x, y, radius = stick.circle
        angles = [degrees(atan2(q - y, p - x)) for p, q in ends]
        made.arcs.append(((x, y), radius + by, min(angles), max(angles)))
        return
    size = hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])
    dx, dy = -(ends[1][1] - ends[0][1]) / size * by, (ends[1][0] - ends[0][0]) / size * by
    spots = [(px + dx, py + dy) for px, py in ends]
    made.lines.append(Line(first=spots[0], last=spots[1], stick=number))


def _label(made: Board, stick: Stick, how: str) -> None:
    number = (len(stick.through) - 1) // 2
    one, other = (made.plan.joints[joint] for joint in stick.through[max(number - 1, 0) : max(number - 1, 0) + 2])
    if one[0] > other[0] or (one[0] == other[0] and one[1] > other[1]):
        one, other = other, one
    angle = atan2(other[1] - one[1], other[0] - one[0])
    spot = (one[0] * 0.45 + other[0] * 0.55, one[1] * 0.45 + other[1] * 0.55)
    if stick.circle is not None:
        x, y, radius = stick.circle
        away = hypot(spot[0] - x, spot[1] - y)
        spot = (x + (spot[0] - x) / away * radius, y + (spot[1] - y) / away * radius)
    if how == "along":
        clear = 5.0 + (stick.depth / 2 if made.style == "double" else 0.0)
        clear = -clear if stick.role == "bottom-chord" else clear
        made.texts.append((stick.size, (spot[0] - sin(angle) * clear, spot[1] + cos(angle) * clear), angle))
        return
    turn = angle + (-pi / 2 if stick.role == "bottom-chord" else pi / 2)
    tail = (spot[0] + 20 * cos(turn), spot[1] + 20 * sin(turn))
    made.extras.append(("add_leader", ([spot, tail],), {}))
    made.texts.append(
        (stick.size, (tail[0] + (2.5 + 2 * len(stick.size)) * cos(turn), tail[1] + 2.5 * sin(turn)), 0.0)
    )


def saved(made: Board) -> bytes:
    """The file."""
    document = new("R2010")
    document.header["$INSUNITS"] = made.unit or 0
    for layer in sorted({line.layer for line in made.lines}):
        entry = document.layers.add(layer)
        if layer in made.off:
            entry.off()
    space: BaseLayout = document.modelspace()
    if made.block:
        document.modelspace().add_blockref("TRUSS", (made.plan.span * made.factor, 0), dxfattribs={"xscale": -1.0})
        space = document.blocks.new("TRUSS")
    for line in made.lines:
        space.add_line(_at(made, line.first), _at(made, line.last), dxfattribs={"layer": line.layer})
    for centre, radius, start, end in made.arcs:
        _arc(space, made, (centre, radius, start, end))
    for says, spot, angle in made.texts:
        _text(space, made, says, spot, angle)
    for name, args, more in made.extras:
        drawn = getattr(space, name)(*_scaled(args, made), **_scaled(more, made))
        if name.endswith("_dim"):
            drawn.render()
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8")


def _at(made: Board, spot: Point) -> tuple[float, float, float]:
    x, y = (spot[0] + made.away[0]) * made.factor, (spot[1] + made.away[1]) * made.factor
    return (x, 0.0, y) if made.upright else (x, y, 0.0)


def _arc(space: BaseLayout, made: Board, arc: tuple[Point, float, float, float]) -> None:
    centre, radius, start, end = arc
    x, y = (centre[0] + made.away[0]) * made.factor, (centre[1] + made.away[1]) * made.factor
    if made.upright:
        more = {"extrusion": (0, -1, 0)}
        space.add_arc((x, y, 0), radius * made.factor, start, end, dxfattribs=more)
    else:
        space.add_arc((x, y), radius * made.factor, start, end)


def _text(space: BaseLayout, made: Board, says: str, spot: Point, angle: float) -> None:
    x, y = (spot[0] + made.away[0]) * made.factor, (spot[1] + made.away[1]) * made.factor
    more: dict[str, Any] = {"char_height": 4.0 * made.factor, "attachment_point": 5, "insert": (x, y)}
    if made.upright:
        more |= {"insert": (x, 0.0, y), "extrusion": (0, -1, 0)}
        more["text_direction"] = (cos(angle), 0.0, sin(angle))
    else:
        more["rotation"] = degrees(angle)
    space.add_mtext(says, more)


def _scaled(held: Any, made: Board) -> Any:  # noqa: ANN401  # arguments of any drawing call
    """Places and lengths among the arguments of a call, in drawing units."""
    if isinstance(held, float):
        return held * made.factor
    if isinstance(held, tuple) and len(held) == 2 and all(isinstance(side, float) for side in held):
        return tuple((side + by) * made.factor for side, by in zip(held, made.away, strict=True))
    if isinstance(held, tuple) and len(held) == 3 and all(isinstance(side, float) for side in held):
        return (*_scaled(held[:2], made), held[2])
    if isinstance(held, (tuple, list)):
        return type(held)(_scaled(one, made) for one in held)
    if isinstance(held, dict):
        return {key: _scaled(value, made) for key, value in held.items()}
    return held
