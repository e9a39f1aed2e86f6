"""From bytes to a document: text, JSON, format and version, then the fields; every fault before the first word.

Limits: 32 MB, 64 objects and lists deep. Text is UTF-8, a byte order mark at its start is passed over. A key
that stands twice in one object, NaN, infinities and numbers beyond a double are refused.
"""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, TypeVar

from trussio.document.fields import Fields
from trussio.document.ledger import INVALID, Ledger
from trussio.document.positions import first_too_deep, line_and_column
from trussio.document.values import MOST_DEPTH, described, refuse
from trussio.errors import Fault, UnreadableError

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.model.truss import Json

    T = TypeVar("T")

MOST_BYTES = 32 * 2**20
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
VERSION = 1

FORMS = {
    "trussio/truss": "a truss document",
    "trussio/basis": "a basis",
    "trussio/results": "a results document",
    "trussio/findings": "a findings document",
    "trussio/recheck": "a check record",
    "trussio/checks": "a checks document",
    "trussio/bands": "a bands document",
    "trussio/second-order": "a second-order document",
}
"""Every format, and what a person calls it."""

SIGNS = {
    b"\x89PNG": "a PNG picture",
    b"\xff\xd8\xff": "a JPEG picture",
    b"%PDF": "a PDF",
    b"PK\x03\x04": "a zip archive or an office file",
    b"\x1f\x8b": "a gzip archive",
    b"Binary DXF": "a binary DXF drawing",
    b"SECTION": "a DXF drawing",
    b"<svg": "an SVG picture",
    b"<html": "a web page",
}
"""Bytes near the beginning that betray another kind of file, as the definition of each kind has them."""

SIGNS_WITHIN = 200


def read_document(
    data: bytes,
    *,
    name: str,
    form: str,
    decode: Callable[[Fields], T],
    check: Callable[[T, Ledger], None] | None = None,
) -> T:
    """The document of the format `form` in a file's bytes; `name` is what messages call the file.

    `decode` reads the fields, `check` then looks for what no schema can say. Raises UnreadableError with every
    fault: `empty`, `too-large`, `not-utf8`, `not-json`, `too-deep`, `wrong-format`, `wrong-version` or
    `invalid-document`.
    """
    text = text_of_file(data, name=name)
    value, odd = parsed(text, name=name)
    made, ledger = structure(value, form, decode)
    if check is not None and ledger.code == INVALID:
        check(made, ledger)
    if odd or ledger.entries:
        if (spot := first_too_deep(text, MOST_DEPTH)) is not None:
            raise _too_deep(text, name, spot)
        error = ledger.error(text, name, odd=odd)
        if error is not None:
            raise error
    return made


def structure(value: Json, form: str, decode: Callable[[Fields], T]) -> tuple[T, Ledger]:
    """What JSON Schema would check of a document, and the ledger of what is wrong with it."""
    ledger = Ledger()
    _check_header(value, form, ledger)
    fields = Fields(value, "", ledger if not ledger.entries else Ledger())
    fields.asked += ["format", "version"]
    made = decode(fields)
    fields.close()
    return made, ledger


def text_of_file(data: bytes, *, name: str) -> str:
    """The text in a file's bytes. Raises UnreadableError `empty`, `too-large` or `not-utf8`."""
    if len(data) > MOST_BYTES:
        raise UnreadableError(
            "too-large",
            where=name,
            what=f"the file has {len(data) / 2**20:.1f} MB; {MOST_BYTES // 2**20} MB is the most that is read.",
            do="Take out what is not needed, or split it.",
        )
    try:
        text = data.removeprefix(BYTE_ORDER_MARK).decode()
    except UnicodeDecodeError as error:
        what = _kind(data) or f"byte {error.start + 1} of the file is no UTF-8."
        raise UnreadableError("not-utf8", where=name, what=what, do="Give text saved as UTF-8.") from None
    if not text or text.isspace():
        raise UnreadableError(
            "empty", where=name, what="the file is empty.", do="Give a file that holds something."
        )
    return text


