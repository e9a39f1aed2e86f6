"""Drifts at the ends of a roof a second time, for the tally of generated cases: ASCE 7 7.7 and 7.8, EN 1991-1-3.

Each is a triangle that falls inwards from the eave beside the step. Sources: the clauses named, from memory; typed
anew for this tally.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trussio.model.site import Site, Step
    from trussio.recheck.roof import Roof
    from trussio.recheck.snow_rules import Figure, Snow


def step_of(site: Site, part: str) -> Step | None:
    """The step that a case is named for: `drift-left`, and `drift-left-2` for a second one on that side."""
    _, side, number = [*part.split("-"), "1"][:3]
    steps = [step for step in site.steps or () if step.side == side]
    place = int(number) - 1 if number.isdecimal() else -1
    return steps[place] if 0 <= place < len(steps) else None


def triangle(roof: Roof, step: Step, width: float, peak: float) -> Figure:
    """A load that falls from an eave inwards, cut off at the other eave."""
    left, right = roof.ends
    reach = min(width, right - left)
    far = peak * (1 - reach / width) if width else 0.0
    if step.side == "left":
        return [(left, peak), (left + reach, far)]
    return [(right - reach, far), (right, peak)]


def asce_drift(roof: Roof, site: Site, snow: Snow, step: Step, *, eave: float, foot: float) -> Figure | None:
    """The drift on top of the balanced snow, which is `eave` psf beside the step."""
    if snow.ground is None or (step.kind == "taller-roof" and step.length is None):
        return None
    lower = (roof.ends[1] - roof.ends[0]) / foot
    density = min(30.0, 0.13 * snow.ground + 14.0)
    windward = drift_height(site, snow, lower)
    if windward is None:
        return None
    height = 0.75 * windward
    if step.kind == "taller-roof":
        leeward = drift_height(site, snow, (step.length or 0.0) / foot) or 0.0
        height = max(height, min(leeward, 0.6 * lower) if site.edition == "asce7-16" else leeward)
    base = eave / density
    clear = max(0.0, step.height / foot - base)
    if clear == 0 or clear < 0.2 * base:
        height = width = 0.0
    else:
        width = 4 * height if height <= clear else min(4 * height**2 / clear, 8 * clear)
        height = min(height, clear)
    return triangle(roof, step, width * foot, density * height)


def drift_height(site: Site, snow: Snow, fetch: float) -> float | None:
    """The height hd in ft of a fetch in ft, Fig. 7.6-1; None where a number for it is not stated."""
    ground, fetch = snow.ground, max(fetch, 20.0)
    if ground is None:
        return None
    if site.edition == "asce7-22":
        if site.winter_wind is None:
            return None
        return 1.5 * sqrt(ground**0.74 * fetch**0.70 * site.winter_wind**1.7 / min(30.0, 0.13 * ground + 14.0))
    height = max(0.0, float(0.43 * fetch ** (1 / 3) * (ground + 10.0) ** 0.25 - 1.5)) if ground else 0.0
    return height * (sqrt(snow.importance) if site.edition == "asce7-16" else 1.0)


def wall_drift(roof: Roof, step: Step, eave: float, ground: float, metre: float) -> Figure | None:
    """5.3.6 beside a taller building, as coefficients on top of that of the roof, which is `eave` there."""
    if step.length is None:
        return None
    high, lower = step.height / metre, (roof.ends[1] - roof.ends[0]) / metre
    blown = max(0.8, min((step.length / metre + lower) / (2 * high), 2.0 * high / ground, 4.0))
    return triangle(roof, step, min(15.0, max(5.0, 2 * high)) * metre, max(0.0, blown - eave))


def parapet_drift(roof: Roof, step: Step, ground: float, metre: float) -> Figure:
    """Annex B.4 behind a parapet, as coefficients of the ground snow alone."""
    high, long = step.height / metre, (roof.ends[1] - roof.ends[0]) / metre
    width = min(5 * high, long, 15.0)
    return triangle(roof, step, width * metre, min(2 * high / ground, 2 * long / width, 8.0))
