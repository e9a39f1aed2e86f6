"""The loads of a truss as found: those on sticks that came apart, brought to what still stands.

On a part that stands a load acts where it did. Where nothing stands any more it goes to the joint that the rest
hangs on, or from a stick that is gone to the joints of its segments by the lever, so that no load is lost; the
weight of what is gone is. What a lengthwise misfit or warmth does to a part is its share by length.
Places run along the stick of the document from its first joint.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from itertools import pairwise
from math import ceil, cos, hypot, sin, sqrt
from typing import TYPE_CHECKING, NamedTuple

from trussio.analysis.stick_parts import point_on
from trussio.geometry import segment_arc
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, Target, Warmer
from trussio.units import LINE_LOAD, WEIGHT_DENSITY

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.analysis.stick_parts import Stick, Stretch
    from trussio.model.loading import Load, Loads
    from trussio.model.truss import JointId, MemberId, Notes, Segment, Truss

GAUSS = ((-sqrt(0.6), 5 / 18), (0.0, 8 / 18), (sqrt(0.6), 5 / 18))
"""Three points from -1 to 1 and their weights (C. F. Gauss, 1814; from memory): exact to the fifth degree."""
ARC_STEP = 0.1
"""Sums along an arc go by steps of no more than this turn, in radians."""


class Fate(NamedTuple):
    """What became of a stick: its stretches, in order, and the names of its parts by number."""

    stick: Stick
    stretches: tuple[Stretch, ...]
    parts: tuple[MemberId, ...]


class Lump(NamedTuple):
    """A force at a place of a stick."""

    place: float
    fx: float
    fy: float


def moved_loads(truss: Truss, fates: Mapping[MemberId, Fate]) -> tuple[Loads, dict[str, int]]:
    """The loads as they act on a truss as found, and of which load of the document each one is a part.

    The latter by `case/index` of the new load.
    """
    cases, came_from = {}, {}
    for name, case in truss.loads.cases.items():
        made: list[Load] = []
        for index, load in enumerate(case.loads):
            for one in _moved(truss, fates, load):
                came_from[f"{name}/{len(made)}"] = index
                made.append(one)
        cases[name] = replace(case, loads=tuple(made))
    return replace(truss.loads, cases=cases), came_from


def _moved(truss: Truss, fates: Mapping[MemberId, Fate], load: Load) -> Iterator[Load]:
    match load:
        case SelfWeight():
            yield from _weight(truss, fates, load)
        case LineLoad() | PointLoad() | Longer() | Warmer():
            names = [load.on.member] if load.on.member else _of_role(truss, load.on)
            if not any(name in fates for name in names):
                yield load
                return
            for name in names:
                on_one = replace(load, on=Target(member=name))
                yield from _on_parts(truss, fates[name], on_one) if name in fates else (on_one,)
        case _:
            yield load


def _of_role(truss: Truss, on: Target) -> list[MemberId]:
    return [name for name, member in truss.members.items() if member.role == on.role]


def _on_parts(truss: Truss, fate: Fate, load: LineLoad | PointLoad | Longer | Warmer) -> Iterator[Load]:
    match load:
        case LineLoad():
            yield from _line(truss, fate, load)
        case PointLoad():
            yield from _point(truss, fate, load)
        case Longer():
            whole = fate.stick.places[-1]
            for stretch in fate.stretches:
                if stretch.part is not None:
                    share = (stretch.end - stretch.start) / whole
                    yield replace(load, on=Target(member=fate.parts[stretch.part]), by=load.by * share)
        case Warmer():
            for name in fate.parts:
                yield replace(load, on=Target(member=name))


def _line(truss: Truss, fate: Fate, load: LineLoad) -> Iterator[Load]:
    places = fate.stick.places
    start = 0.0 if load.start is None else _place(truss, fate, load.start)
    end = places[-1] if load.end is None else _place(truss, fate, load.end)
    first, last = load.value if isinstance(load.value, tuple) else (load.value, load.value)
    (start, first), (end, last) = sorted(((start, first), (end, last)))
    for stretch in fate.stretches:
        low, high = max(start, stretch.start), min(end, stretch.end)
        if not low < high:
            continue
        at_low, at_high = (first + (last - first) * (at - start) / (end - start) for at in (low, high))
        part = replace(load, value=(at_low, at_high), start=low, end=high)
        if stretch.part is None:
            yield from _at_joints(truss, fate.stick, stretch, _lumps(truss, fate.stick, part), load.notes)
        else:
            on = Target(member=fate.parts[stretch.part])
            yield replace(part, on=on, start=low - stretch.start, end=high - stretch.start)


def _point(truss: Truss, fate: Fate, load: PointLoad) -> Iterator[Load]:
    at = _place(truss, fate, load.at)
    there = [stretch for stretch in fate.stretches if stretch.start <= at <= stretch.end]
    stretch = min(there, key=lambda stretch: stretch.part is None, default=fate.stretches[-1])
    if stretch.part is None:
        lump = Lump(min(at, fate.stick.places[-1]), load.fx, load.fy)
        yield from _at_joints(truss, fate.stick, stretch, [lump], load.notes)
    else:
        yield replace(load, on=Target(member=fate.parts[stretch.part]), at=at - stretch.start)


def _weight(truss: Truss, fates: Mapping[MemberId, Fate], load: SelfWeight) -> Iterator[Load]:
    names = tuple(truss.members) if load.of == "all" else load.of
    standing = tuple(part for name in names for part in (fates[name].parts if name in fates else (name,)))
    if standing:
        yield load if load.of == "all" else replace(load, of=standing)
    for name in names:
        for stretch in fates[name].stretches if name in fates else ():
            weight = _weight_per_length(truss, name)
            if stretch.part is None and stretch.weighs and weight:
                value = weight / LINE_LOAD[truss.units]
                down = LineLoad(
                    on=Target(member=name), direction="down", value=value, start=stretch.start, end=stretch.end
                )
                stick = fates[name].stick
                yield from _at_joints(truss, stick, stretch, _lumps(truss, stick, down), load.notes)


def _weight_per_length(truss: Truss, name: MemberId) -> float:
    """The weight of a stick in force per length, zero where it is not known."""
    section, material = truss.section_of(name), truss.material_of(name)
    area = None if section is None else section.gross_area
    density = None if material is None else material.density
    return (area or 0.0) * (density or 0.0) * WEIGHT_DENSITY[truss.units]


def _place(truss: Truss, fate: Fate, at: JointId | float) -> float:
    if isinstance(at, str):
        return fate.stick.places[truss.members[fate.stick.name].through.index(at)]
    return at


def _lumps(truss: Truss, stick: Stick, load: LineLoad) -> list[Lump]:
    """Forces that stand for a load whose places are numbers: alike in their resultant and their levers."""
    start, end = (at for at in (load.start, load.end) if isinstance(at, float))
    values = load.value if isinstance(load.value, tuple) else (load.value, load.value)
    lumps = []
    for segment, (low, high) in zip(stick.segments, pairwise(stick.places), strict=True):
        first, last = max(low, start), min(high, end)
        arc = segment_arc(truss, segment)
        steps = 1 if arc is None else ceil(abs(arc.sweep) / ARC_STEP)
        for step in range(steps) if first < last else ():
            width = (last - first) / steps
            for root, weight in GAUSS:
                at = first + width * (step + (1 + root) / 2)
                x, y = _tangent(truss, segment, (at - low) / (high - low))
                size = values[0] + (values[1] - values[0]) * (at - start) / (end - start)
                size *= LINE_LOAD[truss.units] * weight * width * (abs(x) if load.per == "plan" else 1.0)
                along = {"down": (0.0, -1.0), "right": (1.0, 0.0), "across": (-y, x)}[load.direction]
                lumps.append(Lump(at, size * along[0], size * along[1]))
    return lumps


def _tangent(truss: Truss, segment: Segment, part: float) -> tuple[float, float]:
    """The unit vector along a segment at a part of its length."""
    arc = segment_arc(truss, segment)
    if arc is None:
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        x, y = last.x - first.x, last.y - first.y
        return x / hypot(x, y), y / hypot(x, y)
    angle = arc.start + part * arc.sweep
    way = 1.0 if arc.sweep > 0 else -1.0
    return -way * sin(angle), way * cos(angle)


def _at_joints(
    truss: Truss, stick: Stick, stretch: Stretch, lumps: list[Lump], notes: Notes | None
) -> Iterator[JointLoad]:
    """Forces on a stretch where nothing stands, as forces at joints."""
    sums: dict[JointId, tuple[float, float]] = {}
    for lump in lumps:
        for joint, share in _shares(truss, stick, stretch, lump.place):
            x, y = sums.get(joint, (0.0, 0.0))
            sums[joint] = (x + share * lump.fx, y + share * lump.fy)
    for joint, (x, y) in sums.items():
        yield JointLoad(joint=joint, fx=x, fy=y, notes=notes)


def _shares(truss: Truss, stick: Stick, stretch: Stretch, place: float) -> list[tuple[JointId, float]]:
    """The joints that a force at a place goes to, with their shares."""
    if stretch.onto is not None:
        return [(stretch.onto, 1.0)]
    segment = stick.segments[min(bisect_right(stick.places, place), len(stick.segments)) - 1]
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    x, y = point_on(truss, stick, place)
    dx, dy = last.x - first.x, last.y - first.y
    share = ((x - first.x) * dx + (y - first.y) * dy) / (dx**2 + dy**2)
    return [(segment.first, 1.0 - share), (segment.last, share)]
