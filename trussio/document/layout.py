"""How a written document is laid out, so that people read it and a difference shows line by line.

Two spaces a level and a final newline; numbers as RFC 8785 spells them; keys in the order given. An object
or list that holds no object stands on one line where that line has at most 100 characters.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.canonical import canonical_text, text_of

if TYPE_CHECKING:
    from trussio.model.truss import Json

WIDTH = 100
INDENT = "  "


def document_text(value: dict[str, Json]) -> str:
    """The text of a document."""
    return _laid_out(value, 0, 0) + "\n"


def _laid_out(value: Json, level: int, before: int) -> str:
    """A value whose first line begins after `before` characters and whose other lines stand at `level`."""
    if not isinstance(value, (dict, list)):
        return canonical_text(value)
    if not _holds_object(value):
        line = _line(value)
        if before + len(line) < WIDTH:
            return line
    inner = INDENT * (level + 1)
    if isinstance(value, dict):
        entries = []
        for key, item in value.items():
            name = inner + text_of(key) + ": "
            entries.append(name + _laid_out(item, level + 1, len(name)))
        return "{\n" + ",\n".join(entries) + "\n" + INDENT * level + "}"
    entries = [inner + _laid_out(item, level + 1, len(inner)) for item in value]
    return "[\n" + ",\n".join(entries) + "\n" + INDENT * level + "]"


def _line(value: Json) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join([text_of(key) + ": " + _line(item) for key, item in value.items()]) + "}"
    if isinstance(value, list):
        return "[" + ", ".join([_line(item) for item in value]) + "]"
    return canonical_text(value)


def _holds_object(value: dict[str, Json] | list[Json]) -> bool:
    for item in value.values() if isinstance(value, dict) else value:
        if isinstance(item, dict) or (isinstance(item, list) and _holds_object(item)):
            return True
    return False
