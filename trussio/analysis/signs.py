"""Signs that must hold where stages or tendons are followed, since sums of columns know nothing of giving way.

Tendons do not push, and sticks that act one way carry nothing the other way. Where every such sign holds in a run,
everything acts in it and the sum is right; where one does not, the run is refused.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.analysis.properties import pointer
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Truss

NOTHING = 1e-9
"""A force of the wrong sign counts where it is above this part of the largest in its run."""


def refuse_slack(run: RunId, tendons: Mapping[str, Sequence[float]]) -> None:
    """Raise CannotAnalyseError `tendon-slack` where a tendon, by the forces of its legs, would have to push."""
    for name, legs in tendons.items():
        if min(legs) < -NOTHING * max(map(abs, legs)):
            raise CannotAnalyseError(
                "tendon-slack",
                where=pointer("tendons", name),
                what=f"in run {run} the tendon {name} would have to push: it goes slack.",
                do='State its losses if they are less than assumed; or say that it acts as a "force".',
            )


def refuse_one_way(truss: Truss, found: Mapping[RunId, RunForces]) -> None:
    """Raise CannotAnalyseError where a stick that acts one way is asked for the other; where there is play."""
    for name, member in truss.members.items():
        if member.play:
            raise CannotAnalyseError(
                "play-with-stages",
                where=pointer("members", name, "play"),
                what=f"the play of {name} is not followed through stages and with tendons.",
                do="Give its connection a slip instead, or analyse the end by itself.",
            )
    acting = {
        s.id: (s.member, truss.members[s.member].acts) for s in truss.segments if truss.members[s.member].acts
    }
    for run, forces in found.items() if acting else ():
        largest = max((abs(of.axial) for of in forces.segments.values()), default=0.0)
        for segment, (name, acts) in acting.items():
            if segment not in forces.segments:
                continue
            wrong = forces.segments[segment].axial * (-1.0 if acts == "tension" else 1.0)
            if wrong > NOTHING * largest:
                other = "push" if acts == "tension" else "pull"
                raise CannotAnalyseError(
                    "one-way-with-stages",
                    where=pointer("members", name, "acts"),
                    what=f"{name} carries {acts} alone and would have to {other} in run {run}; with stages or "
                    "tendons it is not known how it gives way.",
                    do="Analyse the end by itself, or take that run out.",
                )
