"""Every case of ASCE 7 over one roof line: roof live load, snow by the shape of the roof, drifts at its ends."""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING

from trussio.loads.asce_curved import curved_cases
from trussio.loads.asce_pitched import pitched_cases
from trussio.loads.asce_roof import SnowOnRoof
from trussio.loads.asce_site import terms
from trussio.loads.asce_sliding import sliding_cases
from trussio.loads.asce_steps import step_cases
from trussio.loads.case import Covered, RoofCase, Rule, stated, worked
from trussio.loads.diagram import level, scaled
from trussio.loads.measures import FOOT, PSF
from trussio.loads.roof_live import arch_rise_per_foot, area_factor, roof_live_load, slope_reduction
from trussio.loads.shape import shape_of
from trussio.loads.sources import ASCE, LIVE_COURSE, MEMORY, METAL_IBC, STATED, SURVEYED, weakest

if TYPE_CHECKING:
    from trussio.loads.roof_line import RoofLine
    from trussio.model.check import Line
    from trussio.model.site import Site
    from trussio.units import UnitSystem


def asce_cases(line: RoofLine, site: Site, units: UnitSystem) -> Covered:
    """The cases of a roof."""
    live = live_cases(line, site, units)
    known = terms(site, units)
    if known is None:
        return Covered(live, ("Snow: neither ground_snow nor flat_roof_snow is stated.",))
    if known.flat == 0 and not known.ground:
        return Covered(live, ("Snow: it is stated as 0.",))
    roof = SnowOnRoof(line, site, known, units)
    found = curved_cases(roof) if shape_of(line, site) == "curved" else pitched_cases(roof)
    balanced = scaled(found.cases[0].diagram, 1 / PSF[units])
    slid = sliding_cases(roof, balanced)
    cases = (*live, *found.cases, *step_cases(roof, balanced), *slid.cases)
    return Covered(cases, (*found.left_out, *slid.left_out), known.assumed)


def live_cases(line: RoofLine, site: Site, units: UnitSystem) -> tuple[RoofCase, ...]:
    """Roof live load: stated, or by tributary area and slope."""
    code = f"{ASCE[site.edition]} 4.8"
    if site.roof_live is not None:
        lines: tuple[Line, ...] = (stated("L_r", site.roof_live / PSF[units], "psf", code, STATED),)
        load = site.roof_live
    else:
        lines = _live_lines(line, site, units, code)
        load = lines[-1].value * PSF[units]
    if load == 0:
        return ()
    rule = Rule(code, weakest(lines, METAL_IBC))
    diagram = level(line.left, line.right, load)
    return (RoofCase("Lr", "roof-live", "roof-live", "Roof live load.", rule, lines, diagram),)


def _live_lines(line: RoofLine, site: Site, units: UnitSystem, code: str) -> tuple[Line, ...]:
    area = site.spacing * line.span / FOOT[units] ** 2
    rise, arched = rise_per_foot(line, site)
    shallow = Rule(code, LIVE_COURSE if rise <= 4 and not arched else MEMORY)
    formula = "1.2 - 0.05 F, between 0.6 and 1"
    return (
        stated("A_t", area, "ft2", code, SURVEYED),
        worked("R_1", area_factor(area), "", "1.2 - 0.001 A_t, between 0.6 and 1", Rule(code, METAL_IBC)),
        worked("F", rise, "in/ft", "32 rise / span" if arched else "12 tan(slope)", shallow),
        worked("R_2", slope_reduction(rise), "", formula, shallow),
        worked("L_r", roof_live_load(area, rise), "psf", "20 R_1 R_2, between 12 and 20", Rule(code, METAL_IBC)),
    )


def rise_per_foot(line: RoofLine, site: Site) -> tuple[float, bool]:
    """F in inches per foot, of the flatter side or of the lower rise, and whether it is that of an arch."""
    sides = [side for side in line.sides if side.run > 0]
    if shape_of(line, site) == "curved":
        rise = min(line.crown[1] - side.eave_height for side in sides)
        return arch_rise_per_foot(max(0.0, rise), line.span), True
    return min(12 * tan(radians(side.line_slope())) for side in sides), False
