"""Whether the rules see a curved roof or a pitched one, from the surveyed line itself.

Curved is a line with an arc, or one of straight pieces that grow steeper outwards in three slopes or more. Pitched
is a line whose pieces keep within a few degrees of the straight line of their side. Anything between is asked
about. The limits are common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from trussio.loads.faults import refused

if TYPE_CHECKING:
    from trussio.loads.roof_line import RoofLine, RoofSide
    from trussio.model.site import Site

EVEN: Final = 3.0
"""Degrees by which a piece of a pitched side may leave the side's own line: sag, and joints measured by tape."""
STEP: Final = 1.0
"""Degrees by which slopes must differ to count as two."""


def shape_of(line: RoofLine, site: Site) -> Literal["curved", "pitched"]:
    """The shape of a roof, as stated or as the line shows it. Raises CannotAnalyseError `roof-shape`."""
    if site.shape is not None:
        return site.shape
    if line.curved:
        return "curved"
    sides = [side for side in line.sides if side.run > 0]
    if all(abs(slope - side.line_slope()) <= EVEN for side in sides for _, slope in side.slopes()):
        return "pitched"
    if any(_steepens(side) for side in sides):
        return "curved"
    raise refused(
        "roof-shape",
        "/site/shape",
        "the roof is neither one curve nor one slope a side, and the snow rules ask which it is to be.",
        'State "shape": "curved" or "pitched".',
    )


def _steepens(side: RoofSide) -> bool:
    """Whether straight pieces grow steeper from the crown outwards, in three slopes or more."""
    slopes = [slope for _, slope in side.slopes()]
    distinct = [slopes[0]]
    for slope in slopes[1:]:
        if slope < distinct[-1] - STEP:
            return False
        if slope > distinct[-1] + STEP:
            distinct.append(slope)
    return len(distinct) >= 3
