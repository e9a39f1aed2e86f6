"""Forces, reactions and movements of every run, by direct stiffness.

Text shows forces in kips and ft-kips, or kN and kN-m; `--json` gives the results document in base units.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TextIO

from trussio.calculation import calculate
from trussio.cli.forces_text import forces_text
from trussio.cli.options import add_despite, add_file, add_idealisation, add_json, add_output
from trussio.cli.streams import emit, open_one, wants_json
from trussio.document.results import write_results

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

EXAMPLES: Final = """\
examples:
  trussio analyse truss.json                       every run as text
  trussio analyse truss.json --idealisation pinned
  trussio analyse truss.json --json > forces.json  the results document
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    add_file(parser)
    add_idealisation(parser)
    add_despite(parser)
    add_output(parser, kinds=".json for the results document, .txt for text")
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Calculate and show."""
    opened = open_one(args, err)
    results = calculate(
        opened.truss,
        digest=opened.digest,
        idealisation=args.idealisation or "continuous",
        state=args.state or "found",
        despite_stops=args.despite_stops,
    )
    if results.despite:
        err.write(f"Calculated over a stop: {', '.join(results.despite)}. No force here may be relied on.\n")
    emit(write_results(results) if wants_json(args) else forces_text(opened.truss, results), args, out)
    return 0
