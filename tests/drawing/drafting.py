"""Small drawings as a file would hold them: bare tags for old and broken ones, a writer for new ones."""

from __future__ import annotations

from io import BytesIO, StringIO
from typing import TYPE_CHECKING

from ezdxf.filemanagement import new

from trussio.drawing.linework import read_linework
from trussio.drawing.loading import load_drawing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ezdxf.document import Drawing

    from trussio.drawing.records import Linework, Text
    from trussio.drawing.showing import Wish
    from trussio.errors import TrussioError

Tag = tuple[int, object]


def bare(entities: Iterable[Tag] = (), *, header: Iterable[Tag] = (), blocks: Iterable[Tag] = ()) -> bytes:
    """An R12 drawing in text form with these tags and no others."""
    sections: list[tuple[str, list[Tag]]] = [("HEADER", [(9, "$ACADVER"), (1, "AC1009"), *header])]
    if blocks:
        sections.append(("BLOCKS", list(blocks)))
    sections.append(("ENTITIES", list(entities)))
    tags: list[Tag] = []
    for name, held in sections:
        tags += [(0, "SECTION"), (2, name), *held, (0, "ENDSEC")]
    return as_text([*tags, (0, "EOF")])


def as_text(tags: Iterable[Tag]) -> bytes:
    """Tags as lines of text."""
    return "".join(f"{code}\n{value}\n" for code, value in tags).encode("cp1252")


def line(
    first: tuple[object, ...], last: tuple[object, ...], *, layer: str = "0", handle: str | None = None
) -> list[Tag]:
    """The tags of a LINE."""
    tags: list[Tag] = [(0, "LINE")]
    if handle is not None:
        tags.append((5, handle))
    tags.append((8, layer))
    for start, place in ((10, first), (11, last)):
        tags += [(start + 10 * index, value) for index, value in enumerate(place)]
    return tags


def drawing(version: str = "R2010", units: int = 1) -> Drawing:
    """An empty drawing to draw in; its header says inches unless told otherwise."""
    return new(version, units=units)


def saved(made: Drawing) -> bytes:
    """A drawing as the bytes of its file in text form."""
    stream = StringIO()
    made.write(stream)
    return stream.getvalue().encode(made.output_encoding, "surrogateescape")


def saved_binary(made: Drawing) -> bytes:
    """A drawing as the bytes of its file in binary form."""
    stream = BytesIO()
    made.write(stream, fmt="bin")
    return stream.getvalue()


def linework(
    data: bytes | Drawing,
    *,
    sheet: str | None = None,
    hidden: Wish | None = None,
    up: tuple[float, float, float] | None = None,
) -> Linework:
    """The linework of a drawing or of a file's bytes; the accounts are checked on the way."""
    held = data if isinstance(data, bytes) else saved(data)
    read = read_linework(load_drawing(held, "test.dxf"), sheet=sheet, hidden=hidden, up=up)
    assert read.seen == read.used + sum(aside.count for aside in read.set_aside)
    assert read.used > 0
    return read


def aside(read: Linework) -> dict[tuple[str, str], int]:
    """What was set aside, by reason and type."""
    return {(held.reason, held.kind): held.count for held in read.set_aside}


def kinds(read: Linework) -> list[str]:
    """The kinds of all changes."""
    return [change.kind for change in read.changes]


def codes(read: Linework) -> list[str]:
    """The codes of all questions."""
    return [question.code for question in read.questions]


def only_text(read: Linework) -> Text:
    """The one text of a drawing."""
    (text,) = read.texts
    return text


def message(error: TrussioError) -> str:
    """What a person is told."""
    return str(error)
