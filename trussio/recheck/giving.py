"""Ends of sticks that give: connections that slip or turn, and members that yield without any force.

What a connection gives is flexibility more at the end of its stick: along the axis there by the axial force over
its stiffness, in turning by the end moment over its stiffness. A member that acts one way, and a connection with
play, may *shorten* without force, between bounds (negative: lengthen).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.recheck.axes import at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from trussio.model.truss import End, Truss
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]


class Yielding(NamedTuple):
    """A segment that may shorten by `low` to `high` without force.

    The force that then works on it is `own` (3,) times its axial force and end moments, and `released` (cases,)
    by what stands along it. `slack` tells that the member then carries nothing; it is no connection with play.
    """

    segment: int
    own: Array
    released: Array
    low: float
    high: float
    slack: bool


def give(reading: Reading, block: Array, start: Array) -> list[Yielding]:
    """Add what connections give to flexibility and deformations of segments, and say what yields without force."""
    truss, cases = reading.truss, len(reading.loads.joints)
    yielding = []
    for number, segment in enumerate(truss.segments):
        acts = truss.members[segment.member].acts
        if acts is not None:
            bounds = (0.0, np.inf) if acts == "tension" else (-np.inf, 0.0)
            yielding.append(Yielding(number, np.eye(3)[0], np.zeros(cases), *bounds, slack=True))
    for number, end, which in _stick_ends(truss):
        member = truss.members[truss.segments[number].member]
        slip, turning, play = ((of or {}).get(which) for of in (member.slip, member.turning, member.play))
        if slip is None and play is None and turning is None:
            continue
        own, released = _axial_at(reading, number, end)
        if slip is not None:
            block[number] += np.outer(own, own) / slip
            start[:, number] += np.outer(released, own) / slip
        if turning is not None:
            block[number, 1 + end, 1 + end] += 1 / turning
        if play is not None:
            yielding.append(Yielding(number, own, released, -play, play, slack=False))
    return yielding


def _stick_ends(truss: Truss) -> Iterator[tuple[int, int, End]]:
    """Every end of a stick: its segment there, 0 or 1 for the first or last end of that, and which end it is."""
    for number, segment in enumerate(truss.segments):
        if segment.index == 0:
            yield number, 0, "first"
        if segment.index == len(truss.members[segment.member].through) - 2:
            yield number, 1, "last"


def _axial_at(reading: Reading, segment: int, end: int) -> tuple[Array, Array]:
    """The force along the axis at an end: by each unknown of the segment at 1 (3,), and by loads (cases,)."""
    axes = reading.axes
    place = np.array([[axes.length[segment] * end]])
    _, _, angle = at(axes, np.array([segment]), place)
    cosine, sine = np.cos(angle[0, 0]), np.sin(angle[0, 0])
    own = np.array([cosine, sine / axes.chord[segment], -sine / axes.chord[segment]])
    pull, push = reading.loads.handed[2 * end : 2 * end + 2, :, segment] * (1 - 2 * end)
    return own, pull * cosine + push * sine
