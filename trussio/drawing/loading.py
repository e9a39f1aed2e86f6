"""From the bytes of a file to a drawing in memory, or a refusal that says what is wrong and the way out.

The one seam to the loader of drawings: each of its exceptions is translated here. A file is tried strictly first;
one in text form that is refused is mended by the loader only where counting its tags shows that no number and
no entity was lost by it. Nothing is read from any other file.
"""

from __future__ import annotations

import hashlib
import logging
import re
from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, replace
from io import BytesIO, TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Final

from ezdxf import recover
from ezdxf.document import Drawing
from ezdxf.filemanagement import read
from ezdxf.lldxf.tagger import binary_tags_loader

from trussio.collector import collector_paused
from trussio.drawing.damage import find_damage, grouped_number
from trussio.drawing.signature import (
    BINARY,
    BYTE_ORDER_MARK,
    LOADER_FAULTS,
    check_signature,
    encoding_of,
    read_header,
)
from trussio.errors import UnreadableError
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ezdxf.audit import Auditor

    from trussio.drawing.damage import Damage
    from trussio.drawing.records import Header

LARGEST_FILE: Final = 96 * 2**20
"""Bytes; a truss drawing rarely passes 5 million."""

SAVE_AGAIN: Final = "Open it in the program that made it, save it as DXF again, and give that file."


@dataclass(frozen=True, kw_only=True)
class Loaded:
    """A drawing in memory. `digest` is the SHA-256 of the file's bytes, `changes` what was mended on the way."""

    name: str
    drawing: Drawing
    header: Header
    digest: str
    changes: tuple[Change, ...]


SECTION_NAME: Final = re.compile(rb"\n[ \t]*2[ \t]*\r?\n[ \t]*\Z")
"""What stands before the name of a section."""


def load_drawing(source: Path | str | bytes, name: str = "") -> Loaded:
    """A drawing from a file, or from its bytes.

    Raises UnreadableError `cannot-open`, `file-too-large`, `empty-file`, `not-a-drawing`, `truncated-drawing`,
    `damaged-drawing`, `numbers-lost` or `content-lost`.
    """
    name = name or ("drawing" if isinstance(source, bytes) else Path(source).name)
    data = source if isinstance(source, bytes) else _bytes_of(Path(source), name)
    if len(data) > LARGEST_FILE:
        raise UnreadableError(
            "file-too-large",
            where=name,
            what=f"The file passes the limit of {LARGEST_FILE // 2**20} MB.",
            do="Save the truss alone in a drawing of its own.",
        )
    check_signature(data, name)
    header = read_header(data)
    plain, changes = _plain(data)
    with collector_paused(), _quiet_loader():
        drawing, mended = _loaded(plain, header, name)
    return Loaded(
        name=name,
        drawing=drawing,
        header=replace(header, recovered=bool(mended)),
        digest=f"sha256:{hashlib.sha256(data).hexdigest()}",
        changes=(*changes, *mended),
    )


@contextmanager
def _quiet_loader() -> Iterator[None]:
    """Keep the loader's own log off the terminal; what it has to say is said in changes and errors."""
    log, handler = logging.getLogger("ezdxf"), logging.NullHandler()
    log.addHandler(handler)
    try:
        yield
    finally:
        log.removeHandler(handler)


def _bytes_of(path: Path, name: str) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as fault:
        is_folder = isinstance(fault, IsADirectoryError)
        reason = "This is a folder, not a file." if is_folder else f"The file cannot be opened: {_reason(fault)}."
        do = "Give the drawing inside it." if is_folder else "Check the name and the right to read it."
        raise UnreadableError("cannot-open", where=name, what=reason, do=do) from fault


def _plain(data: bytes) -> tuple[bytes, tuple[Change, ...]]:
    """The bytes without what stops the loader and means nothing: a byte order mark, old line ends."""
    changes = []
    if data.startswith(BYTE_ORDER_MARK):
        data = data.removeprefix(BYTE_ORDER_MARK)
        changes.append(Change(kind="byte-order-mark", says="A byte order mark before the drawing was skipped."))
    if not data.startswith(BINARY) and b"\n" not in data:
        data = data.replace(b"\r", b"\n")
        changes.append(
            Change(kind="line-ends", says="The lines end in carriage returns alone; read as line ends.")
        )
    return data, tuple(changes)


