"""Roof loads of ASCE 7 a second time, in psf and ft: for the tally of generated cases.

A *figure* is the load per plan area at places from the left eave to the right, straight between them. Cases go by
their names: Lr; S balanced; S-min; S-rain; S-left and S-right unbalanced; S-valleys; S-part-... with half on a
part; S-drift-... beside something taller.
Sources: the clauses named, of ASCE/SEI 7-16, from memory as in most handbooks; typed anew for this tally.
"""

from __future__ import annotations

from itertools import pairwise
from math import radians, sqrt, tan
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.recheck.drift_rules import asce_drift, drift_height, step_of

if TYPE_CHECKING:
    from trussio.model.site import Site
    from trussio.recheck.roof import Roof, Side

    Figure = list[tuple[float, float]]
    Half = list[tuple[float, float]]
    """Distances from the crown, and loads."""

EXPOSED: Final = {
    "B": (0.9, 1.0, 1.2),
    "C": (0.9, 1.0, 1.1),
    "D": (0.8, 0.9, 1.0),
    "above-tree-line": (0.7, 0.8),
    "alaska": (0.7, 0.8),
}
"""Ce fully exposed, partially exposed, sheltered (table 7.3-1)."""
HOW: Final = ("fully", "partially", "sheltered")
WARM: Final = {
    "heated": 1.0,
    "just-above-freezing": 1.1,
    "cold-ventilated": 1.1,
    "unheated": 1.2,
    "freezer": 1.3,
    "greenhouse": 0.85,
}
"""Ct (table 7.3-2)."""
IMPORTANT: Final = {"I": 0.8, "II": 1.0, "III": 1.1, "IV": 1.2}
"""Is (table 1.5-2)."""
HAIR: Final = 1e-9
"""Part of the span below which two places are one."""
RAIN: Final = 5.0
LEAST_BY_RISK: Final = {"I": 25.0, "II": 30.0, "III": 35.0, "IV": 40.0}


class Snow(NamedTuple):
    """What snow hangs on: pg or None, pf, Ce, Ct, Is."""

    ground: float | None
    flat: float
    exposure: float
    thermal: float
    importance: float


def snow_of(site: Site, psf: float) -> Snow:
    """The snow of a site; `psf` is one psf in the document's unit. Raises LookupError for words not known."""
    newest = site.edition == "asce7-22"
    exposure, thermal = site.exposure_factor, site.thermal_factor
    if exposure is None:
        exposure = EXPOSED[site.terrain or "B"][HOW.index(site.exposure or "partially")]
    if thermal is None:
        thermal = 1.2 if newest and site.thermal == "cold-ventilated" else WARM[site.thermal or "unheated"]
    importance = 1.0 if newest else site.importance_factor or IMPORTANT[site.risk or "II"]
    ground = None if site.ground_snow is None else site.ground_snow / psf
    stated = site.flat_roof_snow
    flat = 0.7 * exposure * thermal * importance * (ground or 0.0) if stated is None else stated / psf
    return Snow(ground, flat, exposure, thermal, importance)


def asce_figures(name: str, roof: Roof, site: Site, *, psf: float, foot: float) -> list[Figure] | None:
    """The figures of a case in psf, which add up; None for a rule that is not here.

    Raises LookupError for words of a site that are not known.
    """
    if name == "Lr":
        return [_level(roof, _live(roof, site, foot) if site.roof_live is None else site.roof_live / psf)]
    kind, _, part = name.partition("-")
    if kind != "S":
        return None
    snow = snow_of(site, psf)
    balanced = _both(roof, site, snow)
    if part == "rain":
        return [balanced, _level(roof, RAIN)]
    if part.startswith("drift-"):
        step = step_of(site, part)
        eave = balanced[0 if step is not None and step.side == "left" else -1][1]
        drift = None if step is None else asce_drift(roof, site, snow, step, eave=eave, foot=foot)
        return None if drift is None else [balanced, drift]
    one = _one(part, roof, site, snow, foot)
    return None if one is None else [one]


def _one(part: str, roof: Roof, site: Site, snow: Snow, foot: float) -> Figure | None:
    """The figure of a case that is one."""
    if part == "min":
        return None if snow.ground is None else _level(roof, _least(site, snow.ground, snow.importance))
    if part.startswith("part-"):
        return _partly(_both(roof, site, snow), roof, part.removeprefix("part-"))
    if part in {"left", "right"}:
        return _unbalanced(roof, site, snow, part, foot)
    whole = {"": _both, "valleys": _valleys}.get(part)
    return None if whole is None else whole(roof, site, snow)


def _level(roof: Roof, load: float) -> Figure:
    return [(x, load) for x in roof.ends]


def _least(site: Site, ground: float, importance: float) -> float:
    """The minimum of a low-slope roof (7.3.4; 7.3.3 in 7-22)."""
    newest = site.edition == "asce7-22"
    return importance * min(ground, LEAST_BY_RISK[site.risk or "II"] if newest else 20.0)


def _valleys(roof: Roof, _: Site, snow: Snow) -> Figure:
    """Snow in the valleys on both sides (7.6.3)."""
    peak = 2 * snow.flat / snow.exposure
    left, right = ([(0.0, snow.flat / 2), (side.run, peak)] for side in roof.sides)
    return _joined(roof, left, right)


def _live(roof: Roof, site: Site, foot: float) -> float:
    """20 R1 R2 between 12 and 20 (4.8)."""
    left, right = roof.ends
    area = site.spacing * (right - left) / foot**2
    sides = [side for side in roof.sides if side.run > 0]
    if _is_curved(roof, site):
        heights = roof.pieces[0].y[0], roof.pieces[-1].y[1]
        rise = 32 * max(0.0, min(roof.crown[1] - height for height in heights)) / (right - left)
    else:
        rise = min(12 * tan(radians(side.line)) for side in sides)
    by_area, by_slope = min(1.0, max(0.6, 1.2 - 0.001 * area)), min(1.0, max(0.6, 1.2 - 0.05 * rise))
    return min(20.0, max(12.0, 20 * by_area * by_slope))


