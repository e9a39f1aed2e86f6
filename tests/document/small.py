"""A small truss document of three joints, and the means to spoil it in one place."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import TYPE_CHECKING, Final

import pytest

from trussio.document.decode import read_truss
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from trussio.errors import Fault
    from trussio.model.truss import Json, Truss

SMALL: Final[dict[str, Json]] = {
    "format": "trussio/truss",
    "version": 1,
    "title": "Invented lean-to",
    "units": "us",
    "joints": {
        "B0": {"x": 0, "y": 0},
        "B1": {"x": 84, "y": 0},
        "B2": {"x": 168, "y": 0},
        "T1": {"x": 84, "y": 63},
    },
    "members": {
        "bottom": {"role": "bottom-chord", "through": ["B0", "B1", "B2"], "section": "bc", "material": "df1"},
        "top": {"role": "top-chord", "through": ["B0", "T1"], "section": "bc", "material": "df1"},
        "bow": {"role": "top-chord", "through": ["B2", "T1"], "curve": {"radius": 612.5, "bows": "up"}},
        "w1": {"role": "web", "through": ["B1", "T1"], "section": "bc"},
    },
    "supports": {"B0": {"holds": ["x", "y"]}, "B2": {"holds": ["y"]}},
    "sections": {"bc": {"width": 2.625, "depth": 9.5, "plies": 2}},
    "materials": {"df1": {"kind": "sawn", "E": 1700000, "density": 34}},
    "loads": {
        "cases": {
            "D": {"kind": "dead", "loads": [{"joint": "T1", "fy": -1200}, {"weight_of": "all"}]},
            "S": {"kind": "snow", "loads": [{"role": "top-chord", "down": 60, "per": "plan"}]},
        },
        "combinations": {"D+S": {"D": 1, "S": 1}},
    },
}


def changed(document: dict[str, Json], pointer: str, value: Json) -> dict[str, Json]:
    """The document with another value at a pointer, which may be new to an object or the next of a list."""
    made = deepcopy(document)
    *above, last = (part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:])
    holder: Json = made
    for part in above:
        if isinstance(holder, list):
            holder = holder[int(part)]
        else:
            assert isinstance(holder, dict)
            holder = holder[part]
    if isinstance(holder, list):
        holder[int(last) : int(last) + 1] = [value]
    else:
        assert isinstance(holder, dict)
        holder[last] = value
    return made


def without(document: dict[str, Json], pointer: str) -> dict[str, Json]:
    """The document without the field of an object at a pointer."""
    above, _, last = pointer.rpartition("/")
    holder = made = deepcopy(document)
    for part in above.split("/")[1:]:
        inner = holder[part]
        assert isinstance(inner, dict)
        holder = inner
    del holder[last]
    return made


def refusal(document: Json) -> UnreadableError:
    """What reading says against a document."""
    with pytest.raises(UnreadableError) as caught:
        read_truss(json.dumps(document, indent=2).encode(), name="truss.json")
    return caught.value


def only_fault(document: Json) -> Fault:
    """The one fault of a document."""
    (fault,) = refusal(document).faults
    return fault


def taken(document: Json) -> Truss:
    """The truss of a document without a fault."""
    return read_truss(json.dumps(document).encode(), name="truss.json")
