"""Sag records read, written, converted; and refused where they measure nothing."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.document.small import SMALL, changed, only_fault, taken
from trussio.document.conversion import to_units
from trussio.document.encode import write_truss
from trussio.model.loading import RunId
from trussio.model.sag import Sag
from trussio.model.truss import JointId

if TYPE_CHECKING:
    from trussio.model.truss import Json

STRING: dict[str, Json] = {
    "by": "string-line", "from": "B0", "to": "B2", "at": "B1", "off": 1.75, "date": "2026-03-02",
}  # fmt: skip
PLUMB: dict[str, Json] = {"by": "plumb", "from": "T1", "at": "B1", "off": -0.5, "date": "2026-03-02"}
MORE: dict[str, Json] = {"load": {"D": 1, "S": 0.4}, "camber": 0.5, "creep": 1.5, "notes": {"by": "N. N."}}


def document(*entries: dict[str, Json]) -> dict[str, Json]:
    """The small document with the records g0, g1, ..."""
    return changed(SMALL, "/sags", {f"g{index}": entry for index, entry in enumerate(entries)})


def test_both_kinds_are_read_and_written_as_they_were() -> None:
    given = document({**STRING, **MORE}, PLUMB)
    truss = taken(given)
    b0, b1, b2, t1 = (JointId(name) for name in ("B0", "B1", "B2", "T1"))
    assert [*truss.sags.values()] == [
        Sag(
            by="string-line", start=b0, end=b2, at=b1, off=1.75, date="2026-03-02",
            load={RunId("D"): 1.0, RunId("S"): 0.4}, camber=0.5, creep=1.5, notes={"by": "N. N."},
        ),
        Sag(by="plumb", start=t1, at=b1, off=-0.5, date="2026-03-02"),
    ]  # fmt: skip
    assert json.loads(write_truss(truss))["sags"] == given["sags"]


def test_lengths_convert_and_factors_do_not() -> None:
    written = json.loads(write_truss(to_units(taken(document({**STRING, **MORE})), "si")))["sags"]["g0"]
    assert (written["off"], written["camber"]) == (44.45, 12.7)
    assert (written["load"], written["creep"]) == ({"D": 1, "S": 0.4}, 1.5)


@pytest.mark.parametrize(
    ("entry", "where", "says"),
    [
        ({**STRING, "at": "B9"}, "/at", 'no joint is called "B9".'),
        ({**STRING, "to": "B9"}, "/to", 'no joint is called "B9".'),
        ({**STRING, "load": {"W": 1}}, "/load/W", 'no case is called "W".'),
        ({**STRING, "load": {"D+S": 1}}, "/load/D+S", 'no case is called "D+S".'),
        ({k: v for k, v in STRING.items() if k != "to"}, "", "a string line is stretched between two joints"),
        ({**PLUMB, "to": "B2"}, "/to", "a plumb line hangs from one joint."),
        ({**STRING, "at": "B2"}, "/at", '"B2" is a joint of the line itself.'),
        ({**PLUMB, "at": "T1"}, "/at", '"T1" is a joint of the line itself.'),
        ({**STRING, "from": "B1", "to": "T1", "at": "B0"}, "/to", '"B1" and "T1" stand above each other'),
        ({**STRING, "creep": 0.99}, "/creep", "expected a number from 1 up"),
        ({k: v for k, v in STRING.items() if k != "date"}, "", 'the field "date" is missing.'),
    ],
)
def test_what_measures_nothing_is_refused(entry: dict[str, Json], where: str, says: str) -> None:
    fault = only_fault(document(entry))
    assert fault.where == f"/sags/g0{where}"
    assert says in fault.what


def test_creep_of_one_is_taken() -> None:
    assert taken(document({**STRING, "creep": 1})).sags["g0"].creep == 1.0
