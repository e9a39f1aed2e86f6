"""What a file is by its first bytes, and the header of a drawing as it stands in the file.

The loader of drawings takes archives, pictures and empty files for empty drawings, and puts a length unit where
the file has none; so both are looked at in the bytes themselves. Terms: a *tag* is a group code and a value, on
two lines of text or in binary form. Signatures: published file format descriptions, from memory.
"""

from __future__ import annotations

import re
import struct
from io import StringIO
from itertools import islice
from typing import TYPE_CHECKING, Final

from ezdxf.lldxf.const import DXFError
from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader

from trussio.drawing.records import Header
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ezdxf.lldxf.types import DXFTag

BINARY: Final = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""The first 22 bytes of a binary drawing, as the file format fixes them."""
BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"
LOADER_FAULTS: Final = (
    DXFError,
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    OSError,
    RuntimeError,
    StopIteration,
    TypeError,
    ValueError,
    struct.error,
)
"""What the loader of drawings raises over damaged files, as met with or read in its source."""
FIRST_UTF8_VERSION: Final = "AC1021"
LONGEST_HEADER: Final = 20_000
"""Tags looked at before the header is given up; a real one has some 800."""

_KINDS: Final = (
    (b"\x1f\x8b", "a gzip archive", "Unpack it and give the drawing inside."),
    (b"PK\x03\x04", "a zip archive", "Unpack it and give the drawing inside."),
    (b"PK\x05\x06", "an empty zip archive", "Give the drawing itself."),
    (b"7z\xbc\xaf", "a 7z archive", "Unpack it and give the drawing inside."),
    (b"Rar!", "a rar archive", "Unpack it and give the drawing inside."),
    (b"%PDF", "a PDF", "Ask the surveyor for the drawing in DXF; lines of a PDF carry no layers and no unit."),
    (b"\x89PNG", "a PNG picture", "Ask the surveyor for the drawing in DXF."),
    (b"\xff\xd8\xff", "a JPEG picture", "Ask the surveyor for the drawing in DXF."),
    (b"GIF8", "a GIF picture", "Ask the surveyor for the drawing in DXF."),
    (b"II*\x00", "a TIFF picture", "Ask the surveyor for the drawing in DXF."),
    (b"MM\x00*", "a TIFF picture", "Ask the surveyor for the drawing in DXF."),
    (b"BM", "a BMP picture", "Ask the surveyor for the drawing in DXF."),
    (b"AC10", "a drawing in DWG form", "Save it as DXF (R12 to R2018) and give that file."),
    (b"\xff\xfe", "text in UTF-16", "Save it as DXF in UTF-8 or in the code page of the drawing."),
    (b"\xfe\xff", "text in UTF-16", "Save it as DXF in UTF-8 or in the code page of the drawing."),
    (b"{", "a JSON document", "Give the drawing in DXF; a truss document is read by the verbs that take one."),
    (b"[", "a JSON document", "Give the drawing in DXF."),
    (b"<", "an SVG, HTML or XML document", "Give the drawing in DXF."),
)


def check_signature(data: bytes, name: str) -> None:
    """Refuse what is no DXF by its first bytes, saying what it is.

    Raises UnreadableError `empty-file` or `not-a-drawing`.
    """
    if data.startswith(BINARY):
        return
    start = data[:4096].removeprefix(BYTE_ORDER_MARK).lstrip(b" \t\r\n\x0b\x0c")
    if not data:
        raise UnreadableError("empty-file", where=name, what="The file is empty.", do="Save the drawing again.")
    if re.match(rb"(?:0|999)[ \t]*(?:\r|\n|$)", start):
        return
    for signature, kind, do in _KINDS:
        if start.startswith(signature):
            raise UnreadableError("not-a-drawing", where=name, what=f"This is {kind}, not a DXF drawing.", do=do)
    raise UnreadableError(
        "not-a-drawing",
        where=name,
        what="This is no DXF drawing: it does not begin with group code 0 or 999.",
        do="Save the drawing as DXF (R12 to R2018, text or binary) and give that file.",
    )


def read_header(data: bytes) -> Header:
    """The header of a drawing, taken from its first section.

    What is absent or no number stays None; a header that cannot be read counts as absent.
    """
    found = _variables(data)
    return Header(
        insunits=_whole(found.get("$INSUNITS")),
        measurement=_whole(found.get("$MEASUREMENT")),
        lunits=_whole(found.get("$LUNITS")),
        version=str(found.get("$ACADVER", "")).strip(),
        codepage=str(found["$DWGCODEPAGE"]).strip() if "$DWGCODEPAGE" in found else None,
    )


def encoding_of(header: Header, data: bytes) -> str:
    """The name of the code page that texts are stored in.

    From R2007 on it is UTF-8. Before that the header names it; bytes that are valid UTF-8 and no plain ASCII are
    UTF-8 all the same where the header names none or the Western default, since chance does not make them so.
    """
    if header.version >= FIRST_UTF8_VERSION:
        return "utf-8"
    named = codec(header.codepage or "")
    if named in {"", "cp1252"} and not data.isascii() and _is_utf8(data):
        return "utf-8"
    return named or "cp1252"


def codec(codepage: str) -> str:
    """The Python name of a code page as drawings write it (`ANSI_932`, `dos850`); empty where there is none."""
    page = codepage.strip().lower()
    special = {"big5": "big5", "ksc5601": "cp949", "johab": "johab", "gb2312": "gbk", "mac-roman": "mac-roman"}
    if page in special:
        return special[page]
    number = re.fullmatch(r"(?:ansi_|dos|cp|windows-)?(\d{3,5})", page)
    if number is not None:
        name = {"936": "gbk", "1361": "johab", "65001": "utf-8", "1200": "utf-8"}.get(number[1], f"cp{number[1]}")
        return name if _known(name) else ""
    latin = re.fullmatch(r"iso_?8859[-_](\d{1,2})", page)
    name = f"iso8859-{latin[1]}" if latin else page.replace("_", "-")
    return name if page in {"utf-8", "utf8", "ascii"} or (latin and _known(name)) else ""


def _known(name: str) -> bool:
    try:
        "".encode(name)
    except LookupError:
        return False
    return True


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _variables(data: bytes) -> dict[str, str | int]:
    found: dict[str, str | int] = {}
    name = ""
    try:
        for code, value in islice(_tags(data), LONGEST_HEADER):
            if code == 0 and str(value).strip() in {"ENDSEC", "EOF"}:
                break
            if code == 2 and not found and not name and str(value).strip() != "HEADER":
                break
            if code == 9:
                name = str(value).strip()
            elif name and code in {1, 3, 70}:
                found.setdefault(name, value if isinstance(value, int) else str(value))
    except LOADER_FAULTS:
        return found
    return found


def _tags(data: bytes) -> Iterator[DXFTag]:
    if data.startswith(BINARY):
        return binary_tags_loader(data)
    text = data[: LONGEST_HEADER * 40].decode("latin-1").removeprefix("\u00ef\u00bb\u00bf")
    return ascii_tags_loader(StringIO(text, newline=None))


def _whole(value: str | int | None) -> int | None:
    try:
        return None if value is None else int(value)
    except ValueError:
        return None
