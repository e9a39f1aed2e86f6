"""The pieces of a connection between European strength classes and steel, in mm, with their densities.

Source: EN 338 and EN 14080 as the data file marks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.timber.eurocode import strength_class
from trussio.timber.european_checks import MM, EuropeanStock
from trussio.timber.joints import Layer, grain_of_plates

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.connection import Connection, Piece
    from trussio.model.truss import MemberId, Truss
    from trussio.timber.bench import Bench
    from trussio.timber.joints import End, Vector


def european_layers(
    bench: Bench, connection: Connection, ends: Mapping[MemberId, Sequence[End]]
) -> tuple[Layer, ...]:
    """The layers of a connection in mm. Raises UsageError that names what is missing."""
    axis = grain_of_plates(ends)
    return tuple(
        european_plate(bench.truss, piece, axis)
        if piece.member is None
        else european_ply(bench, piece, piece.member, ends[piece.member])
        for piece in connection.pieces
    )


def european_ply(bench: Bench, piece: Piece, name: MemberId, ends: Sequence[End]) -> Layer:
    """One ply of a stick with the ends that it has here; it runs through where there are two."""
    stock, material = bench.stock(name), bench.truss.material_of(name)
    if not isinstance(stock, EuropeanStock) or material is None:
        raise UsageError(
            "other-code",
            where=name,
            what="it is checked by NDS-2018 and others here by EN 1995-1-1.",
            do="State values of one code for all sticks of a connection.",
        )
    row = strength_class(material.grade or "no grade")
    return Layer(
        name=name,
        piece=_in_mm(piece, MM[bench.truss.units]),
        member=name,
        thickness=stock.breadth,
        depth=stock.depth,
        grain=ends[0].along,
        inward=ends[0].inward if len(ends) == 1 else None,
        plies=stock.plies,
        G=None,
        E=row["E0mean"],
        Fe=None,
        rho_k=row["rho_k"],
        fc90k=row["fc90k"],
    )


def european_plate(truss: Truss, piece: Piece, axis: Vector) -> Layer:
    """A plate; the grain of a wooden one runs along the axis."""
    mm = MM[truss.units]
    if piece.thickness is None:
        raise UsageError(
            "value-missing", where="pieces", what="a plate has no thickness.", do="Enter it as measured."
        )
    material = None if piece.material is None else truss.materials[piece.material]
    wood = piece.plate == "wood"
    row = strength_class((None if material is None else material.grade) or "no grade") if wood else None
    return Layer(
        name=f"{'wooden' if wood else 'steel'} plate",
        piece=_in_mm(piece, mm),
        member=None,
        thickness=piece.thickness * mm,
        depth=None if piece.depth is None else piece.depth * mm,
        grain=axis if wood else None,
        inward=axis if wood else None,
        plies=1,
        G=None,
        E=210000.0 if row is None else row["E0mean"],
        Fe=None,
        rho_k=None if row is None else row["rho_k"],
        fc90k=None if row is None else row["fc90k"],
    )


def _in_mm(piece: Piece, mm: float) -> Piece:
    def length(value: float | None) -> float | None:
        return None if value is None else value * mm

    return piece._replace(
        end=length(piece.end),
        edge=length(piece.edge),
        upper_edge=length(piece.upper_edge),
        lower_edge=length(piece.lower_edge),
    )
