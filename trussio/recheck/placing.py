"""Where each load of a case goes, read from the document: to a joint, along a segment or at a place on it.

Signs: loads right and up; `down` is positive downwards, `across` towards the local +y of the axis at each point.
A pair of values runs linearly along the stick's length from `start` to `end`; `per` `plan` multiplies by the
cosine of the slope at each point, so that a vertical piece gets nothing. Values come out in force per base length.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import CannotAnalyseError
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, SupportMovement, Warmer
from trussio.units import LINE_LOAD, WEIGHT_DENSITY

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.loading import RunId, Target
    from trussio.model.truss import Direction, JointId, MemberId, Truss
    from trussio.recheck.axes import Axes
    from trussio.recheck.equilibrium import Turn

DOWN: Final = 0
RIGHT: Final = 1
ACROSS: Final = 2
PER_PLAN: Final = 4
"""Added to the direction of a piece whose value counts the horizontal projection."""
TOUCHING: Final = 1e-9
"""Part of a segment's length within which a place counts as its joint."""
BEYOND: Final = 1e-6
"""Part of a stick's length by which a place may pass its end and still mean it; drawings are rounded."""


class Placed(NamedTuple):
    """The loads of some cases, each entry beginning with the number of its case.

    `joints`: (case, equation, value). `pieces`: (case, segment, from, to, value at from, value at to, kind) and
    `points`: (case, segment, at, fx, fy), places measured along the segment from its first joint.
    `strains`: (case, segment, what would lengthen it if it were free, per length). `moves`: (case, joint,
    direction, movement of the support).
    """

    joints: list[tuple[int, int, float]]
    pieces: list[tuple[int, int, float, float, float, float, int]]
    points: list[tuple[int, int, float, float, float]]
    strains: list[tuple[int, int, float]]
    moves: list[tuple[int, JointId, Direction, float]]


class _Site(NamedTuple):
    """The truss as loads see it: the number of each joint, and of the segments of each stick in order."""

    truss: Truss
    number: Mapping[JointId, int]
    segments: Mapping[MemberId, Sequence[int]]
    begins: Sequence[float]
    length: Sequence[float]
    stick: Mapping[MemberId, float]
    turns: Mapping[Turn, int]


def place(truss: Truss, axes: Axes, turns: Mapping[Turn, int], cases: Sequence[RunId]) -> Placed:
    """Every load of the cases.

    Raises CannotAnalyseError `load`, naming the load, when it cannot be evaluated: a moment where nothing shares
    the joint's rotation, a place off the stick, a weight without density, warmth without expansion.
    """
    segments: dict[MemberId, list[int]] = {}
    for index, segment in enumerate(truss.segments):
        segments.setdefault(segment.member, []).append(index)
    site = _Site(
        truss=truss,
        number={joint: index for index, joint in enumerate(truss.joints)},
        segments=segments,
        begins=axes.begins.tolist(),
        length=axes.length.tolist(),
        stick=axes.stick,
        turns=turns,
    )
    placed = Placed([], [], [], [], [])
    for case, name in enumerate(cases):
        for index, load in enumerate(truss.loads.cases[name].loads):
            where = f"/loads/cases/{name}/loads/{index}"
            match load:
                case JointLoad():
                    _at_joint(placed, site, case, load, where)
                case LineLoad():
                    _along(placed, site, case, load, where)
                case PointLoad():
                    _at_point(placed, site, case, load, where)
                case SelfWeight():
                    _weight(placed, site, case, load, where)
                case SupportMovement():
                    _move(placed, site, case, load, where)
                case Longer() | Warmer():
                    _strain(placed, site, case, load, where)
    return placed


def _at_joint(placed: Placed, site: _Site, case: int, load: JointLoad, where: str) -> None:
    row = 2 * site.number[load.joint]
    placed.joints.extend([(case, row, load.fx), (case, row + 1, load.fy)])
    if load.moment:
        turn = site.turns.get((load.joint, None))
        if turn is None:
            raise _refused(where, f"no stick turns with {load.joint}, so that nothing takes its moment.")
        placed.joints.append((case, turn, load.moment))


def _along(placed: Placed, site: _Site, case: int, load: LineLoad, where: str) -> None:
    kind = {"down": DOWN, "right": RIGHT, "across": ACROSS}[load.direction]
    if load.per == "plan":
        if kind == ACROSS:
            raise _refused(where, "it acts across a stick and is given per plan length.")
        kind += PER_PLAN
    first, last = load.value if isinstance(load.value, tuple) else (load.value, load.value)
    unit = LINE_LOAD[site.truss.units]
    for stick in _sticks(site, load.on):
        start = _position(site, stick, load.start, 0.0, where)
        end = _position(site, stick, load.end, site.stick[stick], where)
        if end > start:
            _lay(placed, site, case, stick, (start, end, first * unit, last * unit, kind))


