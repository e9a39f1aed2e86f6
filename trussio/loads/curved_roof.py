"""Snow on curved roofs after ASCE 7-16 7.4.3, 7.6.2 and Fig. 7.4-2: the load at the points that make a diagram.

One side of the roof at a time, from the crown outwards. Terms: the *30-degree point* is where the roof has become
as steep as that, the *70-degree point* likewise; beyond the latter there is no snow. The *class* of a side follows
from its slope at the eave: below 30 degrees, 30 to 70, above 70. Slopes in degrees; loads in any one unit.

The diagram is from memory: Fig. 7.4-2 was not opened. The eave-to-crown rule and the 70-degree rule stand in the
Municipal Code of Chicago 13-52-280 (after ANSI A58.1-1982) in the same words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

BREAK: Final = 30.0
FREE: Final = 70.0
LEAST_LINE: Final = 10.0
MOST_LINE: Final = 60.0
"""Slope of the line from eave (or 70-degree point) to crown outside which no unbalanced load is required."""
DUST: Final = 1e-9
"""Degrees within which a slope is taken to be on a limit."""


class CurvedSide(NamedTuple):
    """One side of a curved roof: places as distances from the crown, slopes in degrees.

    `at_30` and `at_70` are None where the roof does not become so steep.
    """

    eave: float
    eave_slope: float
    at_30: float | None
    at_70: float | None


def unbalanced_required(line_slope: float) -> bool:
    """Whether 7.6.2 asks for an unbalanced load: the eave-to-crown line from 10 to 60 degrees, both included."""
    return LEAST_LINE - DUST <= line_slope <= MOST_LINE + DUST


def balanced(side: CurvedSide, flat: float, factor: Callable[[float], float]) -> list[tuple[float, float]]:
    """Distance from the crown and load: `flat` to the 30-degree point, then straight to the eave or to nothing.

    `factor` gives Cs of a slope.
    """
    if side.at_30 is None:
        return [(0.0, flat), (side.eave, flat)]
    inner = [(0.0, flat), (side.at_30, flat)]
    if side.at_70 is not None:
        return [*inner, (side.at_70, 0.0), (side.eave, 0.0)]
    return [*inner, (side.eave, flat * factor(side.eave_slope))]


def unbalanced(
    side: CurvedSide,
    flat: float,
    factor: Callable[[float], float],
    *,
    exposure: float,
    near_eave: bool = False,
) -> list[tuple[float, float]]:
    """The leeward half: 0.5 pf at the crown, 2 pf Cs / Ce at the 30-degree point and at the eave.

    `near_eave` says that another roof or the ground lies within 3 ft of the eave: then the load of the 30-degree
    point goes on level to the eave. The windward half is bare.
    """
    crown = (0.0, 0.5 * flat)
    peak = 2.0 * flat / exposure
    if side.at_30 is None:
        return [crown, (side.eave, peak * factor(side.eave_slope))]
    inner = [crown, (side.at_30, peak * factor(BREAK))]
    if near_eave:
        return [*inner, (side.eave, peak * factor(BREAK))]
    if side.at_70 is not None:
        return [*inner, (side.at_70, 0.0), (side.eave, 0.0)]
    return [*inner, (side.eave, peak * factor(side.eave_slope))]


def valley(side: CurvedSide, flat: float, *, exposure: float) -> list[tuple[float, float]]:
    """Between parallel vaults, 7.6.3: 0.5 pf at the crown rising to 2 pf / Ce in the valley."""
    return [(0.0, 0.5 * flat), (side.eave, 2.0 * flat / exposure)]
