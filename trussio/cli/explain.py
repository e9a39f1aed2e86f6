"""What the code of a finding means, why it matters on a truss, and how to cure it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TextIO

from trussio.audit.explain import explain

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

EXAMPLES: Final = """\
example:
  trussio explain mechanism
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    parser.add_argument("code", metavar="CODE", help="the code of a finding, as the audit prints it")


def run(args: Namespace, out: TextIO, err: TextIO) -> int:  # noqa: ARG001 - every verb takes both streams
    """Explain one code."""
    out.write(explain(args.code))
    return 0
