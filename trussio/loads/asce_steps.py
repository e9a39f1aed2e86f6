"""Cases of ASCE 7 for drifts behind taller roofs and parapets beyond the ends of a roof (7.7, 7.8)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.loads.asce_roof import Telling
from trussio.loads.case import RoofCase, Rule, stated, worked
from trussio.loads.diagram import added, at_end, tidy
from trussio.loads.faults import refused
from trussio.loads.measures import FOOT
from trussio.loads.sources import DRIFTS, MEMORY, STATED
from trussio.loads.step_drift import WINDWARD, governing_height, step_drift

if TYPE_CHECKING:
    from trussio.loads.asce_roof import SnowOnRoof
    from trussio.loads.diagram import Diagram
    from trussio.loads.roof_line import RoofLine
    from trussio.model.site import Side, Step


def step_cases(roof: SnowOnRoof, balanced: Diagram) -> list[RoofCase]:
    """One case for every step, in the order of the site; `balanced` is in psf."""
    return [_case(roof, balanced, number, step) for number, step in enumerate(roof.site.steps or ())]


def step_name(number: int, step: Step, steps: tuple[Step, ...]) -> str:
    """The name of a step's case; a second step on the same side is numbered."""
    before = sum(1 for other in steps[:number] if other.side == step.side)
    return f"S-drift-{step.side}" + (f"-{before + 1}" if before else "")


def length_of(step: Step, number: int) -> float | None:
    """The length of a taller roof, None above a parapet. Raises CannotAnalyseError where it is not stated."""
    if step.kind == "parapet":
        return None
    if step.length is None:
        raise refused(
            "site-incomplete",
            f"/site/steps/{number}",
            "the taller roof has no length, from which its snow is blown.",
            'State "length", the length of that roof square to the step.',
        )
    return step.length


def beside(line: RoofLine, side: Side, width: float, peak: float) -> Diagram:
    """A triangle that falls from an eave inwards over `width`, cut off at the other eave."""
    reach = min(width, line.span)
    far = peak * (1 - reach / width) if width > 0 else 0.0
    points = [(0.0, peak), (reach, far), (reach, 0.0), (line.span, 0.0)]
    if side == "left":
        return tidy([(line.left + x, load) for x, load in points])
    return tidy([(line.right - x, load) for x, load in reversed(points)])


def _case(roof: SnowOnRoof, balanced: Diagram, number: int, step: Step) -> RoofCase:
    snow = at_end(balanced, step.side)
    upper = length_of(step, number)
    windward, lines = roof.drift(roof.feet(roof.line.span), "a drift behind something taller")
    leeward = None
    if upper is not None:
        leeward, more = roof.drift(roof.feet(upper), "a drift behind something taller")
        lines = [*lines, *more]
    limited = roof.terms.edition == "asce7-16"
    height = governing_height(windward=windward, leeward=leeward, lower=roof.feet(roof.line.span), limited=limited)
    density, weight = roof.density()
    drift = step_drift(density=density, roof_snow=snow, step=roof.feet(step.height), height=height)
    clause = f"{roof.code} {'7.8' if upper is None else '7.7'}"
    capped = Rule(clause, MEMORY if drift.height < height else DRIFTS)
    governing = Rule(clause, MEMORY if upper is None else DRIFTS)
    rule = Rule(clause, DRIFTS)
    larger = f"the larger of h_d leeward and {WINDWARD:g} h_d windward"
    known = [
        *lines,
        weight,
        worked("h_d governing", height, "ft", larger, governing),
        stated("step", roof.feet(step.height), "ft", clause, STATED),
        worked("h_b", drift.base, "ft", f"p_s / gamma with p_s = {snow:.4g} psf", rule),
        worked("h_c", drift.clear, "ft", "step - h_b; no drift where h_c / h_b < 0.2", rule),
        worked("height", drift.height, "ft", "h_d, at most h_c", capped),
        worked("width", drift.width, "ft", "4 h_d; where cut off 4 h_d^2 / h_c, at most 8 h_c", capped),
        worked("p_d", drift.peak, "psf", "gamma times the height", rule),
    ]
    what = "a parapet" if upper is None else "a taller roof"
    says = f"Drift against {what} on the {step.side}, on top of the balanced snow."
    top = beside(roof.line, step.side, drift.width * FOOT[roof.units], drift.peak)
    name = step_name(number, step, roof.site.steps or ())
    return roof.case(Telling(name, "drift", says, rule), known, added(balanced, top))
