"""What is one too many and what hangs on a single stick: the count in words, spare shared out.

Terms: the *degree of indeterminacy* is the number of states of self-stress. The share of a force unknown in it is
the diagonal of the projector on those states (all force unknowns taken alike, no stiffness), so that the shares of
members and holds add up to the degree. A stick whose force unknowns are wholly in those states can go
without a mechanism. Joints that only it meets go with it; the others stay what they are: none becomes a station.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.audit.regions import rigid_regions
from trussio.audit.wording import counted, listed, rounded
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from numpy.typing import NDArray

    from trussio.audit.subject import Subject, View
    from trussio.model.finding import Statics
    from trussio.model.truss import Idealisation, JointId, MemberId, Truss


def count_in_words(statics: Statics, idealisation: Idealisation) -> str:
    """The count as an engineer says it: `41 members + 3 holds = 44, 2 x 22 joints = 44: just enough`."""
    unknowns = statics.count + statics.rank + statics.mechanisms
    equations = statics.rank + statics.mechanisms
    moments = unknowns - statics.segments - statics.holds
    turns = equations - 2 * statics.joints
    force = counted(statics.segments, "member" if idealisation == "pinned" else "axial force")
    bending = f" + {counted(moments, 'moment')}" if moments else ""
    turning = f" + {counted(turns, 'turn')}" if turns else ""
    sides = (
        f"{force}{bending} + {counted(statics.holds, 'hold')} = {unknowns}, "
        f"2 x {counted(statics.joints, 'joint')}{turning} = {equations}"
    )
    if statics.count < 0:
        return f"{sides}: {-statics.count} too few"
    enough = "just enough" if statics.count == 0 else f"{statics.count} more than needed"
    if statics.mechanisms:
        return f"{sides}: {enough}, but badly placed"
    return f"{sides}: {enough}"


def spare(truss: Truss, view: View) -> dict[MemberId, float]:
    """The share of each member in the degree of indeterminacy, over all its force unknowns."""
    shares = (view.rank.stresses**2).sum(axis=1)
    return {name: float(shares[rows].sum()) for name, rows in _rows(truss, view).items()}


def single_sticks(truss: Truss, view: View) -> list[MemberId]:
    """The members whose loss makes a mechanism."""
    stresses, matrix = view.rank.stresses, np.abs(view.compat.matrix) > 0
    meeting: dict[JointId, set[MemberId]] = {name: set() for name in truss.joints}
    for segment in truss.segments:
        meeting[segment.first].add(segment.member)
        meeting[segment.last].add(segment.member)
    owners = [meeting[name] for name in truss.joints for _ in range(1 if name in view.idealised.stations else 2)]
    needed: list[MemberId] = []
    for name, rows in _rows(truss, view).items():
        taken = np.zeros(len(matrix), dtype=bool)
        taken[rows] = True
        gone = np.count_nonzero(matrix[taken], axis=0).astype(bool) & (
            np.count_nonzero(matrix[~taken], axis=0) == 0
        )
        gone[: len(owners)] &= np.array([owner == {name} for owner in owners], dtype=bool)
        free = int(np.linalg.matrix_rank(stresses[taken], tol=1e-9)) if stresses.shape[1] else 0
        if len(rows) - free - int(gone.sum()) > 0:
            needed.append(name)
    return needed


def count(subject: Subject) -> Iterator[Finding]:
    """The count in both idealisations, the spare shared out, and what hangs on a single stick."""
    words = {name: count_in_words(view.statics, name) for name, view in subject.views.items()}
    view = subject.view
    says = "; ".join(f"as {name} {text}" for name, text in words.items())
    evidence_spare: dict[str, float] = {}
    needed: list[MemberId] = []
    if not view.statics.mechanisms:
        needed = single_sticks(subject.truss, view)
        evidence_spare = {
            name: rounded(share) for name, share in spare(subject.truss, view).items() if share > 1e-9
        }
        if len(subject.truss.members) > 1:
            loss = _loss(needed, len(subject.truss.members))
            says += f". As {subject.asked} the loss of {loss} makes a mechanism"
    yield Finding(
        code="count",
        level="note",
        where=("/members",),
        says=says[0].upper() + says[1:] + ".",
        do="Compare with the count by hand; a stick on which all hangs is the one to look at first in the roof.",
        evidence={
            "counts": {name: view.statics.count for name, view in subject.views.items()},
            "single_sticks": [*needed],
            "shares": {**evidence_spare},
            "regions": rigid_regions(subject),
        },
    )


def _loss(needed: list[MemberId], members: int) -> str:
    if not needed:
        return "no single member"
    if len(needed) == members:
        return "any one member"
    return f"any one of {listed(needed, last='or')}" if len(needed) > 1 else needed[0]


def _rows(truss: Truss, view: View) -> Mapping[MemberId, NDArray[np.intp]]:
    """The rows of each member in the compatibility matrix."""
    segments = truss.segments
    rows: dict[MemberId, list[int]] = {name: [] for name in truss.members}
    for row, segment in enumerate(segments):
        rows[segment.member].append(row)
    for row, (number, _) in enumerate(view.compat.moments, start=len(segments)):
        rows[segments[number].member].append(row)
    return {name: np.array(numbers, dtype=np.intp) for name, numbers in rows.items()}