def parsed(text: str, *, name: str) -> tuple[Json, bool]:
    """The JSON value of a text, and whether a key stands twice or half a character may lurk in it.

    Raises UnreadableError `not-json` or `too-deep`.
    """
    repeated: list[bool] = []

    def as_object(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
        made = dict(pairs)
        if len(made) < len(pairs):
            repeated.append(True)
        return made

    try:
        value: Json = json.loads(text, object_pairs_hook=as_object)
    except RecursionError:
        raise _too_deep(text, name, first_too_deep(text, MOST_DEPTH) or 0) from None
    except json.JSONDecodeError as error:
        spot = first_too_deep(text, MOST_DEPTH)
        raise _not_json(text, name, error) if spot is None else _too_deep(text, name, spot) from None
    except ValueError:
        raise _endless_number(text, name) from None
    return value, bool(repeated) or "\\ud" in text or "\\uD" in text


def _check_header(value: Json, form: str, ledger: Ledger) -> None:
    """Format and version, before anything else is believed."""
    wanted = FORMS[form]
    if not isinstance(value, dict):
        ledger.code = "wrong-format"
        refuse(value, "", ledger, f"{wanted}, which is an object")
        return
    found = value.get("format")
    if found != form:
        ledger.code = "wrong-format"
        if isinstance(found, str) and found in FORMS:
            ledger.add("/format", f"this is {FORMS[found]}; {wanted} was expected.", f"Give {wanted} instead.")
        elif "format" in value:
            do = f'Give {wanted}, which says "format": "{form}".'
            ledger.add("/format", f"{described(found)} is no format that trussio knows.", do)
        else:
            ledger.add("", f'the field "format" is missing, so this is not {wanted}.', f'Add "format": "{form}".')
        return
    _check_version(value, ledger)


def _check_version(value: dict[str, Json], ledger: Ledger) -> None:
    found = value.get("version")
    if found == VERSION and found is not True:
        return
    ledger.code = "wrong-version"
    if "version" not in value:
        ledger.add("", 'the field "version" is missing.', f'Add "version": {VERSION}.')
    elif isinstance(found, int | float) and found > VERSION:
        what = f"this is version {described(found)} of the format; this trussio reads version {VERSION}."
        ledger.add("/version", what, "Use a newer trussio, or have the file written in the older version.")
    else:
        ledger.add("/version", f"expected version {VERSION}, found {described(found)}.", f"Write {VERSION}.")


def _kind(data: bytes) -> str:
    """What another kind of file is, in a sentence, or nothing."""
    head = data[:SIGNS_WITHIN]
    found = next((kind for sign, kind in SIGNS.items() if sign in head), None)
    if found is None and head.startswith((b"\xff\xfe", b"\xfe\xff")):
        found = "text in UTF-16"
    return "" if found is None else f"this looks like {found}."


def _not_json(text: str, name: str, error: json.JSONDecodeError) -> UnreadableError:
    what = f"this is no JSON: {error.msg[0].lower()}{error.msg[1:]}."
    if error.pos >= len(text.rstrip()) or error.msg.startswith("Unterminated string"):
        what = "the text breaks off before the document ends."
    do = "Mend the text there, or have the file written again."
    kind = _kind(text[:SIGNS_WITHIN].encode())
    if kind:
        what, do = kind, "Give a trussio document; a drawing becomes one by convert."
    return _refusal("not-json", text, name, error.pos, what=what, do=do)


def _too_deep(text: str, name: str, spot: int) -> UnreadableError:
    what = f"objects and lists lie more than {MOST_DEPTH} deep here."
    do = "No trussio document is as deep as this; look for brackets that are never closed."
    return _refusal("too-deep", text, name, spot, what=what, do=do)


def _endless_number(text: str, name: str) -> UnreadableError:
    """Python itself takes no integer of more than 4300 digits."""
    found = re.search(r"\d{4301}", text)
    do = "Write it with fewer digits and an exponent."
    spot = 0 if found is None else found.start()
    return _refusal("not-json", text, name, spot, what="a number has thousands of digits.", do=do)


def _refusal(code: str, text: str, name: str, spot: int, *, what: str, do: str) -> UnreadableError:
    line, column = line_and_column(text, [spot])[spot]
    fault = Fault(where=name, what=what, do=do, line=line, column=column)
    return UnreadableError(code, where=name, what=f"line {line}, column {column}: {what}", do=do, faults=(fault,))
