"""Tendons do not push: where one would have to, a sum of columns is wrong, and the run is refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.analysis.properties import pointer
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.loading import RunId

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
