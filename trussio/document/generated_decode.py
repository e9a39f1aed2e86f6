"""What is told of generated loads, read: how each case and combination came about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, each, record
from trussio.document.values import chosen, digest, number, pair, text
from trussio.model.check import Line
from trussio.model.loading import RunId
from trussio.model.site import Generated, LoadBasis

if TYPE_CHECKING:
    from typing import Final

    from trussio.document.fields import Fields
    from trussio.model.site import Edition, Pattern, Spread

EDITIONS: Final[tuple[Edition, ...]] = ("asce7-10", "asce7-16", "asce7-22", "en1991")
SPREADS: Final[tuple[Spread, ...]] = ("as-stated", "chord", "panel-points", "purlins")
PATTERNS: Final[tuple[Pattern, ...]] = (
    "dead",
    "live",
    "panel-load",
    "roof-live",
    "uniform",
    "unbalanced",
    "partial",
    "drift",
    "combination",
)

edition = chosen(EDITIONS)
diagram_point = pair("a place and the load there, as two numbers")


def line(fields: Fields) -> Line:
    """One number that entered."""
    return Line(
        symbol=fields.need("symbol", text),
        value=fields.need("value", number),
        unit=fields.need("unit", text),
        formula=fields.need("formula", text),
        clause=fields.need("clause", text),
        source=fields.need("source", text),
    )


def generated(fields: Fields) -> Generated:
    """How a case or a combination came about."""
    return Generated(
        pattern=fields.need("pattern", chosen(PATTERNS)),
        says=fields.need("says", text),
        clause=fields.need("clause", text),
        mark=fields.need("mark", text),
        digest=fields.need("digest", digest),
        lines=fields.default("lines", LINES, ()),
        diagram=fields.default("diagram", DIAGRAM, ()),
    )


def load_basis(fields: Fields) -> LoadBasis:
    """What generated the loads."""
    return LoadBasis(
        edition=fields.need("edition", edition),
        spread=fields.need("spread", chosen(SPREADS)),
        inputs=fields.need("inputs", digest),
        cases=fields.need("cases", GENERATED),
        combinations=fields.need("combinations", GENERATED),
        not_evaluated=fields.default("not_evaluated", TEXTS, ()),
    )


LINES = each(record(line), "a list of lines of a derivation")
DIAGRAM = each(diagram_point, "a list of points, each a place and the load there")
TEXTS = each(text, "a list of texts")
GENERATED = by_id(RunId, record(generated))
LOAD_BASIS = record(load_basis)
