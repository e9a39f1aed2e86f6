"""File kinds: which suffix is read and written by what, in one literal table.

The functions are named as text and loaded when one is used, so that a JSON document is read without a drawing
library.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from os.path import basename, splitext
from typing import TYPE_CHECKING, Any, Final

from trussio.document.decode import read_truss
from trussio.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.model.change import Change, Question
    from trussio.model.truss import Truss

READERS: Final = {
    "": "trussio.formats:open_document",
    ".json": "trussio.formats:open_document",
    ".dxf": "trussio.drawn:open_drawing",
}
"""Suffix to reader: (path, data, options) -> opened trusses. Standard input, without a suffix, is a document."""

WRITERS: Final = {
    ".json": "trussio.formats:document_bytes",
    ".dxf": "trussio.drawn:dxf_bytes",
    ".svg": "trussio.drawn:svg_bytes",
}
"""Suffix to writer: opened truss -> bytes."""


@dataclass(frozen=True, kw_only=True)
class DrawingOptions:
    """What the user says about a drawing. `basis` is a name and its bytes."""

    basis: tuple[str, bytes] | None = None
    units: str | None = None
    scale: float | None = None
    part: int | None = None
    answers: bytes | None = None


@dataclass(frozen=True, kw_only=True)
class Opened:
    """A truss with the digest of its document, and how reading came to it."""

    name: str
    truss: Truss
    digest: str
    changes: tuple[Change, ...] = ()
    questions: tuple[Question, ...] = ()