def _weight(placed: Placed, site: _Site, case: int, load: SelfWeight, where: str) -> None:
    for stick in site.truss.members if load.of == "all" else load.of:
        section, material = site.truss.section_of(stick), site.truss.material_of(stick)
        area = None if section is None else section.gross_area
        density = None if material is None else material.density
        if area is None or density is None:
            lacking = "area" if area is None else "density"
            raise _refused(where, f"{stick} has no {lacking}, so that its weight is not known.")
        value = area * density * WEIGHT_DENSITY[site.truss.units]
        _lay(placed, site, case, stick, (0.0, site.stick[stick], value, value, DOWN))


def _lay(
    placed: Placed, site: _Site, case: int, stick: MemberId, spread: tuple[float, float, float, float, int]
) -> None:
    """A linear value (start, end, value at start, value at end, kind) on each segment that it reaches."""
    start, end, first, last, kind = spread
    slope = (last - first) / (end - start)
    for segment in site.segments[stick]:
        begins, length = site.begins[segment], site.length[segment]
        low = _snapped(start - begins, length)
        high = _snapped(end - begins, length)
        if high > low:
            from_start = begins - start
            at_low, at_high = first + slope * (from_start + low), first + slope * (from_start + high)
            placed.pieces.append((case, segment, low, high, at_low, at_high, kind))


def _snapped(place: float, length: float) -> float:
    """A place held to a segment, and to its joints when it touches them."""
    if place < TOUCHING * length:
        return 0.0
    return length if place > (1 - TOUCHING) * length else place


def _at_point(placed: Placed, site: _Site, case: int, load: PointLoad, where: str) -> None:
    for stick in _sticks(site, load.on):
        at = _position(site, stick, load.at, 0.0, where)
        for segment in site.segments[stick]:
            length = site.length[segment]
            place = at - site.begins[segment]
            if place < (1 - TOUCHING) * length:
                break
        ends = site.truss.segments[segment]
        joint = {0.0: ends.first, length: ends.last}.get(_snapped(place, length))
        if joint is None:
            placed.points.append((case, segment, place, load.fx, load.fy))
        else:
            row = 2 * site.number[joint]
            placed.joints.extend([(case, row, load.fx), (case, row + 1, load.fy)])


def _strain(placed: Placed, site: _Site, case: int, load: Longer | Warmer, where: str) -> None:
    for stick in _sticks(site, load.on):
        if isinstance(load, Longer):
            strain = load.by / site.stick[stick]
        else:
            material = site.truss.material_of(stick)
            if material is None or material.expansion is None:
                raise _refused(where, f"{stick} has no expansion, so that warmth has no effect known.")
            strain = load.by * material.expansion
        placed.strains.extend((case, segment, strain) for segment in site.segments[stick])


def _move(placed: Placed, site: _Site, case: int, load: SupportMovement, where: str) -> None:
    support = site.truss.supports.get(load.support)
    for name, by in load.moves.items():
        if support is None or not (name in support.holds or name in support.springs):
            raise _refused(where, f"nothing holds {load.support} in {name}, so that nothing moves it.")
        placed.moves.append((case, load.support, name, by))


def _sticks(site: _Site, on: Target) -> list[MemberId]:
    if on.member is not None:
        return [on.member]
    return [name for name, member in site.truss.members.items() if member.role == on.role]


def _position(site: _Site, stick: MemberId, place: JointId | float | None, otherwise: float, where: str) -> float:
    """A place as a length along the stick from its first joint."""
    if place is None:
        return otherwise
    if isinstance(place, str):
        through = site.truss.members[stick].through
        if place not in through:
            raise _refused(where, f"{stick} does not run through {place}.")
        index = through.index(place)
        return site.stick[stick] if index == len(through) - 1 else site.begins[site.segments[stick][index]]
    whole = site.stick[stick]
    if not -BEYOND * whole <= place <= (1 + BEYOND) * whole:
        raise _refused(where, f"{place:g} does not lie on {stick}, which is {whole:g} long.")
    return min(max(place, 0.0), whole)


def _refused(where: str, what: str) -> CannotAnalyseError:
    return CannotAnalyseError("load", where=where, what=f"This load cannot be evaluated: {what}", do="Mend it.")
