"""The pieces round the fasteners of a connection under one run: wood torn out, steel plates, shear at the joint.

A stick that runs through is sheared where the others push across its grain: by the shear that it has beside the
joint, and where other connections stand at the same joint also by all that this one brings across it, since what
one pushes the next may take up. Inches, lbf.
Source: NDS-2018 3.4.3.3 and Appendix E, as marked by the parts; that all of a push may be shear is an own reading.
"""

from __future__ import annotations

from math import cos, hypot, radians, sin
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.model.truss import MemberId
from trussio.timber.bending import shear_at_connection_value
from trussio.timber.fastened import RINGS, edges, towards_end
from trussio.timber.joints import angle_between
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND
from trussio.timber.torn import BUCKLES, STEEL, Local, held, local_values
from trussio.timber.working import STATICS, derived, not_evaluated, set_against

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.model.check import Check
    from trussio.model.truss import JointId
    from trussio.timber.bench import Bench, State
    from trussio.timber.fastened import Group
    from trussio.timber.joints import End, Layer, Vector

LITTLE: Final = 0.02
"""Part of a layer's force across the grain of a stick that ends here, below which it is none."""
COMPRESSED: Final = Local("buckling of the steel plate", STEEL, along=False, value=None, reason=BUCKLES)
CROSSES: Final = "as if all that this connection brings across the grain were shear of the stick"


class Around(NamedTuple):
    """A connection at a joint: its layers, fasteners and measured hole (in), and whether no other stands there.

    `key` tells it from others, `closings` are the ways in which its forces may close. `twins` names for each layer
    an earlier one that holds in the same way, itself where there is none.
    """

    key: str
    joint: JointId
    layers: Sequence[Layer]
    ends: Mapping[MemberId, Sequence[End]]
    group: Group
    hole: float | None
    alone: bool
    closings: Sequence[tuple[int, ...]]
    twins: Sequence[int]


def twins(layers: Sequence[Layer], group: Group) -> list[int]:
    """For each layer the first that is like it but for the number of its ply."""
    alike = [layer._replace(piece=layer.piece._replace(ply=None)) for layer in layers]
    if group.kind not in ("bolt", *RINGS):  # the last layer holds the point, which reaches only so far
        return list(range(len(layers)))
    return [alike.index(layer) for layer in alike]


def wood_checks(bench: Bench, at: Around, forces: Sequence[Vector], state: State, of: Subject) -> Iterator[Check]:
    """Every check of the pieces for the force that each layer has on the fasteners."""
    CD = bench.durations[state.kinds].value
    for i, (layer, own) in enumerate(zip(at.layers, forces, strict=True)):
        size = hypot(*own)
        if size <= FLOOR or (at.twins[i] != i and forces[at.twins[i]] == own):
            continue
        if layer.grain is None and not _pulled(at.layers, forces):
            yield _check(
                Local("buckling of the steel plate", STEEL, along=False, value=None, reason=BUCKLES), size, of
            )
            continue
        to_end = towards_end(layer, own)
        key = (at.key, i, to_end, CD)
        if key not in bench.wood:
            reached = held(at.layers, i, at.group)
            bench.wood[key] = tuple(
                local_values(
                    bench,
                    reached,
                    at.group,
                    state,
                    to_end=to_end,
                    faces=2 if 0 < i < len(at.layers) - 1 else 1,
                    hole=at.hole,
                )
            )
        for local in bench.wood[key]:
            yield _check(local, local.force(layer, own), of)
        if layer.member is not None and layer.grain is not None:
            yield from _sheared(bench, at, (i, own), state, of)


def _check(local: Local, force: float, of: Subject) -> Check:
    demand = derived("force", force, "lbf", "force of the piece on its fasteners", "", source=STATICS)
    if local.value is None:
        return not_evaluated(
            what=local.what, clause=local.clause, of=of, demand=demand, unit="lbf", reason=local.reason
        )
    return set_against(
        what=local.what, clause=local.clause, demand=demand, capacity=local.value, unit="lbf", of=of
    )


