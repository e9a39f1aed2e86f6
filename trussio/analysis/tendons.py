"""Tendons among the arrays of a frame: what their legs pull at, and the force along them.

A leg under unit tension pulls its two points together along the line between them; a point beside its joint turns
the stick that it bears on by the lever besides. What a leg does to one point it undoes at the other, so that a
tendon is in balance by itself. Friction works where a tendon turns; each leg carries the force of its middle.
When an anchor draws in, force goes from the anchor on, as far as friction the other way lets it.
Shapes: n movements, l legs.

Sources: friction of a belt (L. Euler), draw-in by the area between the two force lines (practice of
prestressing); both cited from memory.
"""

from __future__ import annotations

from math import exp
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.turning import Couple
from trussio.errors import CannotAnalyseError
from trussio.geometry import off_axis
from trussio.model.tendon import FRICTION, LOSS, SLIP

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.model.tendon import Tendon
    from trussio.model.truss import Truss


class Path(NamedTuple):
    """Where a tendon runs: `places` (l + 1, 2), `arms` (l + 1, 2) from the joint of each point to it.

    `lengths` (l,) are those of the legs, `turns` (l - 1,) the angles by which deviators turn it.
    """

    places: Floats
    arms: Floats
    lengths: list[float]
    turns: list[float]


class Cable(NamedTuple):
    """A tendon in a frame: `pulls` (n, l) of its legs under unit tension on the movements, and its path.

    `turned` gives the movement that each point turns, None where it turns none. `give` is how much it lengthens
    under unit tension, None where it is no member after lock-off.
    """

    pulls: Floats
    path: Path
    turned: list[int | None]
    give: float | None


def path_of(truss: Truss, name: str) -> Path:
    """Where a tendon runs. Raises CannotAnalyseError where a leg has no length."""
    tendon = truss.tendons[name]
    arms = np.array(
        [
            (0.0, 0.0) if point.bears_on is None else off_axis(truss, point.bears_on, point.joint, point.offset)
            for point in tendon.path
        ]
    )
    joints = [truss.joints[point.joint] for point in tendon.path]
    places = np.array([(joint.x, joint.y) for joint in joints]) + arms
    ways = np.diff(places, axis=0)
    lengths = np.hypot(ways[:, 0], ways[:, 1])
    if not lengths.min() > 1e-9 * np.abs(places).max(initial=1.0):
        leg = int(lengths.argmin())
        raise CannotAnalyseError(
            "tendon-without-length",
            where=f"/tendons/{name}/path/{leg + 1}",
            what=f"two points of {name} lie on the same place, at {tendon.path[leg].joint}.",
            do="Leave one of the two out, or put its offset right.",
        )
    along = ways / lengths[:, None]
    cross = along[:-1, 0] * along[1:, 1] - along[:-1, 1] * along[1:, 0]
    turns = np.abs(np.arctan2(cross, (along[:-1] * along[1:]).sum(axis=1)))
    return Path(places=places, arms=arms, lengths=lengths.tolist(), turns=turns.tolist())


def couples_of(truss: Truss, name: str, path: Path) -> list[Couple | None]:
    """Where the points of a tendon turn a stick; None where a point lies at its joint."""
    points, last = truss.tendons[name].path, len(path.lengths)
    found: list[Couple | None] = []
    for index, point in enumerate(points):
        near = path.places[index - 1 if index == last else index + 1] - path.places[index]
        turned = point.bears_on is not None and point.offset != 0.0
        towards = (float(near[0]), float(near[1]))
        found.append(Couple(point.bears_on, point.joint, towards) if turned and point.bears_on else None)
    return found


def cable(truss: Truss, name: str, path: Path, turned: list[int | None], total: int) -> Cable:
    """A tendon in a frame of `total` movements; `turned` gives the movement that each point turns, if any."""
    tendon, number = truss.tendons[name], {joint: index for index, joint in enumerate(truss.joints)}
    pulls = np.zeros((total, len(path.lengths)))
    for leg, length in enumerate(path.lengths):
        along = (path.places[leg + 1] - path.places[leg]) / length
        for index, way in ((leg, along), (leg + 1, -along)):
            joint, turn = number[tendon.path[index].joint], turned[index]
            pulls[2 * joint : 2 * joint + 2, leg] += way
            if turn is not None:
                arm = path.arms[index]
                pulls[turn, leg] += arm[0] * way[1] - arm[1] * way[0]
    give = None
    if tendon.acts == "member" and tendon.area and tendon.E:
        give = sum(path.lengths) / (tendon.E * tendon.area * tendon.strands)
    return Cable(pulls=pulls, path=path, turned=turned, give=give)


def greatest(tendon: Tendon, path: Path, jack: float, name: str) -> list[float]:
    """The force of each leg after lock-off with no loss but what is stated.

    Raises CannotAnalyseError `tendon-slack` where the stated draw-in leaves none.
    """
    found = _along(tendon, path, jack, tendon.friction or 0.0, tendon.slip or 0.0)
    if found is None:
        raise CannotAnalyseError(
            "tendon-slack",
            where=f"/tendons/{name}/slip",
            what=f"the draw-in of its anchor takes all of the force of {name}.",
            do="Give the draw-in of this anchor, or a tendon long enough to bear it.",
        )
    return found


def least(tendon: Tendon, path: Path, jack: float) -> list[float]:
    """The force of each leg in the long term with every loss, by the defaults where none is stated."""
    friction = FRICTION if tendon.friction is None else tendon.friction
    slip = SLIP if tendon.slip is None else tendon.slip
    left = 1.0 - (LOSS if tendon.loss is None else tendon.loss)
    found = _along(tendon, path, jack, friction, slip)
    return [0.0] * len(path.lengths) if found is None else [left * force for force in found]


def _along(tendon: Tendon, path: Path, jack: float, friction: float, slip: float) -> list[float] | None:
    """The force of each leg from the first on; None where the draw-in leaves none."""
    backwards = tendon.stressed == "last"
    lengths = path.lengths[::-1] if backwards else path.lengths
    turns = path.turns[::-1] if backwards else path.turns
    forces, turned, way = [], 0.0, 0.0
    for leg, length in enumerate(lengths):
        turned += turns[leg - 1] if leg else 0.0
        forces.append(jack * exp(-friction * turned - tendon.wobble * (way + length / 2)))
        way += length
    drawn = _drawn_in(forces, lengths, slip * (tendon.E or 0.0) * (tendon.area or 0.0) * tendon.strands)
    return drawn[::-1] if backwards and drawn is not None else drawn


def _drawn_in(forces: list[float], lengths: list[float], slip: float) -> list[float] | None:
    """The forces after the anchor of the first leg has drawn in; `slip` is the draw-in times E A."""
    if not slip or not forces[0]:
        return forces
    back = [forces[0] / force for force in forces]
    for reach in range(1, len(forces) + 1):
        area = sum(length * force for length, force in zip(lengths[:reach], forces, strict=False))
        end = (area - slip) / sum(length * part for length, part in zip(lengths[:reach], back, strict=False))
        if reach == len(forces) or end * back[reach] >= forces[reach]:
            break
    if end < 0.0:
        return None
    return [min(force, end * part) for force, part in zip(forces, back, strict=True)]
