"""Forces, reactions and movements of every run, by direct stiffness; or each force as a band.

Text shows forces in kips and ft-kips, or kN and kN-m; `--json` gives the results document in base units.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TextIO

from trussio.calculation import calculate
from trussio.cli.forces_text import forces_text
from trussio.cli.options import add_despite, add_file, add_idealisation, add_json, add_output, add_variations
from trussio.cli.streams import emit, open_one, wants_json
from trussio.document.results import write_results
from trussio.errors import UsageError
from trussio.late import loaded

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable

    from trussio.formats import Opened
    from trussio.model.bands import Bands
    from trussio.model.forces import Results
    from trussio.model.truss import Truss

EXAMPLES: Final = """\
examples:
  trussio analyse truss.json                       every run as text
  trussio analyse truss.json --idealisation pinned
  trussio analyse truss.json --json > forces.json  the results document
  trussio analyse truss.json --survey-tolerance 0.5in --samples 10000
                                                   each force as a band
  trussio analyse truss.json --second-order        what compression adds
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    add_file(parser)
    add_idealisation(parser)
    add_despite(parser)
    parser.add_argument(
        "--second-order",
        action="store_true",
        help="what compression adds as the truss deflects, and how near it is to buckling in its plane",
    )
    add_variations(parser)
    add_output(parser, kinds=".json for the results document, .txt for text")
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Calculate and show."""
    opened = open_one(args, err)
    found: Results | Bands
    if any(option is not None for option in (args.survey_tolerance, args.stiffness_spread, args.samples)):
        if args.second_order:
            raise UsageError(
                "one-at-a-time",
                where="--second-order",
                what="bands and second order are asked for together.",
                do="Ask for one of them at a time.",
            )
        bands_asked: Callable[[Namespace, Opened, TextIO], tuple[Bands, str]] = loaded(
            "trussio.cli.variations:bands_asked"
        )
        found, text = bands_asked(args, opened, err)
    else:
        found = calculate(
            opened.truss,
            digest=opened.digest,
            idealisation=args.idealisation or "continuous",
            state=args.state or "found",
            despite_stops=args.despite_stops,
        )
        err.writelines(f"Not evaluated: {why}\n" for why in found.not_evaluated.values())
        text = write_results(found) if wants_json(args) else forces_text(opened.truss, found)
        if args.second_order:
            more: Callable[[Truss, Results, bool], str] = loaded(
                "trussio.cli.second_order_text:second_order_asked"
            )
            text = more(opened.truss, found, wants_json(args))
    if found.despite:
        err.write(f"Calculated over a stop: {', '.join(found.despite)}. No force here may be relied on.\n")
    emit(text, args, out)
    return 0
