"""What sticks do to a joint in a run, and which forces cross the fasteners that join them.

Terms: a *layer* is one piece at the fasteners, in inches and psi; the force of a layer is what it does to the
fasteners. Each ply of a stick brings its share of the stick's force; what the others bring is taken up, in equal
shares, by the *closing* layers: the stick named, else the plates, else the stick that runs through. The force in
a *plane* between two layers is the sum of the forces on one side of it. Forces in lbf, x right, y up.
Source: statics.
"""

from __future__ import annotations

from math import atan2, copysign, cos, degrees, hypot, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from trussio.errors import UsageError
from trussio.geometry import off_axis, segment_arc
from trussio.timber.dowel_bearing import specific_gravity, steel_bearing_of
from trussio.timber.european_checks import EuropeanStock, is_european
from trussio.timber.stock import INCH, POUND, PSI, Stock

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.check import Derivation
    from trussio.model.connection import Connection, Piece
    from trussio.model.loading import RunId
    from trussio.model.material import Material
    from trussio.model.truss import JointId, MemberId, Segment, Truss
    from trussio.timber.bench import Bench

Vector = tuple[float, float]
NOTHING_CARRIED = (0.0, 0.0)


class End(NamedTuple):
    """One end of a segment at a joint: 0 its first or 1 its last, and the way that the segment runs there."""

    segment: Segment
    last: int
    along: Vector

    @property
    def inward(self) -> Vector:
        """From the joint into the segment."""
        return (-self.along[0], -self.along[1]) if self.last else self.along


class Layer(NamedTuple):
    """One piece at the fasteners (in, psi; mm, MPa by EN 1995-1-1).

    `grain` is None for steel, `inward` where the stick runs through. `plies` says into how many the stick's force
    is shared. Wood has G, or by EN 1995-1-1 `rho_k` and `fc90k`.
    """

    name: str
    piece: Piece
    member: MemberId | None
    thickness: float
    depth: float | None
    grain: Vector | None
    inward: Vector | None
    plies: int
    G: float | None
    E: float
    Fe: Derivation | None
    rho_k: float | None = None
    fc90k: float | None = None


def ends_at(truss: Truss) -> dict[tuple[MemberId, JointId], list[End]]:
    """The ends of segments by stick and joint."""
    found: dict[tuple[MemberId, JointId], list[End]] = {}
    for segment in truss.segments:
        for last, joint in enumerate((segment.first, segment.last)):
            found.setdefault((segment.member, joint), []).append(End(segment, last, _along(truss, segment, last)))
    return found


def _along(truss: Truss, segment: Segment, last: int) -> Vector:
    arc = segment_arc(truss, segment)
    if arc is None:
        first, other = truss.joints[segment.first], truss.joints[segment.last]
        length = hypot(other.x - first.x, other.y - first.y)
        return ((other.x - first.x) / length, (other.y - first.y) / length)
    angle = arc.start + last * arc.sweep + copysign(pi / 2, arc.sweep)
    return (cos(angle), sin(angle))


def force_on_joint(bench: Bench, run: RunId, ends: Sequence[End]) -> Vector:
    """What some ends of segments do to their joint (lbf), with what tendons do to the sticks that they bear on."""
    x = y = 0.0
    for end in ends:
        forces = bench.forces(run, end.segment.id)
        sign = -1.0 if end.last else 1.0
        N, V = sign * forces.axial_ends[end.last], -sign * forces.shear[end.last]
        x += N * end.along[0] - V * end.along[1]
        y += N * end.along[1] + V * end.along[0]
    if bench.truss.tendons:
        for member, joint in dict.fromkeys((end.segment.member, _joint_of(end)) for end in ends):
            pull = _tendon_pull(bench, run, member, joint)
            x, y = x + pull[0], y + pull[1]
    pound = POUND[bench.truss.units]
    return (x * pound, y * pound)


def _joint_of(end: End) -> JointId:
    return end.segment.last if end.last else end.segment.first


def _tendon_pull(bench: Bench, run: RunId, member: MemberId, joint: JointId) -> Vector:
    """What tendons do to a stick that they bear on at a joint, which the stick hands on besides its own force."""
    truss, x, y = bench.truss, 0.0, 0.0
    for name, legs in bench.results.runs[run].tendons.items():
        path = truss.tendons[name].path
        places = [
            (truss.joints[p.joint].x + arm[0], truss.joints[p.joint].y + arm[1])
            for p in path
            for arm in [(0.0, 0.0) if p.bears_on is None else off_axis(truss, p.bears_on, p.joint, p.offset)]
        ]
        for index, point in enumerate(path):
            if (point.bears_on, point.joint) != (member, joint):
                continue
            for leg, other in ((index - 1, index - 1), (index, index + 1)):
                if 0 <= leg < len(legs):
                    dx, dy = places[other][0] - places[index][0], places[other][1] - places[index][1]
                    x, y = x + legs[leg] * dx / hypot(dx, dy), y + legs[leg] * dy / hypot(dx, dy)
    return (x, y)


def grain_of_plates(ends: Mapping[MemberId, Sequence[End]]) -> Vector:
    """The way the grain of wooden plates runs: along the first stick that ends here, or else the first.

    Raises UsageError where there is none.
    """
    first = next((name for name, found in ends.items() if len(found) == 1), next(iter(ends), None))
    if first is None:
        raise UsageError(
            "piece-incomplete", where="pieces", what="no stick is among them.", do="Name the sticks that meet."
        )
    return ends[first][0].inward


