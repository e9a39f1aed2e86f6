"""What one piece may carry round the fasteners in it: rows and groups torn out of wood, plates of steel.

Forces are those of one layer, in lbf; the wood holds along its grain towards its own end, a steel plate on the
section across its fasteners. What the document does not give leaves the value open and says what to enter.
Source: NDS-2018 Appendix E (not mandatory) as marked by `wood_failure`; AISC 360 D2 and J3.10 with factors 1.67
and 2 for steel, from memory.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.model.material import Section
from trussio.timber.design_values import adjusted_value
from trussio.timber.fastened import RINGS, ring_name
from trussio.timber.net_section import connector_area
from trussio.timber.stock import PSI, stock_of
from trussio.timber.wood_failure import all_rows, connector_row_tear_out, group_tear_out, row_tear_out
from trussio.timber.working import STATED, derived, stated

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.check import Derivation
    from trussio.timber.bench import Bench, State
    from trussio.timber.fastened import Group
    from trussio.timber.joints import Layer, Vector

SMALL: Final = 0.25
"""Fasteners below this diameter (in) tear no row out."""
OVERSIZE: Final = 1 / 16
STEEL: Final = "AISC 360 D2, J3.10"
YIELD: Final = 0.6
RUPTURE: Final = 0.5
BUCKLES: Final = "the plate is compressed: whether it buckles between its fasteners is open"


class Local(NamedTuple):
    """One way in which a layer gives way: what it is in words, by which clause, and its value (lbf) or why none.

    `along` says that it stands against the part of the layer's force along its grain, else against all of it.
    """

    what: str
    clause: str
    along: bool
    value: Derivation | None
    reason: str = ""

    def force(self, layer: Layer, own: Vector) -> float:
        """What it stands against (lbf)."""
        if not self.along or layer.grain is None:
            return hypot(*own)
        return abs(own[0] * layer.grain[0] + own[1] * layer.grain[1])


def held(layers: Sequence[Layer], i: int, group: Group) -> Layer:
    """A layer with the wood that its fasteners reach: a screw or nail goes into the last one only so far."""
    layer = layers[i]
    if group.kind in ("bolt", *RINGS) or group.length is None or i == 0:
        return layer
    reached = max(0.0, group.length - sum(one.thickness for one in layers[:i]))
    return layer._replace(thickness=min(layer.thickness, reached))


def local_values(
    bench: Bench, layer: Layer, group: Group, state: State, *, to_end: bool, faces: int, hole: float | None = None
) -> Iterator[Local]:
    """Every way in which a layer may give way round a group; `to_end` says that they push towards its end.

    `faces` is on how many faces of the layer rings or shear plates sit.
    """
    drilled = group.diameter + OVERSIZE if hole is None else hole
    if layer.grain is None:
        yield from _steel(bench, layer, group, drilled)
    elif layer.inward is not None and to_end and group.diameter >= SMALL:
        yield from _wood(bench, layer, group, (drilled, faces), state)


def _wood(bench: Bench, layer: Layer, group: Group, cut: tuple[float, int], state: State) -> Iterator[Local]:
    hole, faces = cut
    clause = "NDS-2018 E.7, E.4" if group.kind in RINGS else "NDS-2018 E.3, E.4"
    try:

        def value(symbol: str) -> Derivation:
            if layer.member is not None:
                return bench.value(layer.member, symbol, state)
            return _value_of_plate(bench, layer, symbol, state)

        row = _row(layer, group, value("Fv"), faces)
        yield Local(f"row tear-out of {layer.name}", clause, along=True, value=all_rows([row] * group.rows))
        if group.rows > 1 and group.gauge is not None:
            taken = hole * layer.thickness
            if group.kind in RINGS:
                taken = connector_area(ring_name(group), faces=faces, thickness=layer.thickness).value
            between = max(0.0, (group.rows - 1) * (group.gauge * layer.thickness - taken))
            torn = group_tear_out(first=row, last=row, Ft=value("Ft"), net_between=between)
            yield Local(f"group tear-out of {layer.name}", clause, along=True, value=torn)
    except UsageError as fault:
        yield Local(f"row tear-out of {layer.name}", clause, along=True, value=None, reason=str(fault))


def _row(layer: Layer, group: Group, Fv: Derivation, faces: int) -> Derivation:
    """One row of a group torn out of a layer."""
    end = 0.0 if layer.piece.end is None else layer.piece.end
    if group.kind in RINGS:
        return connector_row_tear_out(
            Fv=Fv,
            connector=ring_name(group),
            faces=faces,
            thickness=layer.thickness,
            in_row=group.in_row,
            end=end,
            spacing=group.spacing,
        )
    return row_tear_out(Fv=Fv, thickness=layer.thickness, in_row=group.in_row, end=end, spacing=group.spacing)


def _value_of_plate(bench: Bench, layer: Layer, symbol: str, state: State) -> Derivation:
    """An adjusted value of a wooden plate. Raises UsageError that names what is missing."""
    piece, truss = layer.piece, bench.truss
    material = None if piece.material is None else truss.materials[piece.material]
    stock = stock_of(Section(width=piece.thickness, depth=piece.depth), material, truss.units)
    sizes = sorted((stock.breadth, stock.depth))
    return adjusted_value(stock.values, symbol, use=bench.use(state), thickness=sizes[0], width=sizes[1])


def _steel(bench: Bench, layer: Layer, group: Group, hole: float) -> Iterator[Local]:
    """A steel plate in tension: its gross and net section, and the steel beyond the last bolts."""
    piece, psi = layer.piece, PSI[bench.truss.units]
    Fu = stated("Fu", (piece.Fu or 0.0) * psi, "psi", STATED)
    t, d = layer.thickness, group.diameter
    if layer.depth is None:
        reason = "enter the depth of the plate across its fasteners"
        yield Local("net section of the steel plate", STEEL, along=False, value=None, reason=reason)
    else:
        left = max(0.0, layer.depth - group.rows * (hole + OVERSIZE)) * t
        net = derived("A_net", left, "in2", f"(depth - {group.rows} (hole + 1/16)) t", STEEL)
        value = derived("P net", RUPTURE * Fu.value * left, "lbf", "0.5 Fu A_net", STEEL, Fu, net)
        yield Local("net section of the steel plate", STEEL, along=False, value=value)
        if piece.Fy is None:
            reason = "enter the yield strength Fy of the plate"
            yield Local("yield of the steel plate", STEEL, along=False, value=None, reason=reason)
        else:
            gross, Fy = layer.depth * t, stated("Fy", piece.Fy * psi, "psi", STATED)
            value = derived("P gross", YIELD * Fy.value * gross, "lbf", "0.6 Fy depth t", STEEL, Fy)
            yield Local("yield of the steel plate", STEEL, along=False, value=value)
    if piece.end is None:
        yield Local(
            "end of the steel plate", STEEL, along=False, value=None, reason="enter the end distance of the plate"
        )
        return
    clear = [piece.end - hole / 2, *[(group.spacing or 0.0) - hole] * (group.in_row - 1)]
    each = [min(1.2 * max(0.0, lc), 2.4 * d) * t * Fu.value * RUPTURE for lc in clear]
    formula = f"{group.rows} rows of the lesser of 1.2 lc and 2.4 D, each t Fu / 2"
    value = derived("P end", group.rows * sum(each), "lbf", formula, STEEL, Fu)
    yield Local("end of the steel plate", STEEL, along=False, value=value)
