"""Roof loads of EN 1991 a second time, in kPa and m: for the tally of generated cases.

Cases: H imposed; S undrifted, S-left and S-right drifted, S-drift-... beside something taller; the same with an A
before them under exceptional snow. Sources: EN 1991-1-1 table 6.10 and EN 1991-1-3 with recommended values, from
memory; typed anew for this tally.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.recheck.drift_rules import parapet_drift, step_of, wall_drift

if TYPE_CHECKING:
    from trussio.model.site import Site
    from trussio.recheck.roof import Roof, Side
    from trussio.recheck.snow_rules import Figure

EXPOSED: Final = {"windswept": 0.8, "normal": 1.0, "sheltered": 1.2}
"""Ce (table 5.1)."""
IMPOSED: Final = 0.4


def eurocode_figures(name: str, roof: Roof, site: Site, *, kpa: float, metre: float) -> list[Figure] | None:
    """The figures of a case in kPa, which add up; None for a rule that is not here."""
    if name == "H":
        load = IMPOSED if site.roof_live is None else site.roof_live / kpa
        return [[(x, load) for x in roof.ends]]
    if site.ground_snow is None:
        return None
    ground = site.ground_snow / kpa
    accidental = name.startswith("A")
    kind, _, part = name.removeprefix("A").partition("-")
    step = step_of(site, part) if part.startswith("drift-") else None
    if step is not None and step.kind == "parapet":
        return [_times(ground, parapet_drift(roof, step, ground, metre))]
    shape = _coefficients(roof, site, "" if step is not None else part) if kind == "S" else None
    if shape is None or (part.startswith("drift-") and step is None) or (accidental and site.exceptional is None):
        return None
    shapes = [shape]
    if step is not None:
        drift = wall_drift(roof, step, shape[0 if step.side == "left" else -1][1], ground, metre)
        if drift is None:
            return None
        shapes.append(drift)
    exposure = EXPOSED[site.exposure or "normal"] if site.exposure_factor is None else site.exposure_factor
    thermal = 1.0 if site.thermal_factor is None else site.thermal_factor
    factor = exposure * thermal * ground * (site.exceptional or 0.0 if accidental else 1.0)
    return [_times(factor, one) for one in shapes]


def _times(factor: float, of: Figure) -> Figure:
    return [(x, factor * load) for x, load in of]


def _coefficients(roof: Roof, site: Site, part: str) -> Figure | None:
    """Shape coefficients of the undrifted or drifted arrangement."""
    if part not in {"", "left", "right"}:
        return None
    curved = roof.curved if site.shape is None else site.shape == "curved"
    halves = [(_arch if curved else _slope)(roof, side, site, part) for side in roof.sides]
    crown = roof.crown[0]
    points = [(crown - far, load) for far, load in reversed(halves[0])] if roof.sides[0].run > 0 else []
    return [*points, *((crown + far, load) for far, load in halves[1])] if roof.sides[1].run > 0 else points


def _slope(_: Roof, side: Side, site: Site, part: str) -> Figure:
    """Pitched and monopitch roofs (5.3.2, 5.3.3): half on the side from which it has gone."""
    full = 0.8 if site.obstructed else 0.8 * min(1.0, max(0.0, (60.0 - abs(side.line)) / 30.0))
    load = full if not part or _is(side, part) else full / 2
    return [(0.0, load), (side.run, load)]


def _arch(roof: Roof, side: Side, _: Site, part: str) -> Figure:
    """Cylindrical roofs (5.3.5): up to 60 degrees 0.8, or a triangle of mu3 and half of that on the other side."""
    end = side.run if side.at_60 is None else side.at_60
    if not part:
        return [(0.0, 0.8), (end, 0.8), *([(end, 0.0), (side.run, 0.0)] if end < side.run else [])]
    rise = roof.crown[1] - min(roof.pieces[0].y[0], roof.pieces[-1].y[1])
    peak = min(2.0, 0.2 + 10 * rise / (roof.ends[1] - roof.ends[0])) / (1 if _is(side, part) else 2)
    return [(0.0, 0.0), (end / 2, peak), (end, 0.0), (side.run, 0.0)]


def _is(side: Side, part: str) -> bool:
    return ("left" if side.out < 0 else "right") == part
