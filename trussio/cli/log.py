"""The log of reading: what was changed, where, by how much, and which entities were touched."""

from __future__ import annotations

from json import dumps
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.formats import Opened
    from trussio.model.change import Change
    from trussio.units import UnitSystem

UNIT: dict[UnitSystem, str] = {"us": "in", "si": "mm"}


def log_text(opened: Sequence[Opened]) -> str:
    """One line a change, numbered as on the overlay."""
    lines: list[str] = []
    for one in opened:
        lines.append(f"{one.truss.title}: {len(one.changes)} changes in reading {one.name}")
        lines += [
            f"{number:4}  {' '.join(_parts(change, UNIT[one.truss.units]))}"
            for number, change in enumerate(one.changes, start=1)
        ]
    return "\n".join(lines) + "\n"


def log_json(opened: Sequence[Opened]) -> str:
    """The same as a document, `trussio/log`."""
    trusses = [
        {
            "title": one.truss.title,
            "drawing": one.name,
            "units": one.truss.units,
            "changes": [
                {
                    "number": number,
                    "kind": change.kind,
                    "says": change.says,
                    "where": None if change.where is None else list(change.where),
                    "distance": change.distance,
                    "handles": list(change.handles),
                }
                for number, change in enumerate(one.changes, start=1)
            ],
        }
        for one in opened
    ]
    return dumps({"format": "trussio/log", "version": 1, "trusses": trusses}, indent=2, ensure_ascii=False) + "\n"


def _parts(change: Change, unit: str) -> Iterator[str]:
    yield f"{change.kind}:"
    yield change.says
    if change.where is not None:
        yield f"At {change.where[0]:.6g}, {change.where[1]:.6g} {unit}."
    if change.distance is not None:
        yield f"Moved {change.distance:.3g} {unit}."
    if change.handles:
        yield f"Handles {', '.join(change.handles)}."
