"""Bounds of forces where members carry one way or have play: for the set that was found, and then its signs.

With the set that acts the truss is linear: what is slack, or between the bounds of its play, carries a force that
is known, and leaves the unknowns. Its forces and movements have bounds by energy (`interval`). If with all that
these bounds leave open every sign holds - what acts pulls or pushes as it may, what is slack has shortened, by
more than the bounds - then the forces within them are those of the truss itself: one state alone has all signs
right.
A force or a shortening that is nought to within the bounds proves nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.recheck.energy import minimum
from trussio.recheck.interval import bounds, load_sizes

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.recheck.giving import Yielding
    from trussio.recheck.problem import Problem
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]

AT_BOUND: Final = 1e-12
ROUNDING: Final = 1e-13
"""What adding up may do to a length, as a part of the sizes of its terms."""
TOO_NEAR: Final = "{} is so near to carrying the other way, or to carrying at all, that its sign is not proved."
BENT: Final = "Play in {} works on an axis that is bent against its chord, which no bound is proved for."
SOFT: Final = "Rounding leaves too much open, since parts of this truss are very soft against others."


class State(NamedTuple):
    """Forces, by how much cuts have opened, by how much that may be off, and the size that is left open."""

    forces: Array
    opened: Array
    off: Array
    size: float


def acting_widths(reading: Reading, problem: Problem, told: Array, factors: Array) -> Array | str:
    """How far each axial force of a run may be off (segments,), or why that is not proved.

    `told` (unknowns,) are its forces as they were found, `factors` those of the run on its cases and on the
    shortening of each yielding member.
    """
    cases = len(reading.loads.joints)
    shortened = factors[cases:].tolist()
    loose = [one for one, by in zip(problem.yielding, shortened, strict=True) if not _bound(one, by)]
    if bent := [one for one in loose if np.abs(one.own[1:]).max() > 0 or one.own[0] != 1.0]:
        return BENT.format(reading.truss.segments[bent[0].segment].id)
    known = {one.segment: -float(one.released @ factors[:cases]) for one in loose}
    gone = sorted(known)
    kept = np.setdiff1d(np.arange(len(problem.soft)), gone)
    eq, held = reading.equations, np.array([known[segment] for segment in gone])
    loads = (factors[:cases] @ reading.loads.joints + eq.forces[:, gone] @ held)[:, None]
    # what is loose is cut open: how far it has shortened is no deformation of what is left
    at = factors.copy()
    at[cases:] = [by if _bound(one, by) else 0.0 for one, by in zip(problem.yielding, shortened, strict=True)]
    whole = (problem.deformed @ at)[:, None] + problem.soft[:, gone] @ held[:, None]
    soft = problem.soft[np.ix_(kept, kept)]
    left = problem._replace(
        weight=np.linalg.inv(np.linalg.cholesky(soft)),
        soft=soft,
        deformed=whole[kept],
        forced=(problem.forced @ factors)[:, None],
        yielding=(),
    )
    cut = reading._replace(
        equations=eq._replace(forces=eq.forces[:, kept], moments=()), loads=reading.loads._replace(joints=loads.T)
    )
    found = minimum(cut, left)
    on_joints, inside = load_sizes(reading, problem)
    used = np.abs(factors[:cases])
    sizes = (
        (on_joints.T @ used + np.abs(eq.forces[:, gone]) @ np.abs(held))[:, None],
        (inside @ used + np.abs(problem.deformed) @ np.abs(factors))[kept, None],
    )
    made = bounds(cut, left, found, loads, sizes)
    if made is None:
        return SOFT
    size = float(made.size[0])
    forces = np.zeros(len(problem.soft))
    forces[kept], forces[gone] = found.forces[:, 0], held
    opened = problem.soft @ forces + whole[:, 0] - problem.soft[:, gone] @ held + eq.forces.T @ found.moved[:, 0]
    reach = np.abs(eq.free.T @ eq.forces).T @ made.reach + np.sqrt(np.diag(problem.soft))
    noise = np.abs(problem.soft) @ np.abs(forces) + np.abs(whole[:, 0])
    noise = ROUNDING * (noise + np.abs(eq.forces.T) @ np.abs(found.moved[:, 0]))
    for one, by in zip(problem.yielding, shortened, strict=True):
        works = float(one.released @ factors[:cases])
        if not _sign_holds(one, by, problem, State(forces, opened, reach * size + noise, size), works):
            return TOO_NEAR.format(reading.truss.segments[one.segment].id)
    widths = np.zeros(len(problem.soft))
    widths[kept] = np.sqrt(np.sum(left.weight**2, axis=0)) * size
    return (widths + np.abs(forces - told))[: len(reading.truss.segments)]


def _bound(one: Yielding, by: float) -> bool:
    """Whether a member has shortened as far as it can, or not at all."""
    room = AT_BOUND * max(abs(bound) for bound in (one.low, one.high) if np.isfinite(bound))
    return by <= one.low + room or by >= one.high - room


def _sign_holds(one: Yielding, by: float, problem: Problem, state: State, works: float) -> bool:
    """Whether the sign of a member holds with all that is left open; `works` is what loads along it do on it."""
    forces, opened, off, size = state
    column = problem.column[one.segment]
    if _bound(one, by):
        own = np.zeros(len(forces))
        own[column[column >= 0]] = one.own[column >= 0]
        room = float(np.linalg.norm(problem.weight @ own)) * size
        force = float(own @ forces) + works
        return bool(force > room if by <= one.low else force < -room)
    place = one.segment
    shortening, room = (
        float(opened[place]),
        float(off[place]),
    )
    return bool(one.low + room < shortening < one.high - room)
