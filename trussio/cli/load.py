"""Load cases and combinations from the site and the surfaces of a truss, written into its document.

The document goes to stdout or to a file; each case is told on stderr with its clause, its total and how its rule
is known. What was edited since it was generated is not written over unless asked for.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, TextIO

from trussio.cli.load_text import load_text
from trussio.cli.options import add_file, add_json, add_output
from trussio.cli.streams import open_one
from trussio.document.encode import digest_of_truss
from trussio.errors import UsageError
from trussio.formats import written
from trussio.loads.generate import generate
from trussio.writing import write_files

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from trussio.loads.generate import Edits

EXAMPLES: Final = """\
examples:
  trussio load truss.json -o loaded.json               what its site and surfaces put on the truss
  trussio load drawing.dxf --basis basis.json > loaded.json
  trussio load truss.json --as panel-points --derivation -o loaded.json
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    add_file(parser)
    parser.add_argument(
        "--as",
        dest="spread",
        choices=("chord", "panel-points", "purlins"),
        default="as-stated",
        help="how area loads reach the sticks: along the chord, at its panel points, or at purlins "
        "(default: at purlins where a surface names them, else along the chord)",
    )
    edits = parser.add_mutually_exclusive_group()
    edits.add_argument("--keep-edited", action="store_true", help="leave cases that were edited since as they are")
    edits.add_argument("--discard-edits", action="store_true", help="write them anew")
    parser.add_argument(
        "--derivation", action="store_true", help="tell the numbers behind each case on stderr as well"
    )
    add_output(parser, kinds=".json for the document, .dxf for a drawing that carries it")
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Generate and write."""
    opened = open_one(args, err)
    edits: Edits = "keep" if args.keep_edited else "discard" if args.discard_edits else "refuse"
    truss = generate(opened.truss, spread=args.spread, edits=edits)
    loaded = replace(opened, truss=truss, digest=digest_of_truss(truss))
    path = args.output or "-"
    if path != "-" and path.lower().endswith(".svg"):
        raise UsageError("not-a-document", where=path, what="A picture holds no loads.", do="Name a .json file.")
    data = written(path, loaded)
    if path != "-":
        write_files({path: data}, force=args.force)
    if path == "-" or args.json:
        out.write(written("-", loaded).decode())
    err.write(load_text(truss, derivation=args.derivation))
    return 1 if opened.questions else 0