def _pulled(layers: Sequence[Layer], forces: Sequence[Vector]) -> bool:
    """Whether the sticks that end here pull on the fasteners more than they push."""
    along = [
        own[0] * layer.inward[0] + own[1] * layer.inward[1]
        for layer, own in zip(layers, forces, strict=True)
        if layer.member is not None and layer.inward is not None
    ]
    return sum(along) > 0


def _sheared(bench: Bench, at: Around, on: tuple[int, Vector], state: State, of: Subject) -> Iterator[Check]:
    """Shear of a stick at the joint, by the depth from its loaded edge to the farthest fastener."""
    i, own = on
    layer = at.layers[i]
    if layer.member is None or layer.grain is None or layer.depth is None:
        return
    across = own[0] * layer.grain[1] - own[1] * layer.grain[0]
    if abs(across) <= LITTLE * hypot(*own) + FLOOR:
        return
    beside = max(abs(bench.forces(state.run, end.segment.id).shear[end.last]) for end in at.ends[layer.member]) * (
        POUND[bench.truss.units] / layer.plies
    )
    force = max(beside, 0.0 if at.alone else abs(across))
    if force <= FLOOR:
        return
    key = (at.key, i, "shear", across > 0, bench.durations[state.kinds].value)
    if key not in bench.wood:
        bench.wood[key] = (_shear_value(bench, at, layer, own, state),)
    told = Subject(of.element, of.run, of.grade, (*of.remarks, CROSSES)) if force > beside else of
    yield _check(bench.wood[key][0], force, told)


def _shear_value(bench: Bench, at: Around, layer: Layer, own: Vector, state: State) -> Local:
    """What a stick carries in shear at the joint, or why that is not known."""
    what = f"shear at the connection in {layer.name}"
    try:
        value, clause = shear_at_connection_value(
            width=layer.thickness,
            depth=layer.depth or 0.0,
            effective_depth=min(layer.depth or 0.0, _effective_depth(at, layer, own)),
            distance_from_end=_to_end(bench, at, layer),
            Fv=bench.value(layer.member or MemberId(""), "Fv", state),
        )
    except UsageError as fault:
        return Local(what, "NDS-2018 3.4.3.3", along=False, value=None, reason=str(fault))
    return Local(what, clause, along=False, value=value)


def _effective_depth(at: Around, layer: Layer, own: Vector) -> float:
    """From the loaded edge to the farthest fastener, or the edge of its ring."""
    ring = (at.group.connector or 0.0) / 2
    if layer.piece.upper_edge is not None and layer.piece.lower_edge is not None and layer.depth is not None:
        return layer.depth - edges(layer, own)[1] + ring
    return edges(layer, own)[0] + _spread(at, layer) + ring  # the nearer edge may be the loaded one


def _spread(at: Around, layer: Layer) -> float:
    """How far the group reaches across the grain of a stick; its rows run along the first stick that ends here."""
    group = at.group
    if group.number == 1 or layer.grain is None:
        return 0.0
    rows = next((one.grain for one in at.layers if one.inward is not None and one.grain), layer.grain)
    turn = radians(angle_between(rows, layer.grain))
    along, over = (group.in_row - 1) * (group.spacing or 0.0), (group.rows - 1) * (group.gauge or 0.0)
    return along * sin(turn) + over * cos(turn)


def _to_end(bench: Bench, at: Around, layer: Layer) -> float:
    """From the joint to the nearer end of the stick (in)."""
    if layer.inward is not None or layer.member is None:
        return layer.piece.end or 0.0
    key = (layer.member, at.joint)
    if key not in bench.to_end:
        place = bench.truss.members[layer.member].through.index(at.joint)
        panels = [bench.lengths[one.id].panel for one in bench.truss.segments if one.member == layer.member]
        bench.to_end[key] = min(sum(panels[:place]), sum(panels[place:])) * INCH[bench.truss.units]
    return bench.to_end[key]
