"""The part of the page on forces that turn round between runs: sentences, then a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.report.elements import Column, el, table, words
from trussio.report.extremes import common_scale
from trussio.report.uneven import turned_rows, uneven_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.forces import Results
    from trussio.model.truss import Truss
    from trussio.report.elements import Content, Element
    from trussio.report.uneven import Turned


def uneven_part(truss: Truss, results: Results) -> list[Element]:
    """The table of segments that turn round, and sentences; nothing where no run does it."""
    said = list(uneven_words(truss, results))
    if not said:
        return []
    turned = turned_rows(truss, results)
    heading = el("h3", "Forces that turn round" if turned else "Uneven load")
    return [heading, *words(said), *([_table(truss, results, turned)] if turned else [])]


def _table(truss: Truss, results: Results, turned: Sequence[Turned]) -> Element:
    """Every segment that turns round, with its largest tension and compression and the runs of each."""
    scale = common_scale(truss, results)
    columns = [
        Column(head="segment", kind="name"),
        Column(head=f"largest tension, {scale.unit}"),
        Column(head="in tension in", kind="words"),
        Column(head=f"largest compression, {scale.unit}"),
        Column(head="in compression in", kind="words"),
    ]
    rows: list[list[Content]] = [
        [row.segment, scale.number(row.pull), ", ".join(row.pulled), scale.number(row.push), ", ".join(row.pushed)]
        for row in turned
    ]
    return table("Segments whose axial force changes sign between runs", columns, rows)
