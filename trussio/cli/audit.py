"""What the model is, what was guessed and what would fall down, before any force is believed.

Exit code 1 where a finding stands at or above `--fail-on`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TextIO

from trussio.audit.rules import audit
from trussio.cli.findings_text import findings_text
from trussio.cli.options import add_file, add_idealisation, add_json, add_output
from trussio.cli.streams import emit, open_one, wants_json
from trussio.document.findings import write_findings
from trussio.model.finding import LEVELS

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

EXAMPLES: Final = """\
examples:
  trussio audit truss.json                     findings, most urgent first; exit 1 over a stop
  trussio audit truss.json --fail-on query     exit 1 over a query too
  trussio audit drawing.dxf --basis basis.json
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    add_file(parser)
    add_idealisation(parser)
    parser.add_argument(
        "--fail-on",
        choices=(*LEVELS, "never"),
        default="stop",
        help="exit 1 where a finding of this level or worse stands (default stop)",
    )
    add_output(parser, kinds=".json for the findings document, .txt for text")
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Audit and show."""
    opened = open_one(args, err)
    findings = audit(opened.truss, idealisation=args.idealisation or "continuous", digest=opened.digest)
    emit(write_findings(findings) if wants_json(args) else findings_text(opened.truss, findings), args, out)
    if args.fail_on == "never":
        return 0
    bar = LEVELS.index(args.fail_on)
    return 1 if any(LEVELS.index(finding.level) <= bar for finding in findings.findings) else 0
