"""What would hold a mechanism: members between joints that are there, or holds, checked by rank and best first.

A candidate grips a mechanism when it would feel it: a member by growing, a hold by its joint moving. Candidates
are ordered by the stiffness they would give: (growth)^2 / length for members of one size. Those that pass
through another joint are left out; those that cross a member come last.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from trussio.audit.wording import counted, listed

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from trussio.audit.compatibility import Compatibility
    from trussio.audit.mechanisms import Mechanism
    from trussio.model.truss import JointId

    Array = NDArray[np.float64]

Axis = Literal["x", "y"]

ALTERNATIVES: Final = 3
"""So many alternatives are offered for one mechanism."""
LOOKED_AT: Final = 60
"""So many of the stiffest members are looked at for crossings."""
WEAK: Final = 0.3
"""A candidate that gives less than this share of the best one's stiffness is no alternative."""
GRIP: Final = 1e-12
"""A candidate whose squared grip on an orthonormal motion is below this does not grip."""


@dataclass(frozen=True, kw_only=True)
class Cure:
    """Members or holds that together hold a group of mechanisms."""

    members: tuple[tuple[JointId, JointId], ...] = ()
    holds: tuple[tuple[JointId, Axis], ...] = ()


def cures(names: Sequence[JointId], compat: Compatibility, mechanism: Mechanism) -> list[Cure]:
    """What would hold a group, each entry on its own, best first; empty where nothing simple would."""
    moved = mechanism.motions.reshape(-1, 2, mechanism.count)
    if mechanism.kind in {"whole", "lone"}:
        return _holds(names, compat, mechanism, moved)
    return _members(names, compat, moved) or _holds(names, compat, mechanism, moved)


def cure_words(joints: dict[JointId, tuple[float, float]], found: Sequence[Cure]) -> str:
    """The cures as the second half of a sentence: `a diagonal T3-B4 or B3-T4 would hold it`."""
    best = found[0]
    if best.holds:
        each = [listed(f"in {axis} at {joint}" for joint, axis in cure.holds) for cure in found]
        return f"a hold {listed(each, last='or')} would stop it"
    if len(best.members) > 1:
        together = listed(f"{first}-{last}" for first, last in best.members)
        return f"{counted(len(best.members), 'member')} {together} together would hold it"
    across = [abs(a - b) for a, b in zip(*(joints[name] for name in best.members[0]), strict=True)]
    what = "a diagonal" if min(across) > 0.2 * max(across) else "a member"
    return f"{what} {listed((f'{i}-{j}' for cure in found for i, j in cure.members), last='or')} would hold it"


def _members(names: Sequence[JointId], compat: Compatibility, moved: Array) -> list[Cure]:
    first, last = np.triu_indices(len(moved), k=1)
    across = compat.xy[last] - compat.xy[first]
    lengths = np.hypot(across[:, 0], across[:, 1])
    free = (lengths > 0) & ~_joined(compat)[first, last]
    first, last, across, lengths = first[free], last[free], across[free], lengths[free]
    growth = np.einsum("px,pxk->pk", across / lengths[:, None], moved[last] - moved[first])
    chosen = _choose(
        growth / np.sqrt(lengths / lengths.mean())[:, None] if len(growth) else growth,
        lambda row: _clearance(compat, int(first[row]), int(last[row])),
    )
    return [Cure(members=tuple((names[first[row]], names[last[row]]) for row in rows)) for rows in chosen]


def _holds(names: Sequence[JointId], compat: Compatibility, mechanism: Mechanism, moved: Array) -> list[Cure]:
    """Holds at the bearings that are there, or at the joints that move where those do not do."""
    bearings = {joint for joint, _ in compat.holds}
    for joints in ([k for k, name in enumerate(names) if name in bearings], list(mechanism.joints)):
        places: list[tuple[int, Axis]] = [(joint, axis) for joint in joints for axis in ("x", "y")]
        rows = np.array([moved[joint, 0 if axis == "x" else 1] for joint, axis in places])
        chosen = _choose(rows.reshape(len(places), mechanism.count), lambda _: 0)
        if chosen:
            return [Cure(holds=tuple((names[places[row][0]], places[row][1]) for row in rows)) for rows in chosen]
    return []


def _choose(rows: Array, rank_of: Callable[[int], int | None]) -> list[list[int]]:
    """Rows that hold every motion: alternatives for one motion, one set of rows for several.

    `rank_of` says how well a row is placed (0 best), None that it is no candidate.
    """
    count = rows.shape[1]
    if count == 1:
        usable = _best(rows, rank_of)
        most = max((rows[row, 0] ** 2 for row in usable), default=0.0)
        return [[row] for row in usable if rows[row, 0] ** 2 > WEAK * most][:ALTERNATIVES]
    left = rows.copy()
    chosen: list[int] = []
    for _ in range(count):
        usable = _best(left, rank_of)
        if not usable:
            return []
        chosen.append(usable[0])
        unit = left[usable[0]] / np.linalg.norm(left[usable[0]])
        left = left - np.outer(left @ unit, unit)
    return [chosen]


def _best(rows: Array, rank_of: Callable[[int], int | None]) -> list[int]:
    strength = (rows**2).sum(axis=1)
    order = np.argsort(-(strength / strength.max(initial=GRIP)).round(6), kind="stable")[:LOOKED_AT]
    ranked = [(rank, row) for row in order if strength[row] > GRIP and (rank := rank_of(int(row))) is not None]
    ranked.sort(key=lambda pair: pair[0])
    return [int(row) for _, row in ranked]


def _joined(compat: Compatibility) -> NDArray[np.bool_]:
    joined = np.zeros((len(compat.xy), len(compat.xy)), dtype=bool)
    joined[compat.ends[:, 0], compat.ends[:, 1]] = True
    return joined | joined.T


def _clearance(compat: Compatibility, first: int, last: int) -> int | None:
    """Whether a new member would pass through a joint (None), cross a member (1) or be clear (0)."""
    start, end = compat.xy[first], compat.xy[last]
    along = end - start
    size = float(along @ along)
    others = np.delete(compat.xy, [first, last], axis=0) - start
    share = others @ along / size
    off = np.abs(others @ np.array((-along[1], along[0]))) / size
    if ((share > 0) & (share < 1) & (off < 1e-3)).any():
        return None
    apart = ~np.isin(compat.ends, [first, last]).any(axis=1)
    one, other = compat.xy[compat.ends[apart, 0]], compat.xy[compat.ends[apart, 1]]
    divided = _side(start, end, one) * _side(start, end, other) < 0
    dividing = _side(one, other, start) * _side(one, other, end) < 0
    return 1 if (divided & dividing).any() else 0


def _side(start: Array, end: Array, point: Array) -> Array:
    """On which side of the line from `start` to `end` a point lies."""
    along, out = end - start, point - start
    side: Array = along[..., 0] * out[..., 1] - along[..., 1] * out[..., 0]
    return side
