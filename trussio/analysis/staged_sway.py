"""Second order after stages and with tendons: what a run puts on the structure that stands then.

The structure is that of the run, with every force in it: loads, tendons, and what is locked in. Its first order is
taken as it was found - misfits are what makes the forces of first order go with its movements - and equilibrium is
sought from there on. Joints count with all that they have moved since the beginning: what came in later lies along
the deflected shape. What compression added to deflections before a piece came in is not followed.
A leg of a tendon turns with its two points, and its points with the sticks that they bear on; a tendon that is a
member stretches. It touches nothing between its points.
Shapes: n movements, m segments, c load cases, l legs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.frame import acting, deformation_matrix, deformation_rows, movements_of
from trussio.analysis.second_order import Put, Stays

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.analysis.structure import Structure
    from trussio.analysis.sums import Told
    from trussio.analysis.tendons import Cable
    from trussio.model.loading import RunId


class Standing(NamedTuple):
    """A run on the structure that stands in it: its tendons, and what is put on it."""

    at: Structure
    stays: Stays
    put: Put


def standing(told: Told, run: RunId, cases: int) -> Standing:
    """One of the runs told, as second order sees it; its structure was put together under so many `cases`."""
    at, sums, row = told.at, told.sums, told.factors[told.runs.index(run)]
    frame = at.made.frame
    moved, basic = sums.movements @ row, np.where(acting(frame), sums.basic @ row, 0.0)
    basic[[number for number, one in enumerate(at.truss.segments) if one.id in told.slack.get(run, {})]] = 0.0
    tight = {name: forces @ row for name, forces in sums.legs.items() if name not in told.loose.get(run, {})}
    stays = _stays(at, tight)
    deformed = np.einsum("mab,mb->ma", deformation_rows(frame), np.append(moved, 0.0)[movements_of(frame)])
    own = np.einsum("mab,mb->ma", frame.flexibility, basic)
    own[at.slips.segments, 0] += at.slips.across @ basic[at.slips.segments, 0]
    loads = deformation_matrix(frame).T @ basic.ravel() + frame.springs * moved
    return Standing(
        at=at,
        stays=stays,
        put=Put(
            loads=loads - stays.pulls @ (stays.grows @ moved),
            gaps=deformed - own,
            start=moved,
            factors=row[:cases],
            tight=np.concatenate([*tight.values(), np.zeros(0)]),
        ),
    )


def _stays(at: Structure, tight: dict[str, Floats]) -> Stays:
    """The tendons that are not slack."""
    total = at.made.frame.total
    turning, pulls, grows = [np.zeros((0, total, total))], [np.zeros((total, 0))], [np.zeros((0, total))]
    for name, forces in tight.items():
        cable = at.cables[name]
        own = [_turning(at, name, leg) for leg in range(len(forces))]
        turning.append(np.array(own))
        pulls.append(cable.pulls)
        rate = 0.0 if cable.give is None else 1.0 / cable.give
        grows.append(np.repeat(-rate * cable.pulls.sum(axis=1)[None], len(forces), axis=0))
    return Stays(np.concatenate(turning), np.concatenate(pulls, axis=1), np.concatenate(grows))


def _turning(at: Structure, name: str, leg: int) -> Floats:
    """What a leg adds to the stiffness (n, n) by a force of one.

    One end moves across it from the other; and a point beside its joint is pushed towards the leg or from it as it
    turns around the joint.
    """
    cable: Cable = at.cables[name]
    path, total = cable.path, at.made.frame.total
    along = (path.places[leg + 1] - path.places[leg]) / path.lengths[leg]
    left = np.array([-along[1], along[0]])
    swing, turns = np.zeros(total), np.zeros(total)
    number = {joint: index for index, joint in enumerate(at.truss.joints)}
    for point, way in ((leg, -1.0), (leg + 1, 1.0)):
        joint, turn, arm = number[at.truss.tendons[name].path[point].joint], cable.turned[point], path.arms[point]
        swing[2 * joint : 2 * joint + 2] += way * left
        if turn is not None:
            swing[turn] += way * (arm[0] * left[1] - arm[1] * left[0])
            turns[turn] -= way * float(arm @ along)
    return np.asarray(np.outer(swing, swing) / path.lengths[leg] + np.diag(turns), dtype=np.float64)
