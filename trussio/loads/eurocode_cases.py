"""Every case of EN 1991 over one roof line: imposed load, snow undrifted and drifted, drifts at its ends.

Cylindrical roofs 5.3.5, pitched and monopitch roofs 5.3.2 and 5.3.3, recommended values; the exceptional load of
4.3 where its coefficient is stated. Diagrams are in the document's units, the lines of derivations in kPa and m.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.loads.asce_steps import beside, length_of, step_name
from trussio.loads.case import Covered, RoofCase, Rule, stated, worked
from trussio.loads.diagram import added, at_end, level, outwards, scaled
from trussio.loads.eurocode_snow import (
    EXPOSURE,
    STEEP_ARCH,
    arch_coefficient,
    parapet_drift,
    pitched_coefficient,
    wall_drift,
)
from trussio.loads.faults import refused
from trussio.loads.measures import KPA, METRE
from trussio.loads.shape import shape_of
from trussio.loads.sources import ASSUMED, MEMORY, SNOW_CODE, STATED, STEEL_EUROPE, SURVEYED, weakest

if TYPE_CHECKING:
    from trussio.loads.diagram import Diagram
    from trussio.loads.roof_line import RoofLine, RoofSide
    from trussio.model.check import Line
    from trussio.model.site import Pattern, Site, Step
    from trussio.units import UnitSystem

SIDES: Final = {-1: "left", 1: "right"}
SHEDS: Final = 15.0
"""Degrees beyond which snow slides from a taller roof, 5.3.6."""
ROOF_LOAD: Final = 0.4
"""qk of a roof not accessible, category H, kPa: recommended value of EN 1991-1-1 table 6.10, from memory."""


class Snow(NamedTuple):
    """The roof and what every coefficient is multiplied by, in kPa, with the lines to it."""

    line: RoofLine
    site: Site
    units: UnitSystem
    ground: float
    factor: float
    lines: tuple[Line, ...]
    assumed: tuple[tuple[str, str], ...]


class Shape(NamedTuple):
    """A distribution of shape coefficients over the roof."""

    name: str
    pattern: Pattern
    says: str
    rule: Rule
    lines: tuple[Line, ...]
    coefficients: Diagram


def eurocode_cases(line: RoofLine, site: Site, units: UnitSystem) -> Covered:
    """The cases of a roof."""
    live = _imposed(line, site, units)
    if site.flat_roof_snow is not None:
        raise refused(
            "site-conflict",
            "/site/flat_roof_snow",
            "EN 1991-1-3 starts from the ground snow load and knows no flat-roof load.",
            "State ground_snow, the characteristic value sk.",
        )
    if site.ground_snow is None:
        return Covered(live, ("Snow: ground_snow is not stated.",))
    if site.ground_snow == 0:
        return Covered(live, ("Snow: it is stated as 0.",))
    snow = _snow(line, site, units, site.ground_snow)
    curved = shape_of(line, site) == "curved"
    shapes = _arched(snow) if curved else _pitched(snow)
    parapets = []
    for number, step in enumerate(site.steps or ()):
        upper = length_of(step, number)
        if upper is None:
            parapets.append(_behind_parapet(snow, number, step))
        else:
            shapes.append(_beside_wall(snow, shapes[0].coefficients, number, step, upper))
    cases = [_case(snow, shape) for shape in shapes]
    if site.exceptional is not None:
        cases += [_exceptional(snow, shape, site.exceptional) for shape in shapes]
    cases += parapets
    left_out = ["Snow in the valleys of parallel roofs, 5.3.4: not generated."] if site.multiple_vaults else []
    left_out += [
        f"Snow sliding down from the taller roof on the {step.side}, mu_s of 5.3.6: not generated."
        for step in site.steps or ()
        if step.kind == "taller-roof" and (step.slope is None or step.slope > SHEDS)
    ]
    return Covered((*live, *cases), tuple(left_out), snow.assumed)


def _imposed(line: RoofLine, site: Site, units: UnitSystem) -> tuple[RoofCase, ...]:
    load = ROOF_LOAD if site.roof_live is None else site.roof_live / KPA[units]
    if load == 0:
        return ()
    rule = Rule("EN 1991-1-1 table 6.10, category H", MEMORY if site.roof_live is None else STATED)
    lines = (stated("q_k", load, "kPa", rule.clause, rule.mark),)
    diagram = level(line.left, line.right, load * KPA[units])
    return (RoofCase("H", "roof-live", "roof-live", "Imposed load on the roof.", rule, lines, diagram),)


def _snow(line: RoofLine, site: Site, units: UnitSystem, ground_snow: float) -> Snow:
    ground = ground_snow / KPA[units]
    exposure, exposed = _exposure(site)
    thermal = 1.0 if site.thermal_factor is None else site.thermal_factor
    warm = stated("C_t", thermal, "", f"{SNOW_CODE} 5.2(8)", MEMORY if site.thermal_factor is None else STATED)
    lines = (stated("s_k", ground, "kPa", f"{SNOW_CODE} 4.1", STATED), exposed, warm)
    assumed: tuple[tuple[str, str], ...] = ()
    if exposed.source == ASSUMED:
        assumed = (("/site/exposure", "Exposure of the roof to wind: Ce = 1.0, normal topography."),)
    return Snow(line, site, units, ground, exposure * thermal * ground, lines, assumed)


def _exposure(site: Site) -> tuple[float, Line]:
    clause = f"{SNOW_CODE} table 5.1"
    if site.exposure_factor is not None:
        return site.exposure_factor, stated("C_e", site.exposure_factor, "", clause, STATED)
    word = site.exposure or "normal"
    if word not in EXPOSURE:
        raise refused(
            "unknown-exposure",
            "/site/exposure",
            f'EN 1991-1-3 has no exposure "{word}".',
            f"Write one of {', '.join(EXPOSURE)}, or state exposure_factor.",
        )
    return EXPOSURE[word], stated("C_e", EXPOSURE[word], "", clause, MEMORY if site.exposure else ASSUMED)


def _case(snow: Snow, shape: Shape) -> RoofCase:
    lines = (*snow.lines, *shape.lines)
    rule = Rule(f"{SNOW_CODE} {shape.rule.clause}", weakest(lines, shape.rule.mark))
    diagram = scaled(shape.coefficients, snow.factor * KPA[snow.units])
    return RoofCase(shape.name, "snow", shape.pattern, shape.says, rule, lines, diagram)


def _exceptional(snow: Snow, shape: Shape, coefficient: float) -> RoofCase:
    """The same distribution under exceptional snow."""
    made = _case(snow, shape)
    load = coefficient * snow.ground
    rule = Rule(f"{SNOW_CODE} 4.3", STEEL_EUROPE)
    extra = (
        stated("C_esl", coefficient, "", rule.clause, STATED),
        worked("s_Ad", load, "kPa", "C_esl s_k", rule),
    )
    return made._replace(
        name=f"A{made.name}",
        says=f"{made.says} Exceptional, an accidental action.",
        lines=(*made.lines, *extra),
        diagram=scaled(made.diagram, coefficient),
        accidental=True,
    )


def _pitched(snow: Snow) -> list[Shape]:
    """Undrifted, and half gone from either side of a ridge."""
    sides = {side.outward: side for side in snow.line.sides if side.run > 0}
    held = bool(snow.site.obstructed)
    slopes = {way: side.line_slope() for way, side in sides.items()}
    mu = {way: pitched_coefficient(slope, obstructed=held) for way, slope in slopes.items()}
    mark = STEEL_EUROPE if max(slopes.values()) <= 30 and not held else MEMORY
    ridged = len(sides) == 2
    rule = Rule("5.3.3" if ridged else "5.3.2", mark)
    formula = "0.8, as snow cannot slide off" if held else "0.8 (60 - slope) / 30, between 0 and 0.8"
    lines: list[Line] = []
    for way, slope in slopes.items():
        lines.append(stated(f"slope, {SIDES[way]}", slope, "deg", f"{SNOW_CODE} {rule.clause}", SURVEYED))
        full = Rule(f"{SNOW_CODE} {rule.clause}, table 5.2", mark)
        lines.append(worked(f"mu_1, {SIDES[way]}", mu[way], "", formula, full))
    shapes = [Shape("S", "uniform", "Undrifted snow.", rule, tuple(lines), _two(snow.line, mu))]
    for way in (-1, 1) if ridged else ():
        says = f"Drifted snow: full on the {SIDES[way]} side, half on the {SIDES[-way]} side."
        drifted = _two(snow.line, {way: mu[way], -way: mu[-way] / 2})
        shapes.append(Shape(f"S-{SIDES[way]}", "unbalanced", says, rule, tuple(lines), drifted))
    return shapes


def _two(line: RoofLine, mu: dict[int, float]) -> Diagram:
    left, right = (
        [(0.0, mu[side.outward]), (side.run, mu[side.outward])] if side.run > 0 else [] for side in line.sides
    )
    return outwards(line.crown[0], left, right)


def _arched(snow: Snow) -> list[Shape]:
    """Undrifted, and drifted to either side, over the length where the roof is no steeper than 60 degrees."""
    line = snow.line
    ends = {side.outward: _length_with_snow(side) for side in line.sides}
    rise = line.crown[1] - min(side.eave_height for side in line.sides)
    mu = arch_coefficient(rise, line.span)
    clause = f"{SNOW_CODE} 5.3.5"
    lines = (
        stated("h", rise / METRE[snow.units], "m", clause, SURVEYED),
        stated("b", line.span / METRE[snow.units], "m", clause, SURVEYED),
        *(
            stated(f"l_s, {SIDES[way]} of the crown", end / METRE[snow.units], "m", clause, SURVEYED)
            for way, end in ends.items()
        ),
        worked("mu_3", mu, "", "0.2 + 10 h / b, at most 2.0", Rule(clause, MEMORY)),
    )
    rule = Rule("5.3.5", MEMORY)
    runs = {side.outward: side.run for side in line.sides}
    bare = {way: [(end, 0.0), (runs[way], 0.0)] if end < runs[way] else [] for way, end in ends.items()}
    even = {way: [(0.0, 0.8), (end, 0.8), *bare[way]] for way, end in ends.items()}
    shapes = [Shape("S", "uniform", "Undrifted snow.", rule, lines, outwards(line.crown[0], even[-1], even[1]))]
    for way in (-1, 1):
        peaks = {way: mu, -way: mu / 2}
        halves = {
            there: [(0.0, 0.0), (ends[there] / 2, peaks[there]), (ends[there], 0.0), (runs[there], 0.0)]
            for there in (-1, 1)
        }
        says = f"Drifted snow: the larger triangle on the {SIDES[way]} side, half of it on the other."
        drifted = outwards(line.crown[0], halves[-1], halves[1])
        shapes.append(Shape(f"S-{SIDES[way]}", "unbalanced", says, rule, lines, drifted))
    return shapes


def _length_with_snow(side: RoofSide) -> float:
    steep = side.first_as_steep(STEEP_ARCH)
    return side.run if steep is None else abs(steep - side.line.crown[0])


def _beside_wall(snow: Snow, undrifted: Diagram, number: int, step: Step, upper: float) -> Shape:
    """A drift beside a taller building: from its own coefficient at the wall down to that of the roof."""
    metre, span = METRE[snow.units], snow.line.span / METRE[snow.units]
    height = step.height / metre
    drift = wall_drift(upper=upper / metre, lower=span, step=height, ground_snow=snow.ground)
    rule = Rule(f"{SNOW_CODE} 5.3.6", STEEL_EUROPE)
    formula = "mu_s + mu_w; mu_w = (b_1 + b_2) / 2h, at most 2 h / s_k, between 0.8 and 4"
    lines = (
        stated("h", height, "m", rule.clause, STATED),
        stated("b_1", upper / metre, "m", rule.clause, STATED),
        stated("b_2", span, "m", rule.clause, SURVEYED),
        stated("mu_s", 0.0, "", f"{rule.clause}: nothing slides", ASSUMED),
        worked("mu_2", drift.coefficient, "", formula, rule),
        worked("l_s", drift.length, "m", "2 h, between 5 and 15", rule),
    )
    above = max(0.0, drift.coefficient - at_end(undrifted, step.side))
    top = beside(snow.line, step.side, drift.length * metre, above)
    says = f"Drift against a taller building on the {step.side}."
    name = step_name(number, step, snow.site.steps or ())
    return Shape(name, "drift", says, Rule("5.3.6", STEEL_EUROPE), lines, added(undrifted, top))


def _behind_parapet(snow: Snow, number: int, step: Step) -> RoofCase:
    """The exceptional drift behind a parapet, alone on the roof: s = mu sk, without Ce, Ct and Cesl."""
    metre, span = METRE[snow.units], snow.line.span / METRE[snow.units]
    height = step.height / metre
    drift = parapet_drift(upwind=span, downwind=span, height=height, ground_snow=snow.ground)
    rule = Rule(f"{SNOW_CODE} annex B.4", STEEL_EUROPE)
    lines = (
        snow.lines[0],
        stated("h", height, "m", rule.clause, STATED),
        stated("b", span, "m", rule.clause, SURVEYED),
        worked("l_s", drift.length, "m", "the least of 5 h, b and 15", rule),
        worked("mu", drift.coefficient, "", "the least of 2 h / s_k, 2 b / l_s and 8", rule),
        worked(
            "s", drift.coefficient * snow.ground, "kPa", "mu s_k, alone on the roof", Rule(rule.clause, MEMORY)
        ),
    )
    load = drift.coefficient * snow.ground * KPA[snow.units]
    diagram = beside(snow.line, step.side, drift.length * metre, load)
    says = f"Exceptional drift behind a parapet on the {step.side}, an accidental action."
    name = f"A{step_name(number, step, snow.site.steps or ())}"
    mark = Rule(rule.clause, weakest(lines, rule.mark))
    return RoofCase(name, "snow", "drift", says, mark, lines, diagram, accidental=True)
