"""The sticks that surfaces lie on, and how the loads of each surface reach them.

Loads come along the chord, at its panel points or at purlins: as a surface says (purlins where it names any), or
the same for all where that is asked for. Totals and moments about any point are the same in every way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from trussio.errors import CannotAnalyseError, Fault
from trussio.loads.diagram import between
from trussio.loads.measures import ON_AREA, ON_WIDTH, tidy
from trussio.loads.roof_line import CLOSE, roof_line
from trussio.loads.spreading import (
    Parcel,
    at_joints,
    at_purlins,
    place_at,
    plan_parcels,
    slope_parcels,
    strips,
)
from trussio.model.loading import JointLoad, LineLoad, PointLoad, Target

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from trussio.loads.diagram import Diagram
    from trussio.loads.roof_line import RoofLine
    from trussio.loads.spreading import Strip
    from trussio.model.loading import Load
    from trussio.model.site import Spread, Surface
    from trussio.model.truss import JointId, MemberId, Truss

Way = Literal["chord", "panel-points", "purlins"]


class Chord(NamedTuple):
    """Sticks that form one line, and how loads reach them; `purlins` are x from left to right, both ends included.

    `on_width` makes a line load of an area load, `on_area` a force of one on a base area.
    """

    line: RoofLine
    way: Way
    purlins: tuple[float, ...]
    on_width: float
    on_area: float


def members_of(truss: Truss, surface: Surface) -> tuple[MemberId, ...]:
    """The sticks that a surface lies on."""
    if surface.member is not None:
        return (surface.member,)
    return tuple(name for name, member in truss.members.items() if member.role == surface.role)


def surface_chords(truss: Truss, spacing: float, spread: Spread) -> dict[str, Chord]:
    """The chord of every surface. Raises CannotAnalyseError with the faults of all surfaces."""
    found: dict[str, Chord] = {}
    faults: list[tuple[str, Fault]] = []
    for name, surface in truss.surfaces.items():
        try:
            found[name] = chord_of(truss, name, members_of(truss, surface), spacing, spread)
        except CannotAnalyseError as error:
            faults += [(error.code, fault) for fault in error.faults]
    if faults:
        code, first = faults[0]
        told = tuple(fault for _, fault in faults)
        raise CannotAnalyseError(code, where=first.where, what=first.what, do=first.do, faults=told)
    return found


def chord_of(truss: Truss, name: str, members: Sequence[MemberId], spacing: float, spread: Spread) -> Chord:
    """The chord of one surface, on some of its sticks."""
    where, surface = pointer(name), truss.surfaces[name]
    if not members:
        raise CannotAnalyseError(
            "surface-without-members",
            where=f"{where}/role",
            what=f"no member has the role {surface.role}, so that nothing can lie there.",
            do="Name a role that members have, or give the members their roles.",
        )
    line = roof_line(truss, members, where)
    if spread == "purlins" and surface.purlins is None:
        raise CannotAnalyseError(
            "no-purlins",
            where=where,
            what="loads are to come at purlins, and this surface names none.",
            do='Add "purlins", or leave the choice to the surfaces.',
        )
    stated: Way = "chord" if surface.purlins is None else "purlins"
    return Chord(
        line=line,
        way=stated if spread == "as-stated" else spread,
        purlins=_purlins(truss, name, line),
        on_width=spacing * ON_WIDTH[truss.units],
        on_area=spacing * ON_AREA[truss.units],
    )


def pointer(name: str) -> str:
    """Where a surface stands."""
    return f"/surfaces/{name.replace('~', '~0')}"


def plan_loads(chord: Chord, diagram: Diagram) -> list[Load]:
    """A diagram brought to the sticks."""
    line = chord.line
    part = between(diagram, line.left, line.right)
    if chord.way == "chord":
        return [*_line_loads(chord, part)]
    places = chord.purlins if chord.way == "purlins" else ()
    return _gathered(chord, [*plan_parcels(line, part, places)])


def slope_loads(chord: Chord, load: float, on: Iterable[Target]) -> list[Load]:
    """A load per area of surface; along the chord it stands on the targets named, which cover the chord."""
    if chord.way == "chord":
        value = tidy(load * chord.on_width)
        return [LineLoad(on=target, direction="down", value=value, per="slope") for target in on]
    places = chord.purlins if chord.way == "purlins" else ()
    return _gathered(chord, [*slope_parcels(chord.line, load, places)], upright=load)


def summed(loads: Iterable[Load]) -> tuple[Load, ...]:
    """The loads with those at the same joint, or at the same place of a stick, made one."""
    joints: dict[JointId, float] = {}
    points: dict[tuple[Target, float], float] = {}
    rest: list[Load] = []
    for load in loads:
        if isinstance(load, JointLoad) and load.notes is None:
            joints[load.joint] = joints.get(load.joint, 0.0) + load.fy
        elif isinstance(load, PointLoad) and load.notes is None and not isinstance(load.at, str):
            key = (load.on, load.at)
            points[key] = points.get(key, 0.0) + load.fy
        else:
            rest.append(load)
    return (
        *rest,
        *(JointLoad(joint=joint, fy=tidy(force)) for joint, force in joints.items()),
        *(PointLoad(on=on, at=at, fy=tidy(force)) for (on, at), force in points.items()),
    )


def _gathered(chord: Chord, parcels: list[Parcel], upright: float = 0.0) -> list[Load]:
    """Parcels, and what lies on upright segments, at the joints or purlins."""
    line = chord.line
    if chord.way == "panel-points":
        joints = at_joints(iter(parcels))
        for stick in line.uprights:
            for joint in (stick.first, stick.last):
                joints[joint] = joints.get(joint, 0.0) + upright * stick.length / 2
        return [_down(joint, force * chord.on_area) for joint, force in joints.items() if force]
    parcels += [
        Parcel(line.piece_at(stick.x), stick.x, stick.x, upright * stick.length, 0.0) for stick in line.uprights
    ]
    forces = at_purlins(iter(parcels), chord.purlins)
    made: list[Load] = []
    for x, force in zip(chord.purlins, forces, strict=True):
        place = place_at(line, x)
        if place.joint is not None:
            made.append(_down(place.joint, force * chord.on_area))
        else:
            target, down = Target(member=place.member), -force * chord.on_area
            made.append(PointLoad(on=target, at=tidy(place.along), fy=down))
    return [load for load in made if isinstance(load, (JointLoad, PointLoad)) and load.fy]


def _down(joint: JointId, force: float) -> JointLoad:
    return JointLoad(joint=joint, fy=-force)


class _Run(NamedTuple):
    """Strips of one stick that carry one line load together, from the leftmost to the rightmost."""

    first: Strip
    last: Strip


def _line_loads(chord: Chord, diagram: Diagram) -> Iterator[LineLoad]:
    runs: list[_Run] = []
    for strip in strips(chord.line, diagram):
        if runs and _continues(runs[-1].last, strip):
            runs[-1] = _Run(runs[-1].first, strip)
        else:
            runs.append(_Run(strip, strip))
    ends = _stick_ends(chord.line)
    for run in runs:
        yield _line_load(chord, run, ends)


def _continues(before: Strip, after: Strip) -> bool:
    """Whether an even load goes on along the same stick."""
    even = before.first == before.last == after.first == after.last
    joined = before.piece is after.piece or before.piece.right == after.piece.left
    return even and joined and before.piece.member == after.piece.member


def _stick_ends(line: RoofLine) -> Mapping[MemberId, tuple[float, float]]:
    ends: dict[MemberId, tuple[float, float]] = {}
    for piece in line.pieces:
        left, _ = ends.get(piece.member, (piece.x0, piece.x1))
        ends[piece.member] = (left, piece.x1)
    return ends


def _line_load(chord: Chord, run: _Run, ends: Mapping[MemberId, tuple[float, float]]) -> LineLoad:
    """One line load in the direction of its stick; `ends` are the x of each stick's ends."""
    first, last = run
    piece = first.piece
    values = (tidy(first.first * chord.on_width), tidy(last.last * chord.on_width))
    places: tuple[JointId | float | None, ...] = (_place(first, first.x0), _place(last, last.x1))
    if not piece.forward:
        values, places = values[::-1], places[::-1]
    if (first.x0, last.x1) == ends[piece.member] and not chord.line.uprights:
        places = (None, None)
    return LineLoad(
        on=Target(member=piece.member),
        direction="down",
        value=values[0] if values[0] == values[1] else values,
        start=places[0],
        end=places[1],
        per="plan",
    )


def _place(strip: Strip, x: float) -> JointId | float:
    joint = strip.piece.joint_at(x)
    return tidy(strip.piece.along(x)) if joint is None else joint


def _purlins(truss: Truss, name: str, line: RoofLine) -> tuple[float, ...]:
    """The places of the purlins from left to right, each once, with both ends of the line."""
    near, found = CLOSE * line.span, [line.left, line.right]
    for index, place in enumerate(truss.surfaces[name].purlins or ()):
        x = truss.joints[place].x if isinstance(place, str) else place
        if not line.left - near <= x <= line.right + near:
            raise CannotAnalyseError(
                "purlin-off-chord",
                where=f"{pointer(name)}/purlins/{index}",
                what=f"a purlin at x = {x:.6g} lies beyond the ends of its sticks, {line.left:.6g} and "
                f"{line.right:.6g}.",
                do="Give x in the plane of the truss, or a joint of the chord.",
            )
        if all(abs(x - other) > near for other in found):
            found.append(x)
    return tuple(sorted(found))
