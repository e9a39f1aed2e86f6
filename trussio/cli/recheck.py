"""Forces a second time by least complementary energy, against our analysis or against anybody's table.

Exit code 0 agrees, 5 disagrees, 1 cannot tell. Generated loads are tallied again. Survey, other loads,
idealisation and allowables are not rechecked.
"""

from __future__ import annotations

from importlib import import_module
from os.path import basename
from typing import TYPE_CHECKING, Final, TextIO

from trussio.calculation import calculate, refuse_stops
from trussio.cli.options import add_despite, add_file, add_idealisation, add_json, add_output
from trussio.cli.recheck_text import recheck_csv, recheck_text
from trussio.cli.streams import emit, open_one, read_bytes, wants_json
from trussio.document.check_record import write_check_record
from trussio.document.encode import encode_truss
from trussio.document.layout import document_text
from trussio.errors import UsageError
from trussio.rechecking import claims, recheck, widened
from trussio.state import in_state

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable

    from trussio.formats import Opened
    from trussio.model.check_record import CheckRecord, ForcesTable
    from trussio.model.truss import Idealisation, Json, State

EXAMPLES: Final = """\
examples:
  trussio recheck truss.json                           our own analysis, held against the second method
  trussio recheck truss.json --against forces.csv      run,segment,axial typed from anywhere
  trussio recheck truss.json --against results.json    a results document
  trussio recheck truss.json --against t.csv -o t.svg  a picture of what differs, with room to sign
  trussio recheck truss.json --blind -o handover.json  for a checker who must see no result
  trussio recheck truss.json --prove -o proof.json     bounds on every force, checked without any solver
"""

EXITS: Final = {"agrees": 0, "disagrees": 5, "cannot tell": 1}


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    add_file(parser)
    parser.add_argument("--against", metavar="TABLE", help="forces to check: a CSV table or a results document")
    parser.add_argument(
        "--within",
        metavar="PART",
        type=float,
        help="figures of the table may be off by so much of their run's largest force, besides their rounding",
    )
    way = parser.add_mutually_exclusive_group()
    way.add_argument(
        "--blind",
        action="store_true",
        help="no check: write what an independent checker should get, model, loads and criteria without a result",
    )
    way.add_argument(
        "--prove",
        action="store_true",
        help="no check: write a proof of the forces for `python -m trussio.recheck.proof PROOF TRUSS`",
    )
    add_idealisation(parser)
    add_despite(parser)
    add_output(
        parser, kinds=".json for the check record, .csv for every segment, .svg for a picture, .txt for text"
    )
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Recheck and show."""
    if args.against and (args.blind or args.prove):
        raise UsageError(
            "one-at-a-time",
            where="--against",
            what="A table is compared with nothing by --blind and --prove.",
            do="Leave out --against, or leave out the other.",
        )
    opened = open_one(args, err)
    if args.blind or args.prove:
        emit(_without_check(args, opened), args, out)
        return 0
    table = _claims(args, opened)
    record = recheck(
        opened.truss,
        table,
        digest=opened.digest,
        idealisation=args.idealisation or table.idealisation or "continuous",
        state=args.state or table.state or "found",
        despite_stops=args.despite_stops,
    )
    emit(_shown(args, opened, record), args, out)
    return EXITS[record.verdict]


def _shown(args: Namespace, opened: Opened, record: CheckRecord) -> str:
    """The record in the form that the file named asks for."""
    if wants_json(args):
        return write_check_record(record)
    form = (args.output or "").lower().rpartition(".")[2]
    if form == "csv":
        return recheck_csv(record)
    if form == "svg":
        truss = in_state(opened.truss, record.state, idealisation=record.idealisation).truss
        drawn = import_module("trussio.drawing.sheet").sheet(
            truss, digest=opened.digest, state=record.state, idealisation=record.idealisation, differences=record
        )
        return str(import_module("trussio.drawing.svg").render(drawn))
    return recheck_text(opened.truss, record)


def _without_check(args: Namespace, opened: Opened) -> str:
    """A blind hand-over, or a proof; each is loaded only when it is asked for."""
    idealisation: Idealisation = args.idealisation or "continuous"
    if args.blind:
        giving: Callable[..., dict[str, Json]] = import_module("trussio.recheck.handover").handover
        given = giving(
            opened.truss,
            encode_truss(opened.truss),
            idealisation=idealisation,
            state=args.state or "found",
            model_digest=opened.digest,
        )
        return document_text(given)
    if args.file == "-" or not args.file.lower().endswith(".json"):
        raise UsageError(
            "proof-of-a-document",
            where=args.file,
            what="A proof belongs to the bytes of a truss document.",
            do="Convert the drawing to a document first, and prove that file.",
        )
    state: State = args.state or "found"
    truss = in_state(opened.truss, state, idealisation=idealisation).truss
    refuse_stops(truss, idealisation, despite_stops=args.despite_stops)
    proving: Callable[..., str] = import_module("trussio.recheck.prove").prove
    return proving(truss, read_bytes(args.file), idealisation=idealisation, state=state)


def _claims(args: Namespace, opened: Opened) -> ForcesTable:
    """The table that was given, or our own analysis."""
    if args.against is not None:
        read: Callable[..., ForcesTable] = import_module("trussio.document.forces_table").read_forces_table
        table = read(read_bytes(args.against), name=basename(args.against), truss=opened.truss)
        return table if args.within is None else widened(table, args.within)
    return claims(
        calculate(
            opened.truss,
            digest=opened.digest,
            idealisation=args.idealisation or "continuous",
            state=args.state or "found",
            despite_stops=args.despite_stops,
        )
    )
