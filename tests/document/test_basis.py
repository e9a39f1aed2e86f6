"""What a drawing cannot say is read from a basis."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings

from tests.document.documents import basis_documents
from tests.document.small import changed, without
from trussio.document.basis import read_basis
from trussio.errors import UnreadableError
from trussio.model.loading import LineLoad, RunId
from trussio.model.truss import MaterialId, SectionId

if TYPE_CHECKING:
    from tests.document.json_values import Object
    from trussio.errors import Fault
    from trussio.model.truss import Json

BASIS: dict[str, Json] = {
    "format": "trussio/basis",
    "version": 1,
    "title": "Invented hall",
    "units": "us",
    "drawing_unit": "in",
    "sections": {"2-3x10": {"width": 2.625, "depth": 9.5, "plies": 2}, "strut": {"area": 8, "label": "2 1/2x4"}},
    "materials": {"df1": {"kind": "sawn", "E": 1700000, "density": 34}},
    "members": {"top-chord": {"section": "2-3x10", "material": "df1"}, "web": {"section": "strut"}},
    "supports": {"B0": {"holds": ["x", "y"]}, "B6": {"holds": ["y"]}},
    "loads": {
        "cases": {"S": {"kind": "snow", "loads": [{"role": "top-chord", "down": 60, "per": "plan"}]}},
        "combinations": {"all": {"S": 1}},
    },
    "notes": {"by": "hand"},
}


def faults(document: Json) -> tuple[Fault, ...]:
    """What reading says against a basis."""
    with pytest.raises(UnreadableError) as caught:
        read_basis(json.dumps(document).encode(), name="basis.json")
    return caught.value.faults


def test_a_basis_says_what_a_drawing_cannot() -> None:
    basis = read_basis(json.dumps(BASIS).encode(), name="basis.json")
    assert (basis.name, basis.title, basis.units, basis.drawing_unit) == (
        "basis.json",
        "Invented hall",
        "us",
        "in",
    )
    assert basis.sections[SectionId("2-3x10")].gross_area == 2 * 2.625 * 9.5
    assert basis.sections[SectionId("strut")].label == "2 1/2x4"
    assert basis.materials[MaterialId("df1")].E == 1.7e6
    assert basis.members["web"].section == "strut"
    assert basis.members["web"].material is None
    assert list(basis.supports) == ["B0", "B6"]
    assert basis.loads is not None
    (load,) = basis.loads.cases[RunId("S")].loads
    assert isinstance(load, LineLoad)
    assert (load.on.role, load.value, load.per) == ("top-chord", 60.0, "plan")
    assert basis.notes == {"by": "hand"}


@pytest.mark.parametrize(
    ("pointer", "value", "where", "says"),
    [
        ("/members/web/section", "strutt", "", 'no section is called "strutt". Did you mean "strut"?'),
        ("/members/web/material", "oak", "", 'no material is called "oak".'),
        ("/members/chord", {}, "", 'no field is called "chord" here.'),
        ("/supports/B6", {"holds": ["y", [0, 1]]}, "/holds/1", "this direction is held already."),
        ("/loads/combinations/S", {"S": 1}, "", '"S" is a case and a combination at once.'),
        ("/loads/combinations/all", {"W": 1}, "/W", 'no case is called "W".'),
        ("/loads/cases/S/loads/0", {"support": "B6", "moves": {"x": 1}}, "/moves", "does not hold its joint"),
        ("/format", "trussio/truss", "", "this is a truss document; a basis was expected. Give a basis instead."),
    ],
)
def test_a_fault_is_told_with_its_place(pointer: str, value: Json, where: str, says: str) -> None:
    (fault,) = faults(changed(BASIS, pointer, value))
    assert fault.where == pointer + where
    assert says in str(fault)
    assert fault.line is not None


def test_quantities_need_their_units() -> None:
    (fault,) = faults(without(BASIS, "/units"))
    assert str(fault) == (
        "the whole document (line 1, column 1): the basis gives quantities and does not say in which units. "
        'Add "units": "us" (in, lbf, psi) or "units": "si" (mm, N, MPa).'
    )
    little: Json = {
        "format": "trussio/basis",
        "version": 1,
        "sizing": "before-1970",
        "members": {"web": {"section": "2x6"}},
    }
    assert read_basis(json.dumps(little).encode(), name="basis.json").sizing == "before-1970"


def test_joints_and_members_are_left_to_the_drawing() -> None:
    load: Json = {"member": "bottom", "at": "B3", "fy": -1}
    document = changed(changed(BASIS, "/loads/cases/S/loads/0", load), "/supports/B99", {"holds": ["y"]})
    assert read_basis(json.dumps(document).encode(), name="basis.json").loads is not None


@settings(max_examples=60, deadline=None)
@given(basis_documents())
def test_sound_bases_are_read(document: Object) -> None:
    basis = read_basis(json.dumps(document).encode(), name="basis.json")
    assert (
        basis.sections.keys() == document["sections"].keys() if isinstance(document["sections"], dict) else False
    )
