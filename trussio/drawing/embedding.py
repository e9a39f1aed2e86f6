"""The document in a drawing: its text, its digest, and a digest of the linework that was drawn from it.

Whoever reads the drawing compares the linework as it is now with the stored digest: only where they are the same
does the document still belong to the drawing. The linework is every entity of model space: its kind, layer, line
type, visibility, places, sizes and texts, with blocks opened, to a millionth of a unit, in no order.
Colours, line weights, text styles, handles and application data do not count, nor does the order of entities.

The text is stored as base64 of its UTF-8 bytes, since programs decode escapes and trim blanks in plain strings.
"""

from __future__ import annotations

import hashlib
from base64 import b64decode, b64encode
from binascii import Error as NotBase64
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from ezdxf.entities.dxfobj import XRecord
from ezdxf.lldxf.tagwriter import TagCollector

from trussio.drawing.signature import LOADER_FAULTS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from ezdxf.document import Drawing
    from ezdxf.entities.dxfentity import DXFEntity
    from ezdxf.lldxf.types import DXFTag

APPLICATION: Final = "TRUSSIO"
"""Registered application name of our data."""
RECORD: Final = "TRUSSIO_DOCUMENT"
"""Entry of the root dictionary that holds the document."""
CHUNK: Final = 240
"""Characters of one string; the format allows 255."""

_LEFT_OUT: Final = frozenset({5, 7, 48, 62, 67, 100, 105, 370, 390, 410, 420, 430, 440})
"""Group codes that are no linework: handles, colours, weights, styles, subclass marks, layout names."""


@dataclass(frozen=True, kw_only=True)
class Embedded:
    """A document found in a drawing.

    `text` is the document and `digest` what the drawing says its digest is: whoever reads the text compares the
    two. `linework` is the digest stored with it, `found` that of the linework as it is now. `damage` says what
    is wrong with the record, empty where nothing is; `text` is then empty.
    """

    text: str
    digest: str
    linework: str
    found: str
    damage: str = ""

    @property
    def edited(self) -> bool:
        """Whether the drawing is no longer as it was drawn from the document."""
        return self.linework != self.found


def embed(drawing: Drawing, *, document: str, digest: str) -> None:
    """Put a document into a drawing that was drawn from it and is otherwise finished."""
    data = document.encode()
    coded = b64encode(data).decode("ascii")
    strings = [
        "v=1",
        f"digest={digest}",
        f"linework={linework_digest(drawing)}",
        f"text={_sha256(data)}",
        *(coded[start : start + CHUNK] for start in range(0, len(coded), CHUNK)),
    ]
    record = drawing.rootdict.add_xrecord(RECORD)
    record.reset([(1, string) for string in strings])


def embedded_document(drawing: Drawing) -> Embedded | None:
    """The document in a drawing, or None where there is none."""
    record = drawing.rootdict.get(RECORD)
    if not isinstance(record, XRecord):
        return None
    strings = [str(tag.value) for tag in record.tags if tag.code == 1]
    named = dict(string.split("=", 1) for string in strings[:4] if "=" in string)
    if named.get("v") != "1" or not {"digest", "linework", "text"} <= set(named):
        return Embedded(
            text="", digest="", linework="", found="", damage="The stored document has no heading that we know."
        )
    found = linework_digest(drawing)
    text, damage = _decoded("".join(strings[4:]), named["text"])
    return Embedded(text=text, digest=named["digest"], linework=named["linework"], found=found, damage=damage)


def _decoded(coded: str, digest: str) -> tuple[str, str]:
    """The stored text, or an empty one and what is wrong with it."""
    try:
        data = b64decode(coded, validate=True)
        text = data.decode()
    except (NotBase64, UnicodeDecodeError):
        return "", "The stored document is garbled."
    if _sha256(data) != digest:
        return "", "The stored document was altered or cut short."
    return text, ""


def linework_digest(drawing: Drawing) -> str:
    """SHA-256 of what is drawn in model space, and of the unit that it is drawn in."""
    blocks: dict[str, str] = {}
    entries = sorted(_entry(drawing, entity, blocks) for entity in drawing.modelspace())
    unit = f"unit {drawing.header.get('$INSUNITS', 0)}"
    return _sha256("\n".join([unit, *entries]).encode("utf-8", "surrogatepass"))


def _entry(drawing: Drawing, entity: DXFEntity, blocks: dict[str, str]) -> str:
    """One entity on one line."""
    try:
        tags = list(_linework_tags(TagCollector.dxftags(entity)))
    except LOADER_FAULTS:
        return f"{entity.dxftype()} unreadable"
    if entity.dxftype() == "INSERT":
        tags.append(f"content {_block_digest(drawing, str(entity.dxf.name), blocks)}")
    return " | ".join(tags)


def _block_digest(drawing: Drawing, name: str, blocks: dict[str, str]) -> str:
    """SHA-256 of what a block draws; a block inside itself counts by its name."""
    if name in blocks:
        return blocks[name]
    blocks[name] = name
    layout = drawing.blocks.get(name)
    entries = [] if layout is None else sorted(_entry(drawing, entity, blocks) for entity in layout)
    blocks[name] = _sha256("\n".join(entries).encode("utf-8", "surrogatepass"))
    return blocks[name]


def _linework_tags(tags: Iterable[DXFTag]) -> Iterator[str]:
    """The tags of an entity that are linework; a zero that a program may write or not counts as not written.

    The insertion point of an aligned text follows from its alignment point, and programs compute it anew.
    """
    kept = [tag for tag in tags if tag.code not in _LEFT_OUT and tag.code < 1000 and not 310 <= tag.code < 370]
    aligned = any(tag.code in {72, 73} and tag.value for tag in kept) and kept[0].value == "TEXT"
    grouped = False
    for tag in kept:
        grouped = tag.value != "}" if tag.code == 102 else grouped
        left_out = tag.code == 102 or grouped or (aligned and tag.code in {10, 20, 30})
        if not left_out and not (tag.code >= 40 and tag.value == 0):
            yield f"{tag.code} {_value(tag)}"


def _value(tag: DXFTag) -> str:
    """A value as text: numbers to six decimals, no minus before a zero, layers and line types in capitals."""
    value = tag.value
    if isinstance(value, str):
        return value.upper() if tag.code in {6, 8} else value
    if isinstance(value, (bytes, bytearray)):
        return bytes(value).hex()
    numbers = value if hasattr(value, "__iter__") else (value,)
    return " ".join(f"{round(float(number), 6) + 0.0:.6f}" for number in numbers)


def _sha256(data: bytes) -> str:
    return f"sha256:{hashlib.sha256(data).hexdigest()}"
