"""What a schema cannot say: names that name nothing, and runs with two meanings."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.document.small import SMALL, changed, only_fault, taken, without

if TYPE_CHECKING:
    from trussio.model.truss import Json


@pytest.mark.parametrize(
    ("pointer", "value", "where", "says"),
    [
        ("/members/w1/through/1", "T11", "", 'no joint is called "T11". Did you mean "T1"?'),
        ("/members/w1/section", "bd", "", 'no section is called "bd". Did you mean "bc"?'),
        (
            "/members/w1/material",
            "oak",
            "",
            'no material is called "oak". Add it to /materials, or name one that is',
        ),
        ("/supports/B9", {"holds": ["x"]}, "", 'no joint is called "B9". Did you mean "B0"?'),
        ("/loads/cases/D/loads/0/joint", "t1", "", 'no joint is called "t1". Did you mean "T1"?'),
        ("/loads/cases/D/loads/1", {"weight_of": ["top", "tpo"]}, "/weight_of/1", 'no member is called "tpo".'),
        ("/loads/cases/D/loads/1", {"member": "botom", "down": 1}, "/member", 'Did you mean "bottom"?'),
        ("/loads/cases/D/loads/1", {"member": "x", "at": 1}, "/member", 'no member is called "x".'),
        ("/loads/cases/D/loads/1", {"member": "x", "longer": 1}, "/member", 'no member is called "x".'),
        ("/loads/cases/D/loads/1", {"member": "x", "warmer": 1}, "/member", 'no member is called "x".'),
        ("/loads/cases/D/loads/1", {"support": "B1", "moves": {}}, "/support", 'no support is called "B1".'),
        ("/loads/cases/D/loads/1", {"member": "top", "down": 1, "to": "B2"}, "/to", 'joint "B2" is not on "top".'),
        (
            "/loads/cases/D/loads/1",
            {"member": "top", "down": 1, "from": "B2"},
            "/from",
            'joint "B2" is not on "top".',
        ),
        ("/loads/cases/D/loads/1", {"member": "top", "at": "B2"}, "/at", 'joint "B2" is not on "top".'),
        ("/loads/cases/D/loads/1", {"role": "top-chord", "at": "B0"}, "/at", 'joint "B0" is not on "bow".'),
        ("/loads/combinations/D+S/W", 1, "", 'no case is called "W". Did you mean "D"?'),
        ("/loads/combinations/all", {"D+S": 1}, "/D+S", '"D+S" is a combination; combinations combine cases.'),
        (
            "/loads/combinations/D",
            {"S": 1},
            "",
            '"D" is a case and a combination at once. Give one of the two another',
        ),
    ],
)
def test_a_name_must_name_something(pointer: str, value: Json, where: str, says: str) -> None:
    fault = only_fault(changed(SMALL, pointer, value))
    assert fault.where == pointer + where
    assert says in str(fault)
    assert fault.line is not None


def test_a_role_that_no_member_has_is_no_fault_of_the_document() -> None:
    """That a load reaches nothing is a finding of the audit."""
    assert taken(changed(SMALL, "/loads/cases/S/loads/0/role", "other"))


@pytest.mark.parametrize("missing", ["/joints", "/members"])
def test_what_is_missing_as_a_whole_is_said_once(missing: str) -> None:
    fault = only_fault(without(SMALL, missing))
    assert str(fault).endswith(f'the field "{missing[1:]}" is missing. Add "{missing[1:]}".')


@pytest.mark.parametrize(
    "container", ["/joints", "/members", "/sections", "/materials", "/supports", "/loads/cases"]
)
def test_what_is_no_object_as_a_whole_is_said_once(container: str) -> None:
    document = changed(SMALL, "/loads/cases/D/loads/1", {"support": "B2", "moves": {"y": -0.5}})
    fault = only_fault(changed(document, container, "none"))
    assert (fault.where, fault.what) == (container, 'expected an object keyed by id, found the text "none".')


@pytest.mark.parametrize("absent", ["section", "material", "role"])
def test_what_is_missing_for_a_job_is_no_fault(absent: str) -> None:
    assert taken(without(SMALL, f"/members/top/{absent}"))


@pytest.mark.parametrize("absent", ["supports", "sections", "materials", "loads"])
def test_the_smallest_document_says_little(absent: str) -> None:
    small: dict[str, Json] = {"format": "trussio/truss", "version": 1, "title": "", "units": "si"}
    assert taken({**small, "joints": {}, "members": {}})
    assert taken({**small, "joints": {}, "members": {}, absent: {}})
