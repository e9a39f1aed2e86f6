"""Refuses coordinates that are no places: not a number, infinite, or too large to tell one unit from the next.

The loader takes `nan`, `inf` and `1e999` for numbers, and every box, length and fit after that is quietly wrong.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.blocks import key_of
from trussio.errors import Fault, UnreadableError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.drawing.blocks import Placements
    from trussio.drawing.content import Content, Names, Sign, What
    from trussio.drawing.rows import Rows

LARGEST: Final = 1e15
"""Coordinate beyond which a double no longer tells one drawing unit from the next."""
MOST_TOLD: Final = 20
"""Faults listed; a file of a hundred thousand of them is told by the first."""

Bad = tuple[int, str, int]
"""Number of the entity type, handle, number of the layer."""


def check_content(contents: Mapping[str, Content], names: Names) -> None:
    """Refuse a drawing in which any coordinate, radius or direction is no sound number.

    Raises UnreadableError `bad-number` naming type, handle and layer.
    """
    _refuse([bad for content in contents.values() for bad in _bad_in(content)], names)


def check_rows(rows: Rows, names: Names) -> None:
    """The same after blocks were opened, since a scale can push a coordinate out of bounds."""
    wrong = _wrong(rows.ends.reshape(-1, 6))
    wrong[rows.conic_rows[_wrong(rows.conics)]] = True
    found = np.flatnonzero(wrong).tolist()
    _refuse([(int(rows.kind[row]), rows.handles[row], int(rows.layer[row])) for row in found], names)


def check_copies(placed: Mapping[str, Placements], names: Names, contents: Mapping[str, Content]) -> None:
    """The same for where copies of blocks stand: scales inside one another multiply."""
    far = {key for key, held in placed.items() if not is_sound(held.matrices)}
    wrong = [
        (held.origin.kind, held.origin.handle, held.origin.layer)
        for content in contents.values()
        for held in content.references
        if key_of(held.block) in far
    ]
    _refuse(wrong, names)


def is_sound(values: NDArray[np.float64]) -> bool:
    """Whether every number is finite and within bounds."""
    return bool(np.isfinite(values).all() and (np.abs(values) <= LARGEST).all())


def _refuse(bad: list[Bad], names: Names) -> None:
    if not bad:
        return
    kinds, layers = tuple(names.kinds), tuple(names.layers)
    what = "A coordinate, radius or direction is no number, infinite, or beyond 1e15."
    faults = tuple(
        Fault(where=f"{kinds[kind]} {handle}", what=what, do=f"Mend or delete it (layer {layers[layer]}).")
        for kind, handle, layer in bad[:MOST_TOLD]
    )
    more = f" {len(bad)} entities are so." if len(bad) > 1 else ""
    raise UnreadableError(
        "bad-number", where=faults[0].where, what=what, do=f"{faults[0].do}{more}", faults=faults
    )


def _bad_in(content: Content) -> Iterator[Bad]:
    wrong = _wrong(np.array(content.ends, dtype=np.float64).reshape(-1, 6))
    if content.conics:
        wrong[np.array(content.conic_rows)[_wrong(np.array(content.conics, dtype=np.float64))]] = True
    for row in np.flatnonzero(wrong).tolist():
        yield content.kind[row], content.handles[row], content.layer[row]
    for curve in content.smooth:
        if not (is_sound(curve.points) and is_sound(curve.anchors)):
            yield curve.origin.kind, curve.origin.handle, curve.origin.layer
    yield from _bad_signs(content.texts)
    yield from _bad_signs(content.spots)
    yield from _bad_signs(content.fills)
    yield from _bad_signs(content.dimensions)
    yield from _bad_signs(content.pointers)
    for reference in content.references:
        if not (is_sound(reference.matrix) and is_sound(reference.steps)):
            yield reference.origin.kind, reference.origin.handle, reference.origin.layer


def _bad_signs(signs: Sequence[Sign[What]]) -> Iterator[Bad]:
    for sign in signs:
        if not (is_sound(sign.points) and is_sound(sign.vectors)):
            yield sign.origin.kind, sign.origin.handle, sign.origin.layer


def _wrong(table: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which rows of a table hold an unsound number."""
    worst: NDArray[np.float64] = np.abs(table).max(axis=1, initial=0.0)
    sound: NDArray[np.bool_] = worst <= LARGEST
    return ~sound
