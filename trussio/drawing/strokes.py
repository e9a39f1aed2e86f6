"""Builds the columns of strokes from rows and bent curves, in the order of their chains, and parts some off."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import inf, nan
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.records import Strokes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from trussio.drawing.flattening import Bent, FlatRows
    from trussio.drawing.placed_signs import Spelling
    from trussio.drawing.rows import Rows


@dataclass(frozen=True, kw_only=True, eq=False)
class Traced:
    """Strokes with the number of the entity copy that drew each, for the accounts."""

    strokes: Strokes
    entity: NDArray[np.int32]

    def take(self, rows: NDArray[np.bool_]) -> Traced:
        """The rows of a mask."""
        if rows.all():
            return self
        return Traced(strokes=self.strokes.take(rows), entity=self.entity[rows])

    def wholly_in(self, rows: NDArray[np.bool_]) -> Counter[str]:
        """How many entities of each type have all their strokes in a mask."""
        if not rows.any():
            return Counter()
        partly = np.unique(self.entity[~rows])
        inside = rows & ~np.isin(self.entity, partly)
        _, firsts = np.unique(self.entity[inside], return_index=True)
        kinds = self.strokes.kind[inside][firsts]
        return Counter(self.strokes.kinds[kind] for kind in kinds.tolist())


_ROW: Final = np.dtype(
    [("first", "f8", 2), ("last", "f8", 2), ("centre", "f8", 2), ("radius", "f8"), ("sweep", "f8")]
    + [("residual", "f8"), ("place", "f8"), ("closed", "?")]
    + [(name, "i4") for name in ("entity", "chain", "kind", "layer", "linetype", "path", "hidden")]
)
"""One stroke; `place` is where in its chain it stands."""


def traced_strokes(rows: Rows, flat: FlatRows, bent: Sequence[Bent], spelling: Spelling) -> Traced:
    """All strokes, chain after chain and each chain in its own order; full circles are none."""
    curves = [curve for curve in bent if not curve.is_circle]
    handles = rows.handles if flat.kept.all() else [rows.handles[row] for row in np.flatnonzero(flat.kept)]
    table = _of_rows(rows, flat)[flat.kept]
    if curves:
        table = np.concatenate([table, *map(_of_curve, curves)])
        handles = handles + [curve.handle for curve in curves for _ in range(len(curve.points) - 1)]
    if (np.diff(table["chain"]) < 0).any():
        order = np.lexsort((table["place"], table["chain"]))
        table, handles = table[order], [handles[index] for index in order.tolist()]
    column = {name: np.ascontiguousarray(table[name]) for name in table.dtype.names or ()}
    strokes = Strokes(
        first=column["first"],
        last=column["last"],
        centre=column["centre"],
        radius=column["radius"],
        sweep=column["sweep"],
        residual=column["residual"],
        chain=column["chain"],
        closed=column["closed"],
        kind=column["kind"],
        layer=column["layer"],
        linetype=column["linetype"],
        path=column["path"],
        hidden=column["hidden"],
        handles=tuple(handles),
        kinds=spelling.kinds,
        layers=spelling.layers,
        linetypes=spelling.linetypes,
        paths=spelling.paths,
    )
    return Traced(strokes=strokes, entity=column["entity"])


def _of_rows(rows: Rows, flat: FlatRows) -> NDArray[np.void]:
    table = np.zeros(len(rows.handles), dtype=_ROW)
    table["first"], table["last"], table["centre"] = flat.first, flat.last, flat.centre
    table["radius"], table["sweep"] = flat.radius, flat.sweep
    table["place"] = np.arange(len(table))
    table["closed"], table["entity"], table["chain"] = rows.closed, rows.entity, rows.chain
    table["kind"], table["layer"], table["linetype"] = rows.kind, rows.layer, rows.linetype
    table["path"], table["hidden"] = rows.path, rows.hidden
    return table


def _of_curve(curve: Bent) -> NDArray[np.void]:
    count = len(curve.points) - 1
    table = np.zeros(count, dtype=_ROW)
    table["first"], table["last"] = curve.points[:-1], curve.points[1:]
    table["centre"], table["radius"] = nan, inf
    if curve.arc is not None:
        table["centre"], table["radius"] = curve.arc.centre, curve.arc.radius
        table["sweep"], table["residual"] = curve.arc.sweep, curve.arc.residual
    table["place"] = curve.row + np.arange(count) / max(count, 1)
    table["closed"], table["entity"], table["chain"] = curve.closed, curve.entity, curve.chain
    table["kind"], table["layer"], table["linetype"] = curve.kind, curve.layer, curve.linetype
    table["path"], table["hidden"] = curve.path, curve.hidden
    return table
