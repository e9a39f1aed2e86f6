"""A drawing into a truss document, a document into a drawing or picture, one unit system into the other.

Exit code 1 where the drawing leaves questions open: the best reading is written, each question is told on stderr
with what settles it, and an answers file ready to fill in is written beside the output where none stands yet.
Several trusses on a sheet go to OUT-1, OUT-2 and so on, from the left. A drawing into an .svg shows its own lines
in grey under the model.
"""

from __future__ import annotations

from dataclasses import replace
from os.path import exists, splitext
from typing import TYPE_CHECKING, Final, TextIO

from trussio.cli.log import log_json, log_text
from trussio.cli.options import add_drawing, add_force, add_json
from trussio.cli.streams import open_all
from trussio.document.conversion import to_units
from trussio.document.encode import digest_of_truss
from trussio.errors import UsageError
from trussio.formats import blank_answers, written
from trussio.writing import write_files

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Sequence

    from trussio.formats import Opened

EXAMPLES: Final = """\
examples:
  trussio convert drawing.dxf truss.json --basis basis.json
  trussio convert truss.json truss.dxf           a drawing that can be opened, marked up and read again
  trussio convert truss.json metric.json --units si
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    parser.add_argument("file", metavar="IN", help="drawing (.dxf) or truss document (.json, or - for stdin)")
    parser.add_argument(
        "output",
        metavar="OUT",
        nargs="?",
        help="document (.json, or - for stdout), drawing (.dxf), picture (.svg); may be left out with --json",
    )
    add_drawing(parser)
    parser.add_argument(
        "--log",
        metavar="FILE",
        help="every change that reading made: .json, or text by any other name; - for stderr",
    )
    add_force(parser)
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Read, convert units where asked, write."""
    opened = open_all(args, args.file, err) if _is_drawing(args.file) else (_converted(args, err),)
    if args.output is None and not args.json:
        raise UsageError(
            "no-output", what="There is nowhere to write to.", do="Name OUT, or give --json for stdout."
        )
    streamed = args.json or args.output == "-"
    if streamed and len(opened) > 1:
        raise UsageError(
            "several-trusses",
            where=args.file,
            what=f"The sheet holds {len(opened)} trusses, and one stream takes one document.",
            do="Name a file, or one truss with --part.",
        )
    if args.output not in {None, "-"}:
        paths = _names(args.output, len(opened))
        files = {path: written(path, one) for path, one in zip(paths, opened, strict=True)}
        files |= _answers(args, opened)
        write_files(files, force=args.force)
        err.writelines(f"wrote {path}\n" for path in files)
    if streamed:
        out.write(written("-", opened[0]).decode())
    _log(args, opened, err)
    return 1 if any(one.questions for one in opened) else 0


def _answers(args: Namespace, opened: Sequence[Opened]) -> dict[str, bytes]:
    """The answers file to fill in, where questions are open and it does not stand already."""
    questions = {question: None for one in opened for question in one.questions}
    path = f"{splitext(args.output)[0]}.answers.json"
    if not questions or exists(path):
        return {}
    return {path: blank_answers(opened[0].name, questions)}


def _log(args: Namespace, opened: Sequence[Opened], err: TextIO) -> None:
    """The changes of every truss, numbered as on its overlay."""
    if args.log is None:
        return
    if args.log == "-":
        err.write(log_text(opened))
    else:
        text = log_json(opened) if args.log.lower().endswith(".json") else log_text(opened)
        write_files({args.log: text.encode()}, force=args.force)


def _is_drawing(path: str) -> bool:
    return path.lower().endswith(".dxf")


def _converted(args: Namespace, err: TextIO) -> Opened:
    """The truss of a document, in the unit system that was asked for."""
    wanted, args.units = args.units, None
    (opened,) = open_all(args, args.file, err)
    if wanted is None:
        return opened
    if wanted not in {"us", "si"}:
        raise UsageError(
            "unknown-units", where=wanted, what="A document is in `us` or `si` units.", do="Give --units us or si."
        )
    truss = to_units(opened.truss, wanted)
    return replace(opened, truss=truss, digest=digest_of_truss(truss))


def _names(path: str, count: int) -> list[str]:
    """The file for each truss: the one named, or numbered ones beside it."""
    if count == 1:
        return [path]
    stem, suffix = splitext(path)
    return [f"{stem}-{number}{suffix}" for number in range(1, count + 1)]
