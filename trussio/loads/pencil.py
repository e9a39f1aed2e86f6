"""The pencil check of generated loads: what they add up to against area times intensity.

The two sums come by different ways. One adds up the loads of the case as they stand on the sticks. The other takes
the diagram over the roof, or the area loads of the surfaces, times the tributary width and the length of the
chords, and the volume of the sticks times their density: a few lines for a pocket calculator.
"""

from __future__ import annotations

from math import cos, sin
from typing import TYPE_CHECKING

from trussio.geometry import segment_arc, segment_length
from trussio.loads.chords import members_of
from trussio.loads.diagram import total
from trussio.loads.measures import ON_AREA
from trussio.model.loading import JointLoad, LineLoad, PointLoad, SelfWeight
from trussio.model.site import PencilCheck
from trussio.units import LINE_LOAD, WEIGHT_DENSITY

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.model.loading import Load, RunId
    from trussio.model.site import Generated, Surface
    from trussio.model.truss import JointId, MemberId, Segment, Truss


def pencil_checks(truss: Truss) -> dict[RunId, PencilCheck]:
    """The check of every generated case that is still there."""
    basis = truss.loads.basis
    if basis is None:
        return {}
    return {
        run: PencilCheck(sum_of_loads(truss, truss.loads.cases[run].loads), by_area(truss, told))
        for run, told in basis.cases.items()
        if run in truss.loads.cases
    }


def sum_of_loads(truss: Truss, loads: Iterable[Load]) -> float | None:
    """The downward force of some loads in base units; None where a stick has no section or density."""
    found = 0.0
    for load in loads:
        if isinstance(load, (JointLoad, PointLoad)):
            found -= load.fy
        elif isinstance(load, LineLoad) and load.direction == "down":
            found += sum(_along(truss, name, load) for name in _sticks(truss, load))
        elif isinstance(load, SelfWeight):
            weight = _weight(truss, load)
            if weight is None:
                return None
            found += weight
    return found


def by_area(truss: Truss, told: Generated) -> float | None:
    """The same for a pocket calculator, from diagram, surfaces and what hangs."""
    site = truss.site
    if site is None:
        return None
    unit = site.spacing * ON_AREA[truss.units]
    if told.diagram:
        return total(told.diagram) * unit
    if told.pattern == "panel-load":
        return site.panel_load
    if told.pattern not in {"dead", "live"}:
        return None
    found = sum(_surface(truss, surface, told.pattern) for surface in truss.surfaces.values()) * unit
    found += sum(h.weight for h in (site.hung or {}).values() if (h.kind or "dead") == told.pattern)
    if told.pattern == "dead" and site.self_weight is not False:
        weight = _weight(truss, SelfWeight(of="all"))
        return None if weight is None else found + weight
    return found


def _surface(truss: Truss, surface: Surface, pattern: str) -> float:
    """Area load times length, of one surface."""
    entries = (surface.dead if pattern == "dead" else surface.live) or {}
    names = set(members_of(truss, surface))
    segments = [segment for segment in truss.segments if segment.member in names]
    on_slope = sum(segment_length(truss, segment) for segment in segments)
    on_plan = sum(abs(truss.joints[s.last].x - truss.joints[s.first].x) for s in segments)
    return sum(load.value * (on_plan if load.per == "plan" else on_slope) for load in entries.values())


def _weight(truss: Truss, load: SelfWeight) -> float | None:
    found = 0.0
    for name in truss.members if load.of == "all" else load.of:
        section, material = truss.section_of(name), truss.material_of(name)
        area = None if section is None else section.gross_area
        density = None if material is None else material.density
        if area is None or density is None:
            return None
        length = sum(segment_length(truss, s) for s in truss.segments if s.member == name)
        found += area * density * WEIGHT_DENSITY[truss.units] * length
    return found


def _sticks(truss: Truss, load: LineLoad) -> list[MemberId]:
    if load.on.member is not None:
        return [load.on.member]
    return [name for name, member in truss.members.items() if member.role == load.on.role]


def _along(truss: Truss, name: MemberId, load: LineLoad) -> float:
    """The force of a line load on one stick."""
    pieces = [(s, segment_length(truss, s)) for s in truss.segments if s.member == name]
    whole = sum(length for _, length in pieces)
    start = 0.0 if load.start is None else _place(truss, name, load.start)
    end = whole if load.end is None else _place(truss, name, load.end)
    first, last = load.value if isinstance(load.value, tuple) else (load.value, load.value)
    found = begins = 0.0
    for segment, length in pieces:
        low, high = max(start, begins), min(end, begins + length)
        if high > low:
            at = [first + (last - first) * (place - start) / (end - start) for place in (low, high)]
            found += _on_segment(truss, segment, (low - begins, high - begins), (at[0], at[1]), load.per)
        begins += length
    return found * LINE_LOAD[truss.units]


def _place(truss: Truss, name: MemberId, place: JointId | float) -> float:
    if not isinstance(place, str):
        return place
    begins = 0.0
    for segment in (s for s in truss.segments if s.member == name):
        if segment.first == place:
            return begins
        begins += segment_length(truss, segment)
    return begins


def _on_segment(
    truss: Truss, segment: Segment, stretch: tuple[float, float], values: tuple[float, float], per: str | None
) -> float:
    """An evenly varying load from place to place of one segment, per length or per plan."""
    low, high = stretch
    mean = (values[0] + values[1]) / 2
    if per != "plan":
        return (high - low) * mean
    arc = segment_arc(truss, segment)
    if arc is None:
        run = abs(truss.joints[segment.last].x - truss.joints[segment.first].x)
        return (high - low) * mean * run / segment_length(truss, segment)
    # Per plan on an arc: the integral of (a + b t) |sin(angle)| over the angle, which is monotonic in x.
    way = 1 if arc.sweep > 0 else -1
    start, end = (arc.start + way * place / arc.radius for place in (low, high))
    rise = (values[1] - values[0]) / (end - start)
    parts = [-(values[0] + rise * (t - start)) * cos(t) + rise * sin(t) for t in (start, end)]
    return abs(arc.radius * (parts[1] - parts[0]))
