"""A roof under the snow rules of ASCE 7, and the cases that curved and pitched roofs share.

These are the minimum load, rain on snow and partial loading. Diagrams are in the document's units, the lines of
the derivations in psf, ft and degrees. Cases are named for where the snow lies: `S-left` has it on the left half.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.loads.asce_snow import (
    drift_height,
    drift_height_by_wind,
    minimum_snow,
    rain_on_snow,
    snow_density,
)
from trussio.loads.case import RoofCase, Rule, stated, worked
from trussio.loads.diagram import largest, level, partly, scaled
from trussio.loads.faults import lacking
from trussio.loads.measures import FOOT, PSF
from trussio.loads.partial import partial_bands
from trussio.loads.sources import ASCE, DRIFTS, MEMORY, STATED, SURVEYED, weakest

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.loads.asce_site import Terms
    from trussio.loads.diagram import Diagram
    from trussio.loads.roof_line import RoofLine
    from trussio.model.check import Line
    from trussio.model.site import Pattern, Site
    from trussio.units import UnitSystem

SIDES = {-1: "left", 1: "right"}


class Telling(NamedTuple):
    """What a case is called, what kind of load it is, what it is in words, and by which rule."""

    name: str
    pattern: Pattern
    says: str
    rule: Rule


class SnowOnRoof(NamedTuple):
    """A roof line, its site, and the terms of the snow rules."""

    line: RoofLine
    site: Site
    terms: Terms
    units: UnitSystem

    @property
    def code(self) -> str:
        """The edition as people write it."""
        return ASCE[self.terms.edition]

    def feet(self, length: float) -> float:
        """A length of the document in feet."""
        return length / FOOT[self.units]

    def slope_factor(self, slope: float) -> float:
        """Cs of a slope in degrees; 1 on one of several vaults or ridges (7.4.4)."""
        return 1.0 if self.site.multiple_vaults else self.terms.factor(slope)

    def factor_line(self, symbol: str, slope: float) -> Line:
        """The same as a line."""
        if self.site.multiple_vaults:
            return stated(symbol, 1.0, "", f"{self.code} 7.4.4", MEMORY)
        return self.terms.factor_line(symbol, slope)

    def case(self, telling: Telling, lines: Sequence[Line], psf: Diagram) -> RoofCase:
        """A case of snow from a diagram in psf."""
        told = (*self.terms.lines, *lines)
        name, pattern, says, rule = telling
        marked = Rule(rule.clause, weakest(told, rule.mark))
        return RoofCase(name, "snow", pattern, says, marked, told, scaled(psf, PSF[self.units]))

    def drift(self, fetch: float, needed_for: str) -> tuple[float, list[Line]]:
        """The height hd of a drift in ft, with its lines; `fetch` in ft."""
        ground, site = self.terms.ground, self.site
        if ground is None:
            raise lacking("ground_snow", needed_for, "State it: the flat-roof load alone says nothing of drifts.")
        known = [stated("l_u", fetch, "ft", f"{self.code} 7.6, 7.7", SURVEYED)]
        if self.terms.edition == "asce7-22":
            if site.winter_wind is None:
                raise lacking("winter_wind", f"{needed_for} by ASCE 7-22", "State W2 of the site, from 0 to 1.")
            height = drift_height_by_wind(ground, fetch, site.winter_wind)
            known.append(stated("W_2", site.winter_wind, "", f"{self.code} 7.6", STATED))
            formula, rule = "1.5 root(p_g^0.74 l_u^0.70 W_2^1.7 / gamma)", Rule(f"{self.code} 7.6", MEMORY)
        else:
            height = drift_height(ground, fetch, importance=self.terms.importance, edition=self.terms.edition)
            formula, rule = "0.43 l_u^(1/3) (p_g + 10)^(1/4) - 1.5", Rule(f"{self.code} Fig. 7.6-1", DRIFTS)
            if self.terms.edition == "asce7-16":
                formula = f"({formula}) root(I_s)"
                rule = Rule(rule.clause, DRIFTS if self.terms.importance == 1 else MEMORY)
            formula += "; l_u at least 20 ft"
        return height, [*known, worked("h_d", height, "ft", formula, rule)]

    def density(self) -> tuple[float, Line]:
        """The weight of snow in pcf, with its line."""
        density = snow_density(self.terms.ground or 0.0)
        rule = Rule(f"{self.code} Eq. 7.7-1", DRIFTS)
        return density, worked("gamma", density, "pcf", "0.13 p_g + 14, at most 30", rule)


def minimum_case(roof: SnowOnRoof, mark: str) -> list[RoofCase]:
    """The minimum load of a low-slope roof, where the ground snow load is known."""
    ground, terms = roof.terms.ground, roof.terms
    if ground is None:
        return []
    load = minimum_snow(ground, importance=terms.importance, edition=terms.edition, risk=terms.risk)
    newest = terms.edition == "asce7-22"
    rule = Rule(f"{roof.code} {'7.3.3' if newest else '7.3.4'}", MEMORY if newest else mark)
    formula = f"p_g, at most p_m,max of risk category {terms.risk}" if newest else "I_s p_g, at most 20 I_s"
    known = [worked("p_m", load, "psf", formula, rule)]
    says = "Minimum snow of a low-slope roof; it is joined with no other snow."
    telling = Telling("S-min", "uniform", says, rule)
    return [roof.case(telling, known, level(roof.line.left, roof.line.right, load))]


def rain_case(
    roof: SnowOnRoof, slopes: dict[int, float], balanced: Diagram, known: list[Line]
) -> tuple[list[RoofCase], list[str]]:
    """Rain on the balanced snow of a nearly flat roof."""
    terms = roof.terms
    if terms.edition == "asce7-22":
        return [], ["Rain on snow: the rule of ASCE 7-22 is not here."]
    runs = {side.outward: roof.feet(side.run) for side in roof.line.sides}
    loads = [rain_on_snow(terms.ground or 0.0, slope, runs[way]) for way, slope in slopes.items()]
    if not loads or min(loads) == 0:
        return [], []
    rule = Rule(f"{roof.code} 7.10", MEMORY)
    extra = worked("rain", loads[0], "psf", "5 where 0 < p_g <= 20 and theta < W / 50, W in ft", rule)
    wet = tuple((x, load + loads[0]) for x, load in balanced)
    says = "Rain on the balanced snow of a nearly flat roof."
    return [roof.case(Telling("S-rain", "uniform", says, rule), [*known, extra], wet)], []


def partial_cases(roof: SnowOnRoof, balanced: Diagram) -> list[RoofCase]:
    """Full and half of the balanced load of case S, in the patterns that turn webs round."""
    if largest(balanced) == 0:
        return []
    rule = Rule(f"{roof.code} 7.5", MEMORY)
    return [
        roof.case(
            Telling(f"S-part-{name}", "partial", f"Partial snow: full {words}, half elsewhere.", rule),
            [stated("share left elsewhere", 0.5, "", rule.clause, MEMORY)],
            partly(balanced, bands, 0.5),
        )
        for name, words, bands in partial_bands(roof.line)
    ]
