"""Layers of a drawing: one table, used to write and to read.

A name is discipline, major group, minor group and sometimes a status letter, joined by hyphens, upper case
(form of the US National CAD Standard; that TRUS is its structural major group for trusses is common practice,
no source; the minor groups are user-defined, as the standard allows). Status: `E` existing to remain, `D` to be
demolished, `N` new, `T` temporary. Colours are index numbers of the file format, line weights 1/100 mm.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

Holds = Literal[
    "top-chord",
    "bottom-chord",
    "web",
    "other",
    "member",
    "rod",
    "joint",
    "support",
    "load",
    "mark",
    "dimension",
    "defect",
    "note",
]
"""What lies on a layer. A role stands for its members; `member` is a member whose role nobody said."""

Said = Literal["member", "ignore", "top-chord", "bottom-chord", "web", "other"]
"""What a layer can be said to hold: members, of one role or of any, or nothing that is read."""

SAID: Final[Mapping[str, Said]] = MappingProxyType(
    {
        "member": "member",
        "ignore": "ignore",
        "top-chord": "top-chord",
        "bottom-chord": "bottom-chord",
        "web": "web",
        "other": "other",
    }
)

Status = Literal["existing", "demolished", "new", "temporary"]


class Layer(NamedTuple):
    """One row of the table: `name` without its status letter; `has_status` tells that one follows."""

    holds: Holds
    name: str
    says: str
    colour: int
    weight: int
    has_status: bool = False


LAYERS: tuple[Layer, ...] = (
    Layer("top-chord", "S-TRUS-TCHD", "top chord lines", 7, 50, has_status=True),
    Layer("bottom-chord", "S-TRUS-BCHD", "bottom chord lines", 7, 50, has_status=True),
    Layer("web", "S-TRUS-WEBS", "web members", 7, 35, has_status=True),
    Layer("other", "S-TRUS-OTHR", "members that are neither chord nor web", 7, 35, has_status=True),
    Layer("member", "S-TRUS-MEMB", "members whose role nobody said", 7, 35, has_status=True),
    Layer("rod", "S-TRUS-RODS", "steel rods and ties", 7, 25, has_status=True),
    Layer("joint", "S-TRUS-JNTS", "joints", 8, 18),
    Layer("support", "S-TRUS-SUPT", "supports", 8, 25),
    Layer("load", "S-TRUS-LOAD", "load arrows", 8, 25),
    Layer("mark", "S-TRUS-IDEN", "joint names, member marks and sizes", 7, 18),
    Layer("dimension", "S-TRUS-DIMS", "dimensions", 8, 13),
    Layer("defect", "S-TRUS-DEFC", "defect tags", 7, 25),
    Layer("note", "S-ANNO-NOTE", "title and notes", 8, 18),
)

LETTERS: dict[Status, str] = {"existing": "E", "demolished": "D", "new": "N", "temporary": "T"}

_BY_CONTENT = {layer.holds: layer for layer in LAYERS}
_BY_NAME = {layer.name: layer for layer in LAYERS}
_BY_LETTER = {letter: status for status, letter in LETTERS.items()}


def layer_name(holds: Holds, status: Status = "existing") -> str:
    """The name of the layer to draw on; the status counts only where the layer has one."""
    layer = _BY_CONTENT[holds]
    return f"{layer.name}-{LETTERS[status]}" if layer.has_status else layer.name


def meaning_of(name: str) -> tuple[Holds, Status | None] | None:
    """What a layer's name says, without regard to case: what it holds and in which status.

    None where the name is not of the table; the status is None where the name states none.
    """
    upper = name.strip().upper()
    if upper in _BY_NAME:
        return _BY_NAME[upper].holds, None
    stem, _, letter = upper.rpartition("-")
    layer = _BY_NAME.get(stem)
    if layer is None or not layer.has_status or letter not in _BY_LETTER:
        return None
    return layer.holds, _BY_LETTER[letter]


def said_of(name: str, told: Mapping[str, str]) -> Said | None:
    """What is said to lie on a layer: by the user's map, whatever the case of its name, else by the table's names.

    None where neither says anything, and for supports, which show by themselves.
    """
    words = {layer.casefold(): what for layer, what in told.items()}
    what = words.get(name.casefold())
    if what is not None:
        return SAID.get(what.replace(" ", "-"))
    meaning = meaning_of(name)
    if meaning is None or meaning[0] == "support":
        return None
    return SAID.get(meaning[0], "member" if meaning[0] == "rod" else "ignore")
