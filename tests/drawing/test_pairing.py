"""Edges of members found among parallel lines."""

from __future__ import annotations

from tests.drawing.drafting import drawing, linework
from trussio.drawing.centrelines.pairing import bundles, pairs
from trussio.drawing.heal.axes import axes_of
from trussio.drawing.heal.reach import reach_of


def test_a_loose_edge_follows_its_members_into_the_one_they_are_part_of() -> None:
    """Two pairs of edges, a fifth beside the second, all within one depth: one member of five edges."""
    made = drawing()
    for y in (0.0, 2.0, 7.0, 9.1, 11.6):
        made.modelspace().add_line((0.0, y), (100.0, y))
    axes = axes_of(linework(made).strokes, 1.0)
    reach = reach_of(axes, inch=1.0)
    (bundle,) = bundles(axes, pairs(axes, reach), reach)
    assert bundle.rows == (0, 1, 2, 3, 4)
    assert round(bundle.spacing, 9) == 11.6
