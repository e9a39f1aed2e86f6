"""The loads of a truss brought to its segments and joints.

Terms: a *patch* is a load that varies linearly along part of one segment, a *point* a force at one place of it; a
place is a distance along the axis from the segment's first joint. A *strain* is what lack of fit and warmth would
do to a segment that is free. Everything is in base units here: line loads and densities are converted on entry.
Shapes: m segments, n movements, c load cases.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.properties import pointer
from trussio.analysis.sticks import place_on, segments_of, sticks, targets
from trussio.errors import CannotAnalyseError
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, SupportMovement, Warmer
from trussio.units import LINE_LOAD, WEIGHT_DENSITY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.analysis.arrays import Floats
    from trussio.analysis.lines import Lines
    from trussio.analysis.sticks import Sticks
    from trussio.model.idealised import Idealised
    from trussio.model.loading import Load, RunId
    from trussio.model.truss import MemberId, Truss


class Patch(NamedTuple):
    """A load from `start` to `end` along a segment, in force per length; `plan` means per horizontal length."""

    case: int
    segment: int
    start: float
    end: float
    at_start: float
    at_end: float
    direction: str
    plan: bool


class Point(NamedTuple):
    """A force on a segment between its joints."""

    case: int
    segment: int
    place: float
    fx: float
    fy: float


class Applied(NamedTuple):
    """What the cases do.

    `forces` (n, c) act at the movements, `patches` and `points` between joints; `strains` (m, c) lengthen what is
    free; `ground` (joints, 3, c) moves under the supports in x, y and turn.
    """

    forces: Floats
    patches: list[Patch]
    points: list[Point]
    strains: Floats
    ground: Floats


def applied(truss: Truss, ideal: Idealised, shape: Lines, cases: list[RunId]) -> Applied:
    """What some cases put on the truss; movements are two to a joint, then the rotations.

    Raises CannotAnalyseError where a load cannot be evaluated.
    """
    among = sticks(truss, ideal, shape)
    count, joints = len(cases), len(truss.joints)
    made = Applied(
        forces=np.zeros((2 * joints + len(ideal.rotations), count)),
        patches=[],
        points=[],
        strains=np.zeros((len(shape.chord), count)),
        ground=np.zeros((joints, 3, count)),
    )
    for number, case in enumerate(cases):
        for index, load in enumerate(truss.loads.cases[case].loads):
            _add(among, made, number, load, pointer("loads", "cases", case, "loads", index))
    return made


def _add(among: Sticks, made: Applied, case: int, load: Load, where: str) -> None:
    match load:
        case JointLoad():
            _add_joint_load(among, made, case, load, where)
        case LineLoad():
            made.patches.extend(_line(among, case, load, where))
        case PointLoad():
            _add_point(among, made, case, load, where)
        case SelfWeight():
            made.patches.extend(_weight(among, case, load, where))
        case SupportMovement():
            _add_ground(among, made, case, load, where)
        case Longer():
            for name in targets(among.truss, load.on):
                made.strains[segments_of(among, name), case] += load.by / among.places[name][-1]
        case Warmer():
            for name in targets(among.truss, load.on):
                expansion = _stated(among.truss, name, "expansion", where)
                made.strains[segments_of(among, name), case] += expansion * load.by


def _add_joint_load(among: Sticks, made: Applied, case: int, load: JointLoad, where: str) -> None:
    joint = among.joints[load.joint]
    made.forces[2 * joint, case] += load.fx
    made.forces[2 * joint + 1, case] += load.fy
    if not load.moment:
        return
    if load.joint not in among.turns:
        raise CannotAnalyseError(
            "moment-on-hinge",
            where=f"{where}/moment",
            what=f"a moment acts on {load.joint}, where nothing shares the joint's rotation.",
            do="Give the pair of forces that makes it, or say which stick runs through or is fixed there.",
        )
    made.forces[among.turns[load.joint], case] += load.moment


def _add_point(among: Sticks, made: Applied, case: int, load: PointLoad, where: str) -> None:
    for name in targets(among.truss, load.on):
        places = among.places[name]
        at = place_on(among, name, load.at, where)
        index = min(bisect_right(places, at), len(places) - 1) - 1
        if at in (places[index], places[index + 1]):
            joint = among.joints[among.truss.members[name].through[index + (at == places[index + 1])]]
            made.forces[2 * joint, case] += load.fx
            made.forces[2 * joint + 1, case] += load.fy
        else:
            segment = among.first[name] + index
            made.points.append(Point(case, segment, at - places[index], load.fx, load.fy))


def _add_ground(among: Sticks, made: Applied, case: int, load: SupportMovement, where: str) -> None:
    support = among.truss.supports.get(load.support)
    inclined = support is not None and any(isinstance(hold, tuple) for hold in support.holds)
    for direction, size in load.moves.items():
        held = support is not None and (direction in support.holds or direction in support.springs)
        if not held and not (inclined and direction != "turn"):
            raise CannotAnalyseError(
                "movement-not-held",
                where=f"{where}/moves/{direction}",
                what=f"the bearing at {load.support} is moved in {direction}, which it does not hold.",
                do="Move only what is held; say what the bearing holds if this is wrong.",
            )
        made.ground[among.joints[load.support], ("x", "y", "turn").index(direction), case] += size


def _line(among: Sticks, case: int, load: LineLoad, where: str) -> Iterator[Patch]:
    """The patches of a load along sticks, one to each segment that it reaches."""
    if load.direction == "across" and load.per == "plan":
        raise CannotAnalyseError(
            "plan-load-across",
            where=f"{where}/per",
            what="a load across a stick is given per plan length, which has no meaning.",
            do="Give it per length of the stick (`slope`), or as `down` or `right`.",
        )
    factor = LINE_LOAD[among.truss.units]
    values = load.value if isinstance(load.value, tuple) else (load.value, load.value)
    for name in targets(among.truss, load.on):
        places = among.places[name]
        start = 0.0 if load.start is None else place_on(among, name, load.start, where)
        end = places[-1] if load.end is None else place_on(among, name, load.end, where)
        (start, first), (end, last) = sorted(((start, values[0] * factor), (end, values[1] * factor)))
        yield from _cut(among, name, Patch(case, 0, start, end, first, last, load.direction, load.per == "plan"))


def _weight(among: Sticks, case: int, load: SelfWeight, where: str) -> Iterator[Patch]:
    truss = among.truss
    for name in truss.members if load.of == "all" else load.of:
        section = truss.section_of(name)
        area = None if section is None else section.gross_area
        density = _stated(truss, name, "density", where)
        weight = density * WEIGHT_DENSITY[truss.units] * (area or 0.0)
        end = among.places[name][-1]
        yield from _cut(among, name, Patch(case, 0, 0.0, end, weight, weight, "down", plan=False))


def _cut(among: Sticks, name: MemberId, whole: Patch) -> Iterator[Patch]:
    """A load along a stick cut at its joints, so that each part lies on one segment."""
    if not whole.start < whole.end:
        return
    case, _, begins, ends, at_start, at_end, direction, plan = whole
    rise = (at_end - at_start) / (ends - begins)
    for segment, (first, last) in enumerate(pairwise(among.places[name]), start=among.first[name]):
        start, end = max(first, begins), min(last, ends)
        if start < end:
            values = at_start + rise * (start - begins), at_end + rise * (end - ends)
            yield Patch(case, segment, start - first, end - first, *values, direction, plan)


def _stated(truss: Truss, name: MemberId, what: str, where: str) -> float:
    """Density or expansion of a member's material."""
    material = truss.material_of(name)
    value = None if material is None else material.density if what == "density" else material.expansion
    if value is None:
        named = truss.members[name].material
        place = pointer("members", name, "material") if named is None else pointer("materials", named)
        raise CannotAnalyseError(
            "weight-without-density" if what == "density" else "warmth-without-expansion",
            where=place,
            what=f"the load {where} asks for the {what} of {name}, whose material does not state it.",
            do=f"State the {what}, or leave {name} out of the load.",
        )
    return value