def _is_curved(roof: Roof, site: Site) -> bool:
    return roof.curved if site.shape is None else site.shape == "curved"


def _sloped(slope: float, site: Site, snow: Snow) -> float:
    """Cs of a slope (7.4)."""
    if site.multiple_vaults:
        return 1.0
    slippery = bool(site.slippery) and not site.obstructed
    warm, cool, cold = (5.0, 10.0, 15.0) if slippery else (30.0, 37.5, 45.0)
    start = warm if snow.thermal <= 1.0 else cool if snow.thermal < 1.2 else cold
    return min(1.0, max(0.0, (70.0 - slope) / (70.0 - start)))


def _both(roof: Roof, site: Site, snow: Snow) -> Figure:
    """Balanced snow (7.4)."""
    left, right = (_balanced(roof, side, site, snow) for side in roof.sides)
    return _joined(roof, left, right)


def _balanced(roof: Roof, side: Side, site: Site, snow: Snow) -> Half:
    if not _is_curved(roof, site):
        load = snow.flat * _sloped(side.line, site, snow)
        return [(0.0, load), (side.run, load)]
    if side.at_30 is None:
        return [(0.0, snow.flat), (side.run, snow.flat)]
    inner = [(0.0, snow.flat), (side.at_30, snow.flat)]
    if side.at_70 is not None and not site.multiple_vaults:
        return [*inner, (side.at_70, 0.0), (side.run, 0.0)]
    return [*inner, (side.run, snow.flat * _sloped(side.eave_slope, site, snow))]


def _unbalanced(roof: Roof, site: Site, snow: Snow, part: str, foot: float) -> Figure | None:
    here, there = roof.sides if part == "left" else roof.sides[::-1]
    if not _is_curved(roof, site):
        blown = _over_the_ridge(here, there, site, snow, foot)
        halves = None if blown is None else (blown if part == "left" else blown[::-1])
    else:
        full, bare = _leeward(here, site, snow), [(0.0, 0.0), (there.run, 0.0)]
        halves = (full, bare) if part == "left" else (bare, full)
    return None if halves is None else _joined(roof, *halves)


def _leeward(side: Side, site: Site, snow: Snow) -> Half:
    """The loaded half of a curved roof (7.6.2)."""
    peak, crown = 2 * snow.flat / snow.exposure, (0.0, snow.flat / 2)
    eave = (side.run, peak * _sloped(side.eave_slope, site, snow))
    if side.at_30 is None:
        return [crown, eave]
    at_30 = peak * _sloped(30.0, site, snow)
    inner = [crown, (side.at_30, at_30)]
    if ("left" if side.out < 0 else "right") in (site.near_eave or ()):
        return [*inner, (side.run, at_30)]
    if side.at_70 is not None and not site.multiple_vaults:
        return [*inner, (side.at_70, 0.0), (side.run, 0.0)]
    return [*inner, eave]


def _over_the_ridge(here: Side, there: Side, site: Site, snow: Snow, foot: float) -> tuple[Half, Half] | None:
    """The loaded and the swept half of a gable (7.6.1)."""
    height = drift_height(site, snow, there.run / foot)
    if height is None or snow.ground is None:
        return None
    density = min(30.0, 0.13 * snow.ground + 14.0)
    root = sqrt(1 / tan(radians(here.line)))
    loaded, swept = (snow.flat * _sloped(side.line, site, snow) for side in (here, there))
    more, reach = height * density / root, min(here.run, 8 / 3 * height * root * foot)
    block = [(0.0, loaded + more), (reach, loaded + more), (reach, loaded), (here.run, loaded)]
    return block, [(0.0, 0.3 * swept), (there.run, 0.3 * swept)]


def _partly(whole: Figure, roof: Roof, part: str) -> Figure | None:
    """Half of a figure but on some bands (7.5)."""
    left, right = roof.ends
    quarter, panels = (right - left) / 4, [piece.x for piece in roof.pieces]
    bands = {
        "left": [(left, roof.crown[0])],
        "right": [(roof.crown[0], right)],
        "middle": [(left + quarter, right - quarter)],
        "ends": [(left, left + quarter), (right - quarter, right)],
        "odd": panels[0::2],
        "even": panels[1::2],
    }.get(part)
    if bands is None:
        return None
    places = sorted({x for x, _ in whole} | {x for band in bands for x in band})
    made: Figure = []
    for start, end in pairwise(places):
        if end - start <= HAIR * (right - left):
            continue
        share = 1.0 if any(low <= (start + end) / 2 <= high for low, high in bands) else 0.5
        made += [(x, share * _load_at(whole, x, toward)) for x, toward in ((start, end), (end, start))]
    return made


def _load_at(whole: Figure, x: float, toward: float) -> float:
    """The load at a place, on the side of it that lies towards another. Raises LookupError beside the roof."""
    middle = (x + toward) / 2
    for (x0, load0), (x1, load1) in pairwise(whole):
        if x0 < middle < x1:
            return load0 + (load1 - load0) * (x - x0) / (x1 - x0)
    raise LookupError(middle)


def _joined(roof: Roof, left: Half, right: Half) -> Figure:
    """Two halves from the crown outwards as one figure from left to right; a side without run has none."""
    crown = roof.crown[0]
    one = [(crown - far, load) for far, load in reversed(left)] if roof.sides[0].run > 0 else []
    return [*one, *((crown + far, load) for far, load in right)] if roof.sides[1].run > 0 else one