def layers_of(bench: Bench, connection: Connection, ends: Mapping[MemberId, Sequence[End]]) -> tuple[Layer, ...]:
    """The layers of a connection. Raises UsageError that names what is missing."""
    axis = grain_of_plates(ends)
    return tuple(
        ply_layer(bench, piece, piece.member, ends[piece.member])
        if piece.member is not None
        else plate_layer(bench.truss, piece, axis)
        for piece in connection.pieces
    )


def ply_layer(bench: Bench, piece: Piece, name: MemberId, ends: Sequence[End]) -> Layer:
    """One ply of a stick with the ends that it has here; it runs through where there are two."""
    stock = bench.stock(name)
    if isinstance(stock, EuropeanStock):
        raise UsageError(
            "other-code",
            where=name,
            what="fasteners of European strength classes are not part of this review.",
            do="Use the functions of eurocode_dowels for this connection.",
        )
    return Layer(
        name=name,
        piece=piece,
        member=name,
        thickness=stock.breadth,
        depth=stock.depth,
        grain=ends[0].along,
        inward=ends[0].inward if len(ends) == 1 else None,
        plies=stock.plies,
        G=_gravity(stock, bench.truss.material_of(name)),
        E=_modulus(stock),
        Fe=None,
    )


def _modulus(stock: Stock) -> float:
    return stock.values.value("E").value


def _gravity(stock: Stock, material: Material | None) -> float:
    if material is not None and material.specific_gravity is not None:
        return material.specific_gravity
    if stock.values.specific_gravity is not None:
        return stock.values.specific_gravity
    return specific_gravity(stock.values.species).value


def plate_layer(truss: Truss, piece: Piece, axis: Vector) -> Layer:
    """A plate; the grain of a wooden one runs along the axis."""
    inch, psi = INCH[truss.units], PSI[truss.units]
    if piece.thickness is None:
        raise _missing("thickness", "of the plate is not given.", "Enter it as measured.")
    depth = None if piece.depth is None else piece.depth * inch
    if piece.plate == "steel":
        if piece.Fu is None:
            raise _missing("Fu", "of the steel plate is not given.", "Enter its tensile strength with its source.")
        Fe = steel_bearing_of(Fu=piece.Fu * psi, hot_rolled=True)
        return Layer("steel plate", piece, None, piece.thickness * inch, depth, None, None, 1, None, 29e6, Fe)
    material = None if piece.material is None else truss.materials[piece.material]
    if material is None or is_european(material):
        raise _missing("material", "of the wooden plate is not given.", "Name a material with its species.")
    G = material.specific_gravity
    if G is None:
        G = specific_gravity(material.species or "").value
    if material.E is None:
        raise _missing("E", "of the wooden plate is not given.", "Enter it in its material.")
    return Layer(
        "wooden plate", piece, None, piece.thickness * inch, depth, axis, axis, 1, G, material.E * psi, None
    )


def _missing(name: str, what: str, do: str) -> UsageError:
    return UsageError("value-missing", where="pieces", what=f"{name} {what}", do=do)


def in_inches(layer: Layer, inch: float) -> Layer:
    """The distances of a layer's piece in inches."""
    piece = layer.piece
    return layer._replace(
        piece=piece._replace(
            end=None if piece.end is None else piece.end * inch,
            edge=None if piece.edge is None else piece.edge * inch,
            upper_edge=None if piece.upper_edge is None else piece.upper_edge * inch,
            lower_edge=None if piece.lower_edge is None else piece.lower_edge * inch,
        )
    )


def closers(layers: Sequence[Layer], into: MemberId | None) -> list[tuple[int, ...]]:
    """The layers that may take up what the others bring: one plain set, or every stick in turn."""
    if into is not None:
        return [tuple(i for i, layer in enumerate(layers) if layer.member == into)]
    plates = tuple(i for i, layer in enumerate(layers) if layer.member is None)
    if plates:
        return [plates]
    names = dict.fromkeys(layer.member for layer in layers if layer.inward is None)
    if not names:
        names = dict.fromkeys(layer.member for layer in layers)
    return [tuple(i for i, layer in enumerate(layers) if layer.member == name) for name in names]


def layer_forces(
    layers: Sequence[Layer], brought: Mapping[MemberId, Vector], closing: Sequence[int]
) -> list[Vector]:
    """The force of each layer on the fasteners, in balance."""
    forces = [
        NOTHING_CARRIED
        if i in closing or layer.member is None
        else (brought[layer.member][0] / layer.plies, brought[layer.member][1] / layer.plies)
        for i, layer in enumerate(layers)
    ]
    share = len(closing)
    rest = (-sum(x for x, _ in forces) / share, -sum(y for _, y in forces) / share)
    return [rest if i in closing else force for i, force in enumerate(forces)]


def plane_forces(forces: Sequence[Vector]) -> list[Vector]:
    """The force that crosses each plane, from head to point."""
    found: list[Vector] = []
    x = y = 0.0
    for force in forces[:-1]:
        x, y = x + force[0], y + force[1]
        found.append((x, y))
    return found


def angle_between(force: Vector, grain: Vector | None) -> float:
    """The acute angle of a force to the grain (degrees); 0 for steel, whole to a millionth of a degree."""
    size = hypot(*force)
    if grain is None or not size:
        return 0.0
    across = abs(force[0] * grain[1] - force[1] * grain[0]) / size
    along = abs(force[0] * grain[0] + force[1] * grain[1]) / size
    return round(degrees(atan2(across, along)), 6)
