"""All of it, from drawings or documents: model, findings, forces, per cent of allowable, recheck, pictures, page.

Everything is written into one folder and a summary is printed for each truss, worst things first. One file that
cannot be read is a line of its own and does not stop the others. The exit code is that of the first truss
that is not plainly calculated: 3 not read, 4 stopped, 5 forces disagree, 1 open questions or cannot tell.
"""

from __future__ import annotations

from os.path import basename, join, splitext
from typing import TYPE_CHECKING, Final, TextIO

from trussio.assess import assess
from trussio.batch import Row, review_files, row_of, told
from trussio.cli.conditions import add_conditions, conditions_of
from trussio.cli.options import add_despite, add_drawing, add_force, add_idealisation, add_json
from trussio.cli.rows import rows_text
from trussio.cli.site_loads import with_site_loads
from trussio.cli.streams import open_all
from trussio.errors import UnreadableError
from trussio.writing import make_folder, write_files

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from trussio.formats import Opened

EXAMPLES: Final = """\
examples:
  trussio review drawing.dxf --basis basis.json -o out
  trussio review one.json two.json three.json -o out --force
"""


def add_arguments(parser: ArgumentParser) -> None:
    """What this verb takes."""
    parser.add_argument("files", metavar="FILE", nargs="+", help="truss documents (.json) or drawings (.dxf)")
    parser.add_argument("-o", "--output", metavar="DIR", required=True, help="the folder to write into")
    add_drawing(parser)
    add_idealisation(parser)
    add_conditions(parser)
    add_despite(parser)
    add_force(parser)
    add_json(parser)


def run(args: Namespace, out: TextIO, err: TextIO) -> int:
    """Review every truss of every file."""
    make_folder(args.output)
    rows: list[Row] = []
    for path in args.files:
        try:
            opened = open_all(args, path, err)
        except UnreadableError as error:
            if len(args.files) == 1:
                raise
            rows.append(Row(name=basename(path), outcome="not read", says=str(error), exit_code=3))
            out.write(f"{path}: not read. {error}\n" if not args.json else "")
            continue
        names = _names(path, len(opened))
        loaded = [with_site_loads(one, err) for one in opened]
        rows += [_review(args, name, one, out) for name, one in zip(names, loaded, strict=True)]
    if args.json:
        out.write(rows_text(rows))
    return next((row.exit_code for row in rows if row.exit_code), 0)


def _review(args: Namespace, name: str, opened: Opened, out: TextIO) -> Row:
    assessment = assess(
        opened.truss,
        name=opened.name,
        digest=opened.digest,
        idealisation=args.idealisation or "continuous",
        state=args.state or "found",
        despite_stops=args.despite_stops,
        questions=opened.questions,
        conditions=conditions_of(args, opened.truss),
    )
    files = {join(args.output, file): data for file, data in review_files(name, assessment).items()}
    write_files(files, force=args.force)
    if not args.json:
        out.write(told(assessment))
        out.write(f"written to {args.output}: {', '.join(basename(file) for file in files)}\n")
    return row_of(name, assessment, tuple(files))


def _names(path: str, count: int) -> list[str]:
    """The name under which each truss of a file is written."""
    stem = "truss" if path == "-" else splitext(basename(path))[0]
    return [stem] if count == 1 else [f"{stem}-{number}" for number in range(1, count + 1)]
