"""The rows of a review as its JSON document."""

from __future__ import annotations

from dataclasses import asdict
from json import dumps
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.batch import Row


def rows_text(rows: Sequence[Row]) -> str:
    """`trussio/review`: one entry for each truss or unread file."""
    document = {"format": "trussio/review", "version": 1, "trusses": [asdict(row) for row in rows]}
    return dumps(document, indent=2, ensure_ascii=False) + "\n"
