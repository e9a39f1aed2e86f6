"""Cases of ASCE 7 for snow that slides down from a taller roof beyond an end of ours (7.9).

Four tenths of the flat-roof load over the run of the sloping roof above, spread over 15 ft of ours on top of the
balanced snow. It is asked for where the roof above is steeper than 1/4 on 12 and slippery, or than 2 on 12.
Taken: the flat-roof load of the roof above is that of ours, and all that slides lies here. From memory.
"""

from __future__ import annotations

from math import atan2, degrees
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.loads.asce_roof import Telling
from trussio.loads.asce_steps import step_name
from trussio.loads.case import RoofCase, Rule, stated, worked
from trussio.loads.diagram import added, tidy
from trussio.loads.measures import FOOT
from trussio.loads.sources import MEMORY, STATED

if TYPE_CHECKING:
    from trussio.loads.asce_roof import SnowOnRoof
    from trussio.loads.diagram import Diagram
    from trussio.model.site import Step

SHARE: Final = 0.4
WIDTH: Final = 15.0
"""Feet of the lower roof on which it lies."""
LIMITS: Final = {True: degrees(atan2(0.25, 12)), False: degrees(atan2(2, 12))}
"""Degrees beyond which snow slides from a roof that is slippery, or is not; from memory."""


class Sliding(NamedTuple):
    """The cases, and what no case covers."""

    cases: tuple[RoofCase, ...]
    left_out: tuple[str, ...]


def sliding_load(flat: float, run: float) -> float:
    """The load in psf on 15 ft of roof from pf in psf and the run in ft from eave to ridge of the roof above."""
    return SHARE * flat * run / WIDTH


def slides(slope: float, *, slippery: bool) -> bool:
    """Whether 7.9 asks for snow that slides from a roof of this slope in degrees."""
    return slope > LIMITS[slippery]


def sliding_cases(roof: SnowOnRoof, balanced: Diagram) -> Sliding:
    """A case for every taller roof from which snow slides; `balanced` is in psf."""
    cases: list[RoofCase] = []
    left_out: list[str] = []
    for number, step in enumerate(roof.site.steps or ()):
        if step.kind == "parapet":
            continue
        what = f"Snow sliding down from the taller roof on the {step.side}"
        if roof.terms.edition == "asce7-22":
            left_out.append(f"{what}: the rule of ASCE 7-22 is not here.")
        elif step.slope is None or step.run is None:
            left_out.append(f"{what}: its slope and run are not stated (0 where it sheds nothing to this side).")
        elif slides(step.slope, slippery=bool(step.slippery)):
            cases.append(_case(roof, balanced, number, step, (step.slope, step.run)))
    return Sliding(tuple(cases), tuple(left_out))


def _case(roof: SnowOnRoof, balanced: Diagram, number: int, step: Step, above: tuple[float, float]) -> RoofCase:
    slope, run = above
    rule = Rule(f"{roof.code} 7.9", MEMORY)
    load = sliding_load(roof.terms.flat, roof.feet(run))
    over = "1/4 on 12, slippery" if step.slippery else "2 on 12, not said to be slippery"
    known = [
        stated(f"slope above, over {over}", slope, "deg", rule.clause, STATED),
        stated("W", roof.feet(run), "ft", rule.clause, STATED),
        worked("sliding", load, "psf", "0.4 p_f W / 15 ft, with p_f of this roof", rule),
    ]
    line = roof.line
    reach = min(WIDTH * FOOT[roof.units], line.span)
    points = [(0.0, load), (reach, load), (reach, 0.0), (line.span, 0.0)]
    top = [(line.left + x, p) for x, p in points]
    if step.side == "right":
        top = [(line.right - x, p) for x, p in reversed(points)]
    says = f"Snow that slid down from the taller roof on the {step.side}, on top of the balanced snow."
    name = step_name(number, step, roof.site.steps or ()).replace("drift", "slide")
    return roof.case(Telling(name, "drift", says, rule), known, added(balanced, tidy(top)))
