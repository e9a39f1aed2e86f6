"""Per cent of allowable of members and connections, worst first, with the load to the limit and why.

Exit code 1 where an element is over its limit, or not evaluated where `--fail-on` says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TextIO

from trussio.calculation import calculate
from trussio.checking import check
from trussio.cli.check_text import checks_text, element_text
from trussio.cli.conditions import add_conditions, conditions_of
from trussio.cli.options import add_despite, add_file, add_idealisation, add_json, add_output
from trussio.cli.streams import emit, open_one, wants_json
from trussio.document.checks import write_checks
from trussio.errors import UsageError
from trussio.report.standing_words import element_words, owner_of

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from trussio.model.standing import Checks, Standing

EXAMPLES: Final = """\
examples:
  trussio check truss.json                          every element, worst first
  trussio check truss.json --element w6             the arithmetic of one stick, line by line
  trussio check truss.json --lateral top=48         the top chord is held every 48 in. across the plane
  trussio check truss.json --json > checks.json     the checks document
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    add_file(parser)
    parser.add_argument(
        "--element",
        metavar="ID",
        help="the whole derivation of one element: a segment, a stick with all its segments, or a joint",
    )
    add_conditions(parser)
    parser.add_argument(
        "--fail-on",
        choices=("over", "not-evaluated", "never"),
        default="over",
        help="exit 1 where an element is over its limit (default), or also where something is not evaluated",
    )
    add_idealisation(parser)
    add_despite(parser)
    add_output(parser, kinds=".json for the checks document, .txt for text")
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Calculate, check and show."""
    opened = open_one(args, err)
    truss = opened.truss
    conditions = conditions_of(args, truss)
    results = calculate(
        truss,
        digest=opened.digest,
        idealisation=args.idealisation or "continuous",
        state=args.state or "found",
        despite_stops=args.despite_stops,
    )
    checks = check(truss, results, conditions=conditions)
    if wants_json(args):
        text = write_checks(checks)
    elif args.element is not None:
        text = element_text(truss, checks, _named(checks, args.element))
    else:
        text = checks_text(truss, checks)
    emit(text, args, out)
    return _exit_code(checks, args.fail_on)


def _named(checks: Checks, name: str) -> tuple[Standing, ...]:
    """The elements of a name: a segment, a stick with its segments, a joint."""
    found = tuple(
        one
        for one in checks.standings
        if name in {one.element, owner_of(one.element), element_words(one.element).rpartition(" ")[2]}
    )
    if not found:
        known = ", ".join(dict.fromkeys(owner_of(one.element) for one in checks.standings)) or "none"
        raise UsageError(
            "unknown-element",
            where=name,
            what="no element of this name has a check.",
            do=f"Choose a segment or one of {known}.",
        )
    return found


def _exit_code(checks: Checks, fail_on: str) -> int:
    verdicts = {one.verdict for one in checks.standings}
    fails = {"over": {"not met"}, "not-evaluated": {"not met", "not evaluated", "met in part"}, "never": set()}
    return 1 if verdicts & fails[fail_on] else 0
