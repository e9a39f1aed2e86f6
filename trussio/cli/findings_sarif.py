"""Findings as a SARIF log, with line and column from the text of the document where a document was given."""

from __future__ import annotations

from os.path import splitext
from typing import TYPE_CHECKING

from trussio.audit.sarif import sarif
from trussio.document.layout import document_text
from trussio.document.positions import places
from trussio.document.reading import text_of_file

if TYPE_CHECKING:
    from trussio.model.finding import Findings


def sarif_text(findings: Findings, *, path: str, data: bytes) -> str:
    """The log of the findings of a file; a drawing has no lines of text, and none are given."""
    is_document = splitext(path)[1].lower() in {"", ".json"}
    return document_text(
        sarif(findings, path=path, lines=places(text_of_file(data, name=path)) if is_document else None)
    )
