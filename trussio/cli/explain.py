"""What the code of a finding means, why it matters on a truss, and how to cure it."""

from __future__ import annotations

from json import dumps
from typing import TYPE_CHECKING, Final, TextIO

from trussio.audit.explain import EXPLAINED, explain
from trussio.cli.options import add_json

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

EXAMPLES: Final = """\
example:
  trussio explain mechanism
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    parser.add_argument("code", metavar="CODE", help="the code of a finding, as the audit prints it")
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:  # noqa: ARG001 - every verb takes both streams
    """Explain one code."""
    text = explain(args.code)
    out.write(f"{dumps({'code': args.code, **EXPLAINED[args.code]}, indent=2)}\n" if args.json else text)
    return 0
