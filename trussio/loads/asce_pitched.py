"""Snow cases of ASCE 7 on pitched roofs: balanced, minimum, rain, blown over the ridge, in valleys, partial.

Each side counts with its own surveyed slope, from eave to ridge. Rules and their sources stand in
`trussio.loads.pitched_roof` and `trussio.loads.asce_snow`.
"""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING, NamedTuple

from trussio.loads import pitched_roof
from trussio.loads.asce_roof import SIDES, Telling, minimum_case, partial_cases, rain_case
from trussio.loads.case import Covered, RoofCase, Rule, stated, worked
from trussio.loads.diagram import outwards
from trussio.loads.measures import FOOT
from trussio.loads.sources import GUIDE, MEMORY, SURVEYED

if TYPE_CHECKING:
    from trussio.loads.asce_roof import SnowOnRoof
    from trussio.loads.diagram import Diagram
    from trussio.loads.pitched_roof import GableSnow
    from trussio.loads.roof_line import RoofLine, RoofSide
    from trussio.model.check import Line

LOW_SLOPE = 15.0
FLAT_VALLEY = 1.79
"""3/8 on 12, in degrees, from which 7.6.3 asks for no load in valleys; from memory."""


class Pitched(NamedTuple):
    """The sides of some length with their slopes, their sloped-roof loads in psf, and the lines to them."""

    sides: dict[int, RoofSide]
    slopes: dict[int, float]
    snow: dict[int, float]
    lines: list[Line]

    @property
    def gable(self) -> bool:
        """Whether there is a ridge with a side on either hand."""
        return len(self.sides) == 2


def pitched_cases(roof: SnowOnRoof) -> Covered:
    """The cases of a roof with one slope to a side, or one slope in all."""
    pitched = _pitched(roof)
    balanced = _halves(roof.line, pitched.snow)
    clause = f"{roof.code} 7.4" + (", 7.4.4" if roof.site.multiple_vaults else "")
    telling = Telling("S", "uniform", "Balanced snow.", Rule(clause, GUIDE))
    low = any(slope < LOW_SLOPE for slope in pitched.slopes.values())
    rain, unknown = rain_case(roof, pitched.slopes, balanced, pitched.lines)
    asked = [way for way in pitched.sides if pitched.gable and _asked(pitched.slopes[way])]
    exempt = pitched.gable and len(asked) == 2
    return Covered(
        cases=(
            roof.case(telling, pitched.lines, balanced),
            *(minimum_case(roof, GUIDE) if low else ()),
            *rain,
            *(_over_the_ridge(roof, pitched, way) for way in asked),
            *_valleys(roof, pitched),
            *(() if exempt else partial_cases(roof, balanced)),
        ),
        left_out=(*unknown, *_not_asked(roof, pitched, asked), *((_exempt(roof.code),) if exempt else ())),
    )


def _asked(slope: float) -> bool:
    return pitched_roof.unbalanced_required(slope)


def _pitched(roof: SnowOnRoof) -> Pitched:
    sides = {side.outward: side for side in roof.line.sides if side.run > 0}
    slopes = {way: side.line_slope() for way, side in sides.items()}
    snow = {way: roof.terms.flat * roof.slope_factor(slope) for way, slope in slopes.items()}
    rule = Rule(f"{roof.code} 7.4, Eq. 7.4-1", GUIDE)
    lines: list[Line] = []
    for way, slope in slopes.items():
        lines += [
            stated(f"slope, {SIDES[way]}", slope, "deg", rule.clause, SURVEYED),
            roof.factor_line(f"C_s, {SIDES[way]}", slope),
            worked(f"p_s, {SIDES[way]}", snow[way], "psf", "C_s p_f", rule),
        ]
    return Pitched(sides, slopes, snow, lines)


def _halves(line: RoofLine, loads: dict[int, float]) -> Diagram:
    """The same load over the whole of each side."""
    left, right = (
        [(0.0, loads[side.outward]), (side.run, loads[side.outward])] if side.run > 0 else []
        for side in line.sides
    )
    return outwards(line.crown[0], left, right)


def _over_the_ridge(roof: SnowOnRoof, pitched: Pitched, way: int) -> RoofCase:
    """Snow blown over the ridge on to the side that lies `way` of it."""
    here, there = pitched.sides[way], pitched.sides[-way]
    height, drifted = roof.drift(roof.feet(there.run), "the unbalanced load of a gable")
    density, weight = roof.density()
    run_per_rise = 1 / tan(radians(pitched.slopes[way]))
    made = pitched_roof.unbalanced_gable(
        windward_snow=pitched.snow[-way],
        leeward_snow=pitched.snow[way],
        drift=height,
        density=density,
        run_per_rise=run_per_rise,
        run=roof.feet(here.run),
    )
    rule = Rule(f"{roof.code} 7.6.1", GUIDE)
    lines = [
        *pitched.lines,
        weight,
        *drifted,
        stated("S", run_per_rise, "", rule.clause, SURVEYED),
        worked("windward", made.windward, "psf", "0.3 p_s", rule),
        worked("surcharge", made.surcharge, "psf", "h_d gamma / root(S)", rule),
        worked("extent", made.extent, "ft", "8/3 h_d root(S), at most to the eave", rule),
    ]
    says = f"Snow blown over the ridge: a block on the {SIDES[way]} side, the {SIDES[-way]} side swept."
    psf = _ridge_diagram(roof, pitched, way, made)
    return roof.case(Telling(f"S-{SIDES[way]}", "unbalanced", says, rule), lines, psf)


def _ridge_diagram(roof: SnowOnRoof, pitched: Pitched, way: int, made: GableSnow) -> Diagram:
    reach, full = made.extent * FOOT[roof.units], made.leeward + made.surcharge
    eave, other = pitched.sides[way].run, pitched.sides[-way].run
    halves = {
        way: [(0.0, full), (reach, full), (reach, made.leeward), (eave, made.leeward)],
        -way: [(0.0, made.windward), (other, made.windward)],
    }
    return outwards(roof.line.crown[0], halves[-1], halves[1])


def _valleys(roof: SnowOnRoof, pitched: Pitched) -> list[RoofCase]:
    """Snow in the valleys of folded-plate and sawtooth roofs."""
    if not roof.site.multiple_vaults or all(slope <= FLAT_VALLEY for slope in pitched.slopes.values()):
        return []
    flat, exposure = roof.terms.flat, roof.terms.exposure
    left, right = (
        [(0.0, 0.5 * flat), (side.run, 2 * flat / exposure)] if side.run > 0 else [] for side in roof.line.sides
    )
    says = "Snow in the valleys: 0.5 p_f at the ridge, 2 p_f / C_e in the valley."
    telling = Telling("S-valleys", "unbalanced", says, Rule(f"{roof.code} 7.6.3", MEMORY))
    return [roof.case(telling, pitched.lines, outwards(roof.line.crown[0], left, right))]


def _not_asked(roof: SnowOnRoof, pitched: Pitched, asked: list[int]) -> list[str]:
    if not pitched.gable:
        return []
    return [
        f"Unbalanced snow on the {SIDES[way]} side: {roof.code} 7.6.1 does not ask for it at {slope:.1f} degrees, "
        "outside 1/2 on 12 to 7 on 12."
        for way, slope in pitched.slopes.items()
        if way not in asked
    ]


def _exempt(code: str) -> str:
    return f"Partial snow: {code} 7.5 does not ask for it across the ridge of such gables ({MEMORY})."
