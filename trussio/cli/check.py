"""Per cent of allowable of members and connections, worst first, with the load to the limit and why.

Exit code 1 where an element is over its limit, or not evaluated where `--fail-on` says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TextIO

from trussio.calculation import calculate
from trussio.checking import check, with_growth, with_shares
from trussio.cli.check_text import checks_text, element_text
from trussio.cli.conditions import add_conditions, conditions_of
from trussio.cli.options import add_despite, add_file, add_idealisation, add_json, add_output, add_variations
from trussio.cli.streams import emit, open_all, open_one, wants_json
from trussio.cli.variations import spread_of, tolerance_of
from trussio.document.checks import write_checks
from trussio.errors import UsageError
from trussio.model.standing import Variation
from trussio.report.standing_words import element_words, owner_of
from trussio.uncertainty import varied_forces, varied_joints

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from trussio.formats import Opened
    from trussio.model.forces import Results
    from trussio.model.standing import Checks, Standing
    from trussio.model.truss import Truss

SAMPLES: Final = 200
"""Variations where nobody says how many: every one is checked whole."""
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
        "--before",
        metavar="FILE",
        help="the document before a repair or a change of loads: design load after over design load before",
    )
    add_variations(parser)
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
    results = _calculated(args, opened)
    checks = check(truss, results, conditions=conditions)
    if any(option is not None for option in (args.survey_tolerance, args.stiffness_spread, args.samples)):
        variation = Variation(
            tolerance=tolerance_of(args.survey_tolerance, truss.units),
            stiffness=spread_of(args.stiffness_spread),
            samples=SAMPLES if args.samples is None else args.samples,
        )
        varied = varied_forces(truss, results, **variation._asdict())
        joints = varied_joints(truss, results, **variation._asdict())
        checks = with_shares(checks, (truss, results), varied, variation, conditions=conditions, joints=joints)
    if args.before is not None:
        before = open_all(args, args.before, err)[0]
        pair = (before.truss, _calculated(args, before))
        checks = with_growth(checks, (truss, results), pair, conditions=conditions)
    if wants_json(args):
        text = write_checks(checks)
    elif args.element is not None:
        text = element_text(truss, checks, _named(truss, checks, args.element))
    else:
        text = checks_text(truss, checks)
    emit(text, args, out)
    return _exit_code(checks, args.fail_on)


def _calculated(args: Namespace, opened: Opened) -> Results:
    return calculate(
        opened.truss,
        digest=opened.digest,
        idealisation=args.idealisation or "continuous",
        state=args.state or "found",
        despite_stops=args.despite_stops,
    )


def _named(truss: Truss, checks: Checks, name: str) -> tuple[Standing, ...]:
    """The elements of a name: a segment, a stick with its segments, a joint with its support and connections."""
    there = {f"connection {key}" for key, one in truss.connections.items() if one.joint == name}
    found = tuple(
        one
        for one in checks.standings
        for words in (element_words(one.element),)
        if name in {one.element, owner_of(one.element), words.rpartition(" ")[2]} or words in there
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