def _loaded(data: bytes, header: Header, name: str) -> tuple[Drawing, tuple[Change, ...]]:
    if data.startswith(BINARY):
        try:
            return Drawing.load(binary_tags_loader(data)), ()
        except LOADER_FAULTS as fault:
            raise UnreadableError(
                "damaged-drawing",
                where=name,
                what=f"The binary drawing is damaged or cut short: {_reason(fault)}.",
                do=SAVE_AGAIN,
            ) from fault
    grouped = grouped_number(data)
    if grouped is not None:
        raise _numbers_lost(name, (grouped,))
    twice = _section_twice(data)
    if twice is not None:
        return _mended(data, name, f"its section {twice} stands twice")
    try:
        encoding = encoding_of(header, data)
        return read(TextIOWrapper(BytesIO(data), encoding=encoding, errors="surrogateescape")), ()
    except LOADER_FAULTS as fault:
        return _mended(data, name, _reason(fault))


def _section_twice(data: bytes) -> str | None:
    """A section that stands twice: the strict loader would drop the first of them without a word."""
    for section in (b"ENTITIES", b"BLOCKS", b"TABLES"):
        at, named = data.find(section), 0
        while at >= 0:
            named += SECTION_NAME.search(data, max(0, at - 40), at) is not None
            if named > 1:
                return section.decode()
            at = data.find(section, at + 1)
    return None


def _mended(data: bytes, name: str, reason: str) -> tuple[Drawing, tuple[Change, ...]]:
    damage = find_damage(data)
    _refuse_losses(damage, name)
    try:
        drawing, auditor = recover.read(BytesIO(data))
        lost = _lost(damage, drawing)
    except LOADER_FAULTS as fault:
        raise UnreadableError(
            "damaged-drawing",
            where=name,
            what=f"The drawing is damaged and could not be mended: {reason}; then {_reason(fault)}.",
            do=SAVE_AGAIN,
        ) from fault
    if lost:
        listed = ", ".join(f"{count} {kind}" for kind, count in sorted(lost.items()))
        raise UnreadableError(
            "content-lost",
            where=name,
            what=f"The drawing is damaged ({reason}); mending it would lose {listed}.",
            do=SAVE_AGAIN,
        )
    return drawing, _mending(damage, auditor, reason)


def _refuse_losses(damage: Damage, name: str) -> None:
    if damage.bad_code is not None:
        line, text = damage.bad_code
        raise UnreadableError(
            "damaged-drawing",
            where=name,
            what=f"Line {line} must be a group code and is {text!r}.",
            do=SAVE_AGAIN,
        )
    if damage.open_section is not None:
        raise UnreadableError(
            "truncated-drawing",
            where=name,
            what=f"The file is cut short: its section {damage.open_section} has no end.",
            do="Fetch the file again, or save it again; what is missing cannot be known.",
        )
    if damage.odd_numbers:
        raise _numbers_lost(name, damage.odd_numbers)
    if damage.lone_points:
        line, value = damage.lone_points[0]
        raise UnreadableError(
            "numbers-lost",
            where=name,
            what=f"{len(damage.lone_points)} points have an x and no y, the first on line {line} ({value}).",
            do=SAVE_AGAIN,
        )


def _numbers_lost(name: str, odd: tuple[tuple[int, str], ...]) -> UnreadableError:
    line, value = odd[0]
    return UnreadableError(
        "numbers-lost",
        where=name,
        what=f"{len(odd)} values that must be numbers are none, the first on line {line}: {value!r}.",
        do="Save it with a decimal point and plain digits; a number that must be guessed at is never taken.",
    )


def _lost(damage: Damage, drawing: Drawing) -> Counter[str]:
    """How many entities of each type stood in the file and are not in the mended drawing."""
    kept = Counter(entity.dxftype() for layout in drawing.layouts for entity in layout)
    return Counter(damage.drawn) - kept


def _mending(damage: Damage, auditor: Auditor, reason: str) -> tuple[Change, ...]:
    entries = [*auditor.errors, *auditor.fixes]
    first = f" {len(entries)} repairs, the first: {_tidy(entries[0].message)}." if entries else ""
    changes = [
        Change(
            kind="drawing-mended",
            says=f"The drawing is damaged ({reason}) and was mended; no entity of model or paper space was "
            f"lost.{first}",
        )
    ]
    if not damage.ended:
        changes.append(Change(kind="no-end-mark", says="The file has no end mark; all its sections are complete."))
    return tuple(changes)


def _reason(fault: BaseException) -> str:
    text = fault.strerror if isinstance(fault, OSError) and fault.strerror else str(fault)
    return _tidy(text) or type(fault).__name__


def _tidy(message: str) -> str:
    """A message of the loader on one line, without numbers that are places in memory."""
    line = re.sub(r"\(?#\d{9,}\)?", "", " ".join(message.split()))
    return line.encode("ascii", "backslashreplace").decode("ascii").rstrip(".")[:160]
