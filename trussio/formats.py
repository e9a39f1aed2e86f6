"""File kinds: which suffix is read and written by what, in one literal table.

The functions are named as text and loaded when one is used, so that a document is read without a drawing
library.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from os.path import basename, splitext
from typing import TYPE_CHECKING, Any, Final

from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss, write_truss
from trussio.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from trussio.drawing.recognise.placing import Placement
    from trussio.drawing.records import Linework
    from trussio.model.change import Change, Question
    from trussio.model.truss import Truss

READERS: Final = {
    "": "trussio.formats:open_document",
    ".json": "trussio.formats:open_document",
    ".dxf": "trussio.drawn:open_drawing",
}
"""Suffix to reader: (name, data, options) -> opened trusses. Standard input has no suffix and is a document."""

WRITERS: Final = {
    "": "trussio.formats:document_bytes",
    ".json": "trussio.formats:document_bytes",
    ".dxf": "trussio.drawn:dxf_bytes",
    ".svg": "trussio.drawn:svg_bytes",
}
"""Suffix to writer: opened truss -> bytes."""


@dataclass(frozen=True, kw_only=True)
class DrawingOptions:
    """What the user says about a drawing. `basis` is a file name and its bytes."""

    basis: tuple[str, bytes] | None = None
    units: str | None = None
    scale: float | None = None
    part: int | None = None
    layers: tuple[tuple[str, str], ...] = ()
    answers: tuple[str, bytes] | None = None


@dataclass(frozen=True, kw_only=True)
class Opened:
    """A truss with the digest of its document, and how reading came to it.

    `linework` and `placement` are those of the drawing that it was read from, None for a document.
    """

    name: str
    truss: Truss
    digest: str
    changes: tuple[Change, ...] = ()
    questions: tuple[Question, ...] = ()
    linework: Linework | None = None
    placement: Placement | None = None


def open_trusses(path: str, data: bytes, options: DrawingOptions) -> tuple[Opened, ...]:
    """Every truss in the bytes of a file, by the reader of its suffix."""
    reader: Callable[[str, bytes, DrawingOptions], tuple[Opened, ...]] = _named(READERS, path, "read")
    return reader(basename(path), data, options)


def written(path: str, opened: Opened) -> bytes:
    """A truss in the format of a suffix."""
    writer: Callable[[Opened], bytes] = _named(WRITERS, path, "written")
    return writer(opened)


def open_document(name: str, data: bytes, options: DrawingOptions) -> tuple[Opened, ...]:
    """The one truss of a document."""
    if options != DrawingOptions():
        raise UsageError(
            "not-a-drawing",
            where=name,
            what="--basis, --units, --scale, --part and --answers belong to a drawing, and this is a document.",
            do="Leave them out, or edit the document.",
        )
    truss = read_truss(data, name=name)
    return (Opened(name=name, truss=truss, digest=digest_of_truss(truss)),)


def document_bytes(opened: Opened) -> bytes:
    """The truss document."""
    return write_truss(opened.truss).encode()


def blank_answers(name: str, questions: Iterable[Question]) -> bytes:
    """The answers file of a drawing, ready to fill in."""
    write: Callable[..., str] = import_module("trussio.drawing.answers").write_answers
    return write(name, questions).encode()


def _named(table: dict[str, str], path: str, done: str) -> Callable[..., Any]:
    """The function that a table names for the suffix of a path."""
    suffix = "" if path == "-" else splitext(path)[1].lower()
    if suffix not in table:
        kinds = ", ".join(kind for kind in table if kind)
        raise UsageError(
            "unknown-kind",
            where=path,
            what=f"Files named {suffix or 'without a suffix'} cannot be {done}.",
            do=f"Use one of {kinds}.",
        )
    module, function = table[suffix].split(":")
    found: Callable[..., Any] = getattr(import_module(module), function)
    return found
