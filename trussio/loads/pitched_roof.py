"""Unbalanced snow on hip and gable roofs after ASCE 7-16 7.6.1.

Units: psf, ft. `run` is the horizontal distance from eave to ridge (W of the source), `run_per_rise` that for a
rise of one (S). The exception for prismatic rafters within 20 ft is not for trusses and is not here.
Sources: O'Rourke, guide to ASCE 7-10, example 6-2; Metal Building Systems Manual 2006, example 1.3.5.14(c). The
fetch is the run of the windward side, from memory.
"""

from __future__ import annotations

from math import atan2, degrees, inf, sqrt
from typing import Final, NamedTuple

FLATTEST: Final = degrees(atan2(1, 24))
STEEPEST: Final = degrees(atan2(7, 12))
"""1/2 on 12 and 7 on 12, which the source writes as 2.38 and 30.2 degrees; both are within."""
DUST: Final = 1e-9


class GableSnow(NamedTuple):
    """Loads in psf: the swept side, the full one, and the block on it that reaches `extent` ft from the ridge."""

    windward: float
    leeward: float
    surcharge: float
    extent: float


def unbalanced_required(slope: float) -> bool:
    """Whether 7.6.1 asks for an unbalanced load on a side of this slope in degrees."""
    return FLATTEST - DUST <= slope <= STEEPEST + DUST


def unbalanced_gable(
    *,
    windward_snow: float,
    leeward_snow: float,
    drift: float,
    density: float,
    run_per_rise: float,
    run: float = inf,
) -> GableSnow:
    """The unbalanced load: 0.3 ps to windward; ps and hd gamma / root S over 8/3 hd root S to leeward.

    `windward_snow` and `leeward_snow` are ps of the two sides in psf, `drift` hd in ft, `density` in pcf; the
    block ends at the eave where `run` is shorter.
    """
    root = sqrt(run_per_rise)
    return GableSnow(
        windward=0.3 * windward_snow,
        leeward=leeward_snow,
        surcharge=drift * density / root,
        extent=min(run, 8.0 / 3.0 * drift * root),
    )
