"""Sag as a survey measured it: how far a joint lay off a line on one day, under the load of that day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import JointId, Notes


class Sag(NamedTuple):
    """One measurement.

    By a `string-line` between the joints `start` and `end` the joint `at` lay `off` below it; by a `plumb` line at
    `start`, `off` to its right, in base lengths. `load` is what was on that day, as factors by case; None means
    every dead case, once. `camber` is how far it had been built the other way. `creep` is what lasting load grows
    the deflection by over the years; None means what the material lets expect.
    """

    by: Literal["string-line", "plumb"]
    start: JointId
    at: JointId
    off: float
    date: str
    end: JointId | None = None
    load: Mapping[RunId, float] | None = None
    camber: float = 0.0
    creep: float | None = None
    notes: Notes | None = None
