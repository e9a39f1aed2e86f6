"""The forces that cross a joint: plane by plane, or once for both planes of a symmetric joint in double shear.

Terms: *double* is a joint of three layers whose outer two carry alike. Of any other joint a layer that both its
planes push the same way lends each its share of the thickness. Forces in lbf. Source: statics; the share of the
thickness is an own derivation.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.timber.joints import Layer, Vector


class Crossing(NamedTuple):
    """A force across one plane or, in double shear, both: the layers by number and how much of each bears.

    `own` are the forces of all layers on the fasteners.
    """

    force: Vector
    own: tuple[Vector, ...]
    main: int
    side: int
    shares: tuple[float, float]
    double: bool


def crossings(layers: Sequence[Layer], forces: Sequence[Vector], planes: Sequence[Vector]) -> list[Crossing]:
    """The forces to check: one in double shear, else one for each plane."""
    sizes = [hypot(*force) for force in forces]
    if len(layers) == 3:
        first, last = forces[0], forces[2]
        alike = hypot(first[0] - last[0], first[1] - last[1]) <= 1e-6 * max(sizes)
        kin = layers[0].member == layers[2].member
        if alike and kin:
            side = 0 if layers[0].thickness <= layers[2].thickness else 2
            return [Crossing(forces[1], tuple(forces), 1, side, (1.0, 1.0), double=True)]
    found = []
    for i, plane in enumerate(planes):
        size = hypot(*plane)
        near, far = (min(1.0, size / sizes[j]) if sizes[j] else 1.0 for j in (i, i + 1))
        found.append(Crossing(plane, tuple(forces), i + 1, i, (far, near), double=False))
    return found
