"""Fasteners that carry a moment besides a force: the worst of a group, and the force that would be as bad.

A stick that is fixed at its end hands its moment to the group: each fastener gets P/n + M r / sum r^2, and the
worst decides. As bad is n times what the worst gets, in its own direction. Rows run along the first stick that
ends at the joint. Inches, lbf. Source: statics of an elastic group, as in `bolt_group`.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.bolt_group import fastener_forces
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.loading import RunId
    from trussio.model.truss import MemberId
    from trussio.timber.bench import Bench
    from trussio.timber.crossing import Crossing
    from trussio.timber.fastened import Group
    from trussio.timber.joints import End, Layer, Vector

TURNED: Final = (
    "the group carries a moment of {:.0f} in-lbf: {:.2f} times the force is as bad for its worst fastener"
)


def end_moment(bench: Bench, run: RunId, ends: Mapping[MemberId, Sequence[End]]) -> float:
    """The greatest moment that a ply of a stick that ends here hands over (in-lbf), without sign."""
    factor = POUND[bench.truss.units] * INCH[bench.truss.units]
    found = [
        abs(bench.forces(run, end.segment.id).moment[end.last]) * factor / _plies(bench, name)
        for name, met in ends.items()
        if len(met) == 1
        for end in met
    ]
    return max(found, default=0.0)


def _plies(bench: Bench, name: MemberId) -> int:
    section = bench.truss.section_of(name)
    return 1 if section is None or section.joined == "glued" else section.plies


def with_moment(layers: Sequence[Layer], at: Crossing, group: Group, moment: float) -> tuple[Crossing, str]:
    """The crossing as bad as this one with a moment besides, and the words for it; both as they were without one.

    Raises UsageError where the places of the fasteners are not known, or one alone cannot take a moment.
    """
    if moment <= FLOOR:
        return at, ""
    if (group.in_row > 1 and group.spacing is None) or (group.rows > 1 and group.gauge is None):
        raise UsageError(
            "distance-missing",
            where="fasteners",
            what=f"a moment of {moment:.0f} in-lbf turns them and their places are not known.",
            do="Enter the spacing in a row and between rows.",
        )
    axis = next((one.grain for one in layers if one.inward is not None and one.grain), (1.0, 0.0))
    places = [
        (
            i % group.in_row * (group.spacing or 0.0) * axis[0]
            - i // group.in_row * (group.gauge or 0.0) * axis[1],
            i % group.in_row * (group.spacing or 0.0) * axis[1]
            + i // group.in_row * (group.gauge or 0.0) * axis[0],
        )
        for i in range(group.number)
    ]
    both = (moment, -moment)
    found = [one for turn in both for one in fastener_forces(places, force=at.force, moment=turn)]
    worst = max(found, key=lambda one: one.size)
    force = (worst.x * group.number, worst.y * group.number)
    size = hypot(*at.force)
    own = tuple(_turned(one, at.force, force) for one in at.own)
    times = hypot(*force) / size if size else 0.0
    return at._replace(force=force, own=own), TURNED.format(moment, times)


def _turned(own: Vector, before: Vector, after: Vector) -> Vector:
    """What a layer does to the fasteners, as its part of the force that crosses."""
    size = hypot(*before)
    if not size:
        return after
    part = (own[0] * before[0] + own[1] * before[1]) / size**2
    return (part * after[0], part * after[1])
