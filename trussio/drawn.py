"""Drawings and documents together: a drawing read into documents, a document drawn.

A drawing that was written here carries its document. It is read back from there while the linework is untouched;
once somebody has edited it, it is read afresh as linework, and says so.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.document.basis import check_made, read_basis
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss, write_truss
from trussio.drawing.answers import NO_ANSWERS, read_answers
from trussio.drawing.dxf import write
from trussio.drawing.embedding import embedded_document
from trussio.drawing.loading import load_drawing
from trussio.drawing.reading import read_loaded
from trussio.drawing.sheet import sheet
from trussio.drawing.sheet_reading import reading_sheet
from trussio.drawing.svg import render
from trussio.errors import UnreadableError, UsageError
from trussio.formats import DrawingOptions, Opened
from trussio.model.basis import Basis
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.answers import Answers
    from trussio.drawing.embedding import Embedded
    from trussio.drawing.loading import Loaded
    from trussio.units import UnitSystem

SYSTEMS: Final[dict[str, UnitSystem]] = {"us": "us", "si": "si"}


def open_drawing(name: str, data: bytes, options: DrawingOptions) -> tuple[Opened, ...]:
    """The trusses of a drawing: its own document where it carries one untouched, else what its lines say.

    Raises UnreadableError where the file is no drawing, is damaged or holds no truss.
    """
    loaded = load_drawing(data, name)
    carried = embedded_document(loaded.drawing)
    if carried is not None and not carried.damage and not carried.edited and options == DrawingOptions():
        return (_carried(name, carried),)
    return _read(loaded, options, () if carried is None else (_set_aside(carried),))


def dxf_bytes(opened: Opened) -> bytes:
    """A drawing of the truss that carries its document."""
    return write(opened.truss, document=write_truss(opened.truss), digest=opened.digest)


def svg_bytes(opened: Opened) -> bytes:
    """A picture of the truss, over the lines that it was read from where it comes from a drawing."""
    if opened.linework is None or opened.placement is None:
        return render(sheet(opened.truss, digest=opened.digest)).encode()
    made = reading_sheet(opened.truss, opened.linework, opened.placement, opened.changes, digest=opened.digest)
    return render(made).encode()


def _carried(name: str, carried: Embedded) -> Opened:
    truss = read_truss(carried.text.encode(), name=name)
    if digest_of_truss(truss) != carried.digest:
        raise UnreadableError(
            "damaged-document",
            where=name,
            what="The document that this drawing carries is not the one it was drawn from.",
            do="Use the truss document itself, or remove the record from the drawing to read its lines.",
        )
    return Opened(name=name, truss=truss, digest=carried.digest)


def _read(loaded: Loaded, options: DrawingOptions, before: tuple[Change, ...]) -> tuple[Opened, ...]:
    basis = None if options.basis is None else read_basis(options.basis[1], name=options.basis[0])
    units = options.units
    system = SYSTEMS.get(units or "")
    if system is not None:
        basis, units = _in_system(basis, system), None
    reading = read_loaded(
        loaded,
        basis=basis,
        units=units,
        scale=options.scale,
        part=options.part,
        layers=dict(options.layers),
        answers=NO_ANSWERS if options.answers is None else _answers(*options.answers),
    )
    opened = []
    for truss, placement in zip(reading.trusses, reading.placements, strict=True):
        source = truss.source and replace(truss.source, changes=(*before, *truss.source.changes))
        told = replace(truss, source=source)
        if basis is not None:
            check_made(told, basis)
        opened.append(
            Opened(
                name=loaded.name,
                truss=told,
                digest=digest_of_truss(told),
                changes=() if source is None else source.changes,
                questions=reading.questions,
                linework=reading.linework,
                placement=placement,
            )
        )
    return tuple(opened)


def _in_system(basis: Basis | None, units: UnitSystem) -> Basis:
    """The basis with the document's unit system as the user said it."""
    if basis is None:
        return Basis(name="--units", units=units)
    if basis.units not in {None, units}:
        raise UsageError(
            "units-conflict",
            where=basis.name,
            what=f"The basis is in {basis.units} units, and --units says {units}.",
            do="Leave out --units, or give a basis in these units.",
        )
    return replace(basis, units=units)


def _answers(name: str, data: bytes) -> Answers:
    try:
        return read_answers(data.decode("utf-8-sig"), name)
    except UnicodeDecodeError as error:
        raise UnreadableError(
            "not-text", where=name, what="The answers are not UTF-8 text.", do="Save them as UTF-8."
        ) from error


def _set_aside(carried: Embedded) -> Change:
    """What is said of a document that is not used."""
    why = carried.damage or (
        "The drawing was edited after it was drawn."
        if carried.edited
        else "Options for reading linework were given."
    )
    return Change(
        kind="document-set-aside",
        says=f"{why} Its document ({carried.digest[7:19]}) is not used; the lines are read afresh.",
    )
