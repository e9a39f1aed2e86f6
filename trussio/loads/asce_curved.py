"""Snow cases of ASCE 7 on a curved roof: balanced, unbalanced from either side, valleys between vaults, partial.

The surveyed slopes decide: the class of each side by its slope at the eave, the 30- and 70-degree points, and the
line from eave to crown. Rules and their sources stand in `trussio.loads.curved_roof`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.loads import curved_roof
from trussio.loads.asce_roof import SIDES, Telling, minimum_case, partial_cases
from trussio.loads.case import Covered, RoofCase, Rule, stated, worked
from trussio.loads.diagram import bare, outwards
from trussio.loads.sources import MEMORY, SURVEYED

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.loads.asce_roof import SnowOnRoof
    from trussio.loads.curved_roof import CurvedSide
    from trussio.loads.diagram import Diagram
    from trussio.loads.roof_line import RoofSide
    from trussio.model.check import Line

LOW_CURVE = 10.0
"""Slope of the eave-to-crown line, degrees, below which the minimum load applies."""


def curved_cases(roof: SnowOnRoof) -> Covered:
    """The cases of a curved roof."""
    shapes = {side.outward: _shape(roof, side) for side in roof.line.sides}
    balanced = _balanced_diagram(roof, shapes)
    unbalanced = [_unbalanced(roof, side, shapes) for side in roof.line.sides if _asked(side)]
    valleys = [_valleys(roof, shapes)] if roof.site.multiple_vaults else []
    low = all(side.line_slope() < LOW_CURVE for side in roof.line.sides)
    return Covered(
        cases=(
            _balanced(roof, shapes, balanced),
            *(minimum_case(roof, MEMORY) if low else ()),
            *unbalanced,
            *valleys,
            *partial_cases(roof, balanced),
        ),
        left_out=tuple(_not_asked(side, roof.code) for side in roof.line.sides if side.run and not _asked(side)),
    )


def _balanced(roof: SnowOnRoof, shapes: dict[int, CurvedSide], psf: Diagram) -> RoofCase:
    vaults = ", 7.4.4" if roof.site.multiple_vaults else ""
    says = "Balanced snow on a curved roof" + (", one of several vaults: C_s = 1." if vaults else ".")
    rule = Rule(f"{roof.code} 7.4.3, Fig. 7.4-2{vaults}", MEMORY)
    return roof.case(Telling("S", "uniform", says, rule), _slope_lines(roof, shapes), psf)


def _balanced_diagram(roof: SnowOnRoof, shapes: dict[int, CurvedSide]) -> Diagram:
    flat, factor = roof.terms.flat, roof.slope_factor
    left, right = (curved_roof.balanced(shapes[way], flat, factor) for way in (-1, 1))
    return outwards(roof.line.crown[0], left, right)


def _shape(roof: SnowOnRoof, side: RoofSide) -> CurvedSide:
    """One side as the diagram sees it; a vault among others keeps its snow however steep."""
    crown = side.line.crown[0]
    at_30, at_70 = (side.first_as_steep(angle) for angle in (curved_roof.BREAK, curved_roof.FREE))
    return curved_roof.CurvedSide(
        eave=side.run,
        eave_slope=max(0.0, side.eave_slope),
        at_30=None if at_30 is None else abs(at_30 - crown),
        at_70=None if at_70 is None or roof.site.multiple_vaults else abs(at_70 - crown),
    )


def _slope_lines(roof: SnowOnRoof, shapes: dict[int, CurvedSide]) -> list[Line]:
    return [line for side in roof.line.sides if side.run for line in _side_lines(roof, side, shapes[side.outward])]


def _side_lines(roof: SnowOnRoof, side: RoofSide, shape: CurvedSide) -> Iterator[Line]:
    """The slopes of one side, and what Cs is there."""
    name, code = SIDES[side.outward], f"{roof.code} 7.4.3"
    yield stated(f"eave slope, {name}", shape.eave_slope, "deg", code, SURVEYED)
    for angle, at in ((30, shape.at_30), (70, shape.at_70)):
        if at is not None:
            words = f"crown to {angle}-degree point, {name}"
            yield stated(words, roof.feet(at), "ft", code, SURVEYED)
    yield roof.factor_line(f"C_s at the eave, {name}", shape.eave_slope)


def _line_slope(side: RoofSide) -> float:
    """Slope of the line from the eave, or the 70-degree point, to the crown."""
    return side.line_slope(side.first_as_steep(curved_roof.FREE))


def _asked(side: RoofSide) -> bool:
    return side.run > 0 and curved_roof.unbalanced_required(_line_slope(side))


def _unbalanced(roof: SnowOnRoof, side: RoofSide, shapes: dict[int, CurvedSide]) -> RoofCase:
    """Snow on one side, none on the other."""
    way, name = side.outward, SIDES[side.outward]
    shape, terms = shapes[way], roof.terms
    near = name in (roof.site.near_eave or ())
    points = curved_roof.unbalanced(shape, terms.flat, roof.slope_factor, exposure=terms.exposure, near_eave=near)
    halves = {way: points, -way: bare(shapes[-way].eave)}
    rule = Rule(f"{roof.code} 7.6.2, Fig. 7.4-2", MEMORY)
    lines = [
        stated(f"eave-to-crown line, {name}", _line_slope(side), "deg", rule.clause, SURVEYED),
        *_side_lines(roof, side, shape),
        worked("at the crown", points[0][1], "psf", "0.5 p_f", rule),
    ]
    if shape.at_30 is not None:
        lines.append(roof.factor_line("C_s(30)", curved_roof.BREAK))
        lines.append(worked("at the 30-degree point", points[1][1], "psf", "2 p_f C_s(30) / C_e", rule))
    lines.append(worked("at the eave", points[-1][1], "psf", _eave_formula(shape, near=near), rule))
    says = f"Unbalanced snow on a curved roof: the {name} half loaded, the {SIDES[-way]} half swept bare."
    psf = outwards(roof.line.crown[0], halves[-1], halves[1])
    return roof.case(Telling(f"S-{name}", "unbalanced", says, rule), lines, psf)


def _eave_formula(shape: CurvedSide, *, near: bool) -> str:
    if near and shape.at_30 is not None:
        return "that of the 30-degree point; something lies within 3 ft of the eave"
    return "2 p_f C_s(eave) / C_e" if shape.at_70 is None else "nothing from 70 degrees on"


def _valleys(roof: SnowOnRoof, shapes: dict[int, CurvedSide]) -> RoofCase:
    """Snow in the valleys on both sides of one vault among several."""
    terms, rule = roof.terms, Rule(f"{roof.code} 7.6.3", MEMORY)
    left, right = (curved_roof.valley(shapes[way], terms.flat, exposure=terms.exposure) for way in (-1, 1))
    says = "Snow in the valleys on both sides of a vault: 0.5 p_f at the crown, 2 p_f / C_e in the valleys."
    psf = outwards(roof.line.crown[0], left, right)
    return roof.case(Telling("S-valleys", "unbalanced", says, rule), _slope_lines(roof, shapes), psf)


def _not_asked(side: RoofSide, code: str) -> str:
    return (
        f"Unbalanced snow on the {SIDES[side.outward]} side: {code} 7.6.2 does not ask for it, since the line "
        f"from eave to crown is at {_line_slope(side):.1f} degrees, outside 10 to 60 ({MEMORY})."
    )
