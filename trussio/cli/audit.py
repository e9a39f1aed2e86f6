"""What the model is, what was guessed and what would fall down, before any force is believed.

Exit code 1 where a finding stands at or above `--fail-on` and nobody accepted it in the document.
"""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from typing import TYPE_CHECKING, Final, TextIO

from trussio.auditing import audit_in_state
from trussio.cli.findings_text import findings_text
from trussio.cli.options import add_file, add_idealisation, add_json, add_output
from trussio.cli.streams import emit, open_one, read_bytes
from trussio.document.findings import write_findings
from trussio.errors import UsageError
from trussio.model.finding import LEVELS
from trussio.state import in_state, with_condition

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from trussio.formats import Opened
    from trussio.model.finding import Finding, Findings
    from trussio.model.truss import Idealisation, Truss

EXAMPLES: Final = """\
examples:
  trussio audit truss.json                     findings, most urgent first; exit 1 over a stop
  trussio audit truss.json --fail-on query     exit 1 over a query too
  trussio audit truss.json --forces            loads against reactions in every run besides
  trussio audit truss.json -o audit.sarif      the open format for results of checks, with line and column
  trussio audit truss.json -o audit.svg        mechanisms as they move, regions, what all hangs on
  trussio audit drawing.dxf --basis basis.json
"""
FORMATS: Final = ("text", "json", "sarif", "svg")


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
    parser.add_argument(
        "--format",
        choices=FORMATS,
        help="text, the findings document, SARIF 2.1.0 or a picture (by -o, else text)",
    )
    parser.add_argument(
        "--forces",
        action="store_true",
        help="calculate every run besides: loads against reactions, shores that lift off, tendons that slacken",
    )
    parser.add_argument(
        "--rank-assumptions",
        action="store_true",
        help="vary each unconfirmed assumption over its plausible range and rank them by what they move",
    )
    add_output(
        parser, kinds=".json for the findings document, .sarif for SARIF, .svg for a picture, .txt for text"
    )
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Audit and show."""
    form = _form(args)
    data = read_bytes(args.file)
    opened = open_one(args, err, data)
    idealisation: Idealisation = args.idealisation or "continuous"
    made = in_state(opened.truss, args.state or "found", idealisation=idealisation)
    besides = _of_forces(made.truss, idealisation, asked=args.forces)
    findings = audit_in_state(opened.truss, made, idealisation=idealisation, digest=opened.digest, besides=besides)
    if args.rank_assumptions:
        with_swings = import_module("trussio.sensitivity").with_swings
        findings = with_swings(made.truss, findings, idealisation=idealisation)
    findings = with_condition(findings, made, opened.truss)
    emit(_written(form, replace(opened, truss=made.truss), findings, args.file, data), args, out)
    if args.fail_on == "never":
        return 0
    bar = LEVELS.index(args.fail_on)
    pending = [finding for finding in findings.findings if finding.accepted is None]
    return 1 if any(LEVELS.index(finding.level) <= bar for finding in pending) else 0


def _of_forces(truss: Truss, idealisation: Idealisation, *, asked: bool) -> list[Finding]:
    """What forces tell, where they are asked for or the truss has what may fail in them alone."""
    one_way = any(member.acts or member.play for member in truss.members.values())
    if not (asked or truss.stages or truss.tendons or one_way):
        return []
    told: list[Finding] = import_module("trussio.tallying").tally(truss, idealisation=idealisation, asked=asked)
    return told


def _form(args: Namespace) -> str:
    """The format asked for: by `--format` or `--json`, else by the suffix of the output."""
    if args.json and args.format not in {None, "json"}:
        raise UsageError(
            "format-conflict",
            what=f"--json and --format {args.format} ask for two formats.",
            do="Give one of the two.",
        )
    suffix = (args.output or "").lower().rpartition(".")[2]
    form: str = args.format or ("json" if args.json else suffix)
    return form if form in FORMATS else "text"


def _written(form: str, opened: Opened, findings: Findings, path: str, data: bytes) -> str:
    """The findings in a format; what few ask for is loaded when they do."""
    if form == "json":
        return write_findings(findings)
    if form == "sarif":
        return str(import_module("trussio.cli.findings_sarif").sarif_text(findings, path=path, data=data))
    if form == "svg":
        drawn = import_module("trussio.drawing.sheet").sheet(opened.truss, digest=opened.digest, audited=findings)
        return str(import_module("trussio.drawing.svg").render(drawn))
    return findings_text(opened.truss, findings)
