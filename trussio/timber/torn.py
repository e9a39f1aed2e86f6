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
from trussio.timber.fastened import RINGS, towards_end
from trussio.timber.stock import PSI, Stock, stock_of
from trussio.timber.wood_failure import all_rows, group_tear_out, row_tear_out
from trussio.timber.working import STATED, derived, stated

if TYPE_CHECKING:
    from collections.abc import Iterator

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
RINGS_OPEN: Final = "tear-out round rings and plates has no formula here: look for splits and plugs at the end"
BUCKLES: Final = "the plate is compressed: whether it buckles between its fasteners is open"


class Local(NamedTuple):
    """One way in which a layer gives way: what it is in words, by which clause, and its value (lbf) or why none.

    `force` is the part of the layer's force that it stands against.
    """

    what: str
    clause: str
    force: float
    value: Derivation | None
    reason: str = ""


def local_values(
    bench: Bench, layer: Layer, own: Vector, group: Group, state: State, *, hole: float | None = None
) -> Iterator[Local]:
    """Every way in which a layer may give way round a group; `own` is what it does to the fasteners (lbf)."""
    drilled = group.diameter + OVERSIZE if hole is None else hole
    if layer.grain is None:
        yield from _steel(bench, layer, own, group, drilled)
    elif layer.inward is not None and towards_end(layer, own) and group.diameter >= SMALL:
        along = abs(own[0] * layer.grain[0] + own[1] * layer.grain[1])
        if group.kind in RINGS:
            what, clause = f"tear-out of {layer.name}", "NDS-2018 E"
            yield Local(what, clause, along, None, RINGS_OPEN)
        else:
            yield from _wood(bench, layer, along, group, (drilled, state))


def _wood(bench: Bench, layer: Layer, along: float, group: Group, at: tuple[float, State]) -> Iterator[Local]:
    hole, state = at
    clause = "NDS-2018 E.3, E.4"
    try:
        stock = _stock(bench, layer)
        sizes = sorted((stock.breadth, stock.depth))

        def value(symbol: str) -> Derivation:
            use = bench.use(state)
            return adjusted_value(stock.values, symbol, use=use, thickness=sizes[0], width=sizes[1])

        end = 0.0 if layer.piece.end is None else layer.piece.end
        row = row_tear_out(
            Fv=value("Fv"), thickness=layer.thickness, in_row=group.in_row, end=end, spacing=group.spacing
        )
        yield Local(f"row tear-out of {layer.name}", clause, along, all_rows([row] * group.rows))
        if group.rows > 1 and group.gauge is not None:
            between = max(0.0, (group.rows - 1) * (group.gauge - hole)) * layer.thickness
            torn = group_tear_out(first=row, last=row, Ft=value("Ft"), net_between=between)
            yield Local(f"group tear-out of {layer.name}", clause, along, torn)
    except UsageError as fault:
        yield Local(f"row tear-out of {layer.name}", clause, along, None, str(fault))


def _stock(bench: Bench, layer: Layer) -> Stock:
    """The stock of a stick or of a wooden plate. Raises UsageError that names what is missing."""
    if layer.member is not None:
        stock = bench.stock(layer.member)
        if isinstance(stock, Stock):
            return stock
    piece, truss = layer.piece, bench.truss
    material = None if piece.material is None else truss.materials[piece.material]
    return stock_of(Section(width=piece.thickness, depth=piece.depth), material, truss.units)


def _steel(bench: Bench, layer: Layer, own: Vector, group: Group, hole: float) -> Iterator[Local]:
    """A steel plate in tension: its gross and net section, and the steel beyond the last bolts."""
    force, piece, psi = hypot(*own), layer.piece, PSI[bench.truss.units]
    Fu = stated("Fu", (piece.Fu or 0.0) * psi, "psi", STATED)
    t, d = layer.thickness, group.diameter
    if layer.depth is None:
        reason = "enter the depth of the plate across its fasteners"
        yield Local("net section of the steel plate", STEEL, force, None, reason)
    else:
        left = max(0.0, layer.depth - group.rows * (hole + OVERSIZE)) * t
        net = derived("A_net", left, "in2", f"(depth - {group.rows} (hole + 1/16)) t", STEEL)
        value = derived("P net", RUPTURE * Fu.value * left, "lbf", "0.5 Fu A_net", STEEL, Fu, net)
        yield Local("net section of the steel plate", STEEL, force, value)
        if piece.Fy is None:
            reason = "enter the yield strength Fy of the plate"
            yield Local("yield of the steel plate", STEEL, force, None, reason)
        else:
            gross, Fy = layer.depth * t, stated("Fy", piece.Fy * psi, "psi", STATED)
            value = derived("P gross", YIELD * Fy.value * gross, "lbf", "0.6 Fy depth t", STEEL, Fy)
            yield Local("yield of the steel plate", STEEL, force, value)
    if piece.end is None:
        yield Local("end of the steel plate", STEEL, force, None, "enter the end distance of the plate")
        return
    clear = [piece.end - hole / 2, *[(group.spacing or 0.0) - hole] * (group.in_row - 1)]
    each = [min(1.2 * max(0.0, lc), 2.4 * d) * t * Fu.value * RUPTURE for lc in clear]
    formula = f"{group.rows} rows of the lesser of 1.2 lc and 2.4 D, each t Fu / 2"
    value = derived("P end", group.rows * sum(each), "lbf", formula, STEEL, Fu)
    yield Local("end of the steel plate", STEEL, force, value)
