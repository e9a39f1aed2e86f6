"""Tendons do not push: where one would have to, a sum of columns is wrong.

The run is then solved by itself, with the tendon slack (`giving`). What is refused is a tendon that pulls with
some of its legs while others have lost all of their force: how friction lets go at its deviators is not followed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.analysis.properties import pointer
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.loading import RunId

NOTHING = 1e-9
"""A force of the wrong sign counts where it is above this part of the largest in its run."""


def pushing(legs: Sequence[float]) -> bool:
    """Whether a tendon would have to push, by the forces of its legs."""
    return min(legs) < -NOTHING * max(map(abs, legs))


def refuse_pushing(run: RunId, tendons: Mapping[str, Sequence[float]], *, size: float) -> None:
    """Raise CannotAnalyseError `tendon-slack` where legs of a tendon would push, by forces of such a size."""
    for name, legs in tendons.items():
        if min(legs) < -NOTHING * size:
            raise CannotAnalyseError(
                "tendon-slack",
                where=pointer("tendons", name),
                what=f"in run {run} a leg of the tendon {name} loses all of its force while others pull.",
                do='State its friction if it is less than assumed; or say that it acts as a "force".',
            )
