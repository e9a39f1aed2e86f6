"""The page of one truss: drawing, per cent of allowable, findings, forces, recheck, cautions, in one file.

It opens without a network, and prints. Exit code 4 where a stop left it without forces, 5 where forces disagree.
"""

from __future__ import annotations

from os.path import basename
from typing import TYPE_CHECKING, Final, TextIO

from trussio.assess import assess
from trussio.batch import row_of
from trussio.cli.conditions import add_conditions, conditions_of
from trussio.cli.options import add_despite, add_file, add_idealisation, add_json, add_output
from trussio.cli.rows import rows_text
from trussio.cli.site_loads import with_site_loads
from trussio.cli.streams import emit, open_one, read_bytes
from trussio.document.forces_table import read_forces_table
from trussio.report.page import page

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

EXAMPLES: Final = """\
examples:
  trussio report truss.json -o truss.html
  trussio report drawing.dxf --basis basis.json -o truss.html
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    add_file(parser)
    parser.add_argument("--against", metavar="TABLE", help="forces to recheck instead of our own")
    add_idealisation(parser)
    add_conditions(parser)
    add_despite(parser)
    add_output(parser, kinds="the page, .html")
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Assess and write the page."""
    opened = with_site_loads(open_one(args, err), err)
    table = None
    if args.against is not None:
        table = read_forces_table(read_bytes(args.against), name=basename(args.against), truss=opened.truss)
    assessment = assess(
        opened.truss,
        name=opened.name,
        digest=opened.digest,
        idealisation=args.idealisation or (table and table.idealisation) or "continuous",
        state=args.state or (table and table.state) or "found",
        despite_stops=args.despite_stops,
        against=table,
        questions=opened.questions,
        conditions=conditions_of(args, opened.truss),
    )
    row = row_of(opened.name, assessment, ())
    emit(rows_text([row]) if args.json else page(assessment), args, out)
    return row.exit_code
