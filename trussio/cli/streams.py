"""What goes in and out of a verb: the file named on the command line, stdin and stdout."""

from __future__ import annotations

import sys
from os.path import basename, exists, samefile
from typing import TYPE_CHECKING, TextIO

from trussio.errors import CannotWriteError, UnreadableError, UsageError
from trussio.formats import DrawingOptions, open_trusses
from trussio.writing import write_files

if TYPE_CHECKING:
    from argparse import Namespace

    from trussio.formats import Opened

LAYER_WORDS = ("member", "ignore", "top-chord", "bottom-chord", "web", "other")
"""What a user may say of a layer."""


def open_all(args: Namespace, path: str, err: TextIO, data: bytes | None = None) -> tuple[Opened, ...]:
    """Every truss of a file, with its open questions told on stderr; `data` are its bytes where they are read."""
    options = DrawingOptions(
        basis=None if args.basis is None else (basename(args.basis), read_bytes(args.basis)),
        units=args.units,
        scale=args.scale,
        part=args.part,
        layers=tuple(_layer(word) for word in args.layer),
        answers=None if args.answers is None else (basename(args.answers), read_bytes(args.answers)),
    )
    opened = open_trusses(path, read_bytes(path) if data is None else data, options)
    asked = {question.asks: question for one in opened for question in one.questions}
    err.writelines(f"question ({q.code}): {q.asks} Taken: {q.taken} {q.settle}\n" for q in asked.values())
    return opened


def open_one(args: Namespace, err: TextIO, data: bytes | None = None) -> Opened:
    """The one truss of a file; a sheet with several asks for `--part`."""
    opened = open_all(args, args.file, err, data)
    if len(opened) > 1:
        raise UsageError(
            "several-trusses",
            where=args.file,
            what=f"The sheet holds {len(opened)} trusses.",
            do="Name one with --part, counted from the left, or use `trussio review` for all.",
        )
    return opened[0]


def _layer(word: str) -> tuple[str, str]:
    """A layer's name and what lies on it."""
    name, _, what = word.rpartition("=")
    if not name or what not in LAYER_WORDS:
        raise UsageError(
            "bad-layer",
            where=word,
            what=f"A layer is given as NAME=WHAT, where WHAT is one of {', '.join(LAYER_WORDS)}.",
            do="Write --layer WEBS=web, say.",
        )
    return name, what


def read_bytes(path: str) -> bytes:
    """A file whole, or stdin for `-`."""
    if path == "-":
        return sys.stdin.buffer.read()
    try:
        with open(path, "rb") as file:
            return file.read()
    except IsADirectoryError as error:
        raise UnreadableError(
            "is-a-folder", where=path, what="This is a folder.", do="Name a truss document or a drawing in it."
        ) from error
    except OSError as error:
        raise UnreadableError(
            "cannot-read", where=path, what=f"The file cannot be read: {error.strerror}.", do="Check the name."
        ) from error


def wants_json(args: Namespace) -> bool:
    """Whether the verb's document is wanted and not its text."""
    return args.json or (args.output or "").lower().endswith(".json")


def emit(text: str, args: Namespace, out: TextIO) -> None:
    """Write to the file that was named, or to stdout."""
    if args.output is None or args.output == "-":
        out.write(text)
    else:
        _spare_inputs(args)
        write_files({args.output: text.encode()}, force=args.force)


def _spare_inputs(args: Namespace) -> None:
    """Refuse to write what a verb found over a file that it was found from; `--force` is no word for that."""
    for word in ("file", "against", "basis", "answers"):
        given = getattr(args, word, None)
        if given and exists(given) and exists(args.output) and samefile(given, args.output):
            raise CannotWriteError(
                "is-an-input",
                where=args.output,
                what="This is a file that is read here; it would be lost.",
                do="Name another.",
            )
