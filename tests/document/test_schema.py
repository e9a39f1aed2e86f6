"""The schemas are sound, and reading agrees with them on everything that a schema can say."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from hypothesis import Phase, find, given, settings
from jsonschema import Draft202012Validator

from tests.document.documents import basis_documents, truss_documents
from tests.document.mutation import mutated
from tests.document.outcomes import (
    bands_documents,
    check_record_documents,
    checks_documents,
    findings_documents,
    results_documents,
    second_order_documents,
)
from tests.document.small import SMALL, changed
from trussio.document.bands import bands
from trussio.document.basis import basis
from trussio.document.check_record import check_record
from trussio.document.checks import checks
from trussio.document.decode import truss
from trussio.document.fields import Fields
from trussio.document.findings import findings
from trussio.document.reading import structure
from trussio.document.results import results
from trussio.document.schema import NAMES, schema_faults, schema_folder, validator
from trussio.document.second_order import second_order

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tests.document.json_values import Values
    from trussio.model.truss import Json

READERS: dict[str, tuple[Callable[[Fields], object], Values]] = {
    "trussio/truss": (truss, truss_documents()),
    "trussio/basis": (lambda fields: basis(fields, "basis.json"), basis_documents()),
    "trussio/results": (results, results_documents),
    "trussio/findings": (findings, findings_documents),
    "trussio/recheck": (check_record, check_record_documents),
    "trussio/checks": (checks, checks_documents),
    "trussio/bands": (bands, bands_documents),
    "trussio/second-order": (second_order, second_order_documents),
}
FORMS = pytest.mark.parametrize("form", READERS)


def verdicts(value: Json, form: str, checker: Draft202012Validator) -> tuple[bool, bool]:
    """Whether the schema and whether reading takes a value, what no schema can say left aside."""
    _, ledger = structure(value, form, READERS[form][0])
    return checker.is_valid(value), not ledger.entries


@pytest.mark.parametrize("name", NAMES)
def test_every_schema_is_one(name: str) -> None:
    schema = json.loads((schema_folder() / f"{name}.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    assert schema["$id"] == f"urn:trussio:schema:{name}:1"


@FORMS
def test_sound_documents_satisfy_both(form: str) -> None:
    checker = validator(form)

    @settings(max_examples=40, deadline=None)
    @given(READERS[form][1])
    def holds(value: Json) -> None:
        assert verdicts(value, form, checker) == (True, True)

    holds()


@FORMS
def test_changed_documents_get_one_verdict(form: str) -> None:
    checker = validator(form)

    @settings(max_examples=100, deadline=None)
    @given(mutated(READERS[form][1]))
    def holds(value: Json) -> None:
        by_schema, by_reading = verdicts(value, form, checker)
        assert by_schema == by_reading

    holds()


def test_a_reader_that_lets_a_field_pass_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Fields, "close", lambda _: None)
    checker = validator("trussio/truss")
    found = find(
        mutated(READERS["trussio/truss"][1]),
        lambda value: verdicts(value, "trussio/truss", checker) == (False, True),
        settings=settings(max_examples=2000, database=None, phases=[Phase.generate]),
    )
    assert schema_faults(found, "trussio/truss")


@pytest.mark.parametrize(
    ("pointer", "value", "taken"),
    [
        ("/joints/B0/x", 1e30, True),
        ("/joints/B0/x", 1.0000001e30, False),
        ("/sections/bc/width", 1e-30, True),
        ("/sections/bc/width", 0, False),
        ("/sections/bc/gap", 0, True),
        ("/sections/bc/gap", -1e-9, False),
        ("/sections/bc/plies", 99.0, True),
        ("/sections/bc/plies", 100, False),
        ("/sections/bc/plies", 1.5, False),
        ("/sections/bc/plies", True, False),
        ("/members/top/section", "s" * 64, True),
        ("/members/top/section", "s" * 65, False),
        ("/members/top/section", "2/3x10", False),
        ("/members/top/section", "it\u2019s", False),
        ("/members/top/through", ["B0", "T-1"], False),
        ("/members/top/through", ["B0"], False),
        ("/members/top/fixed", ["last", "first"], True),
        ("/members/top/fixed", ["last", "last"], False),
        ("/supports/B0", {}, False),
        ("/supports/B0", {"holds": [], "springs": {}}, False),
        ("/supports/B0", {"holds": [], "springs": {"x": 1}}, True),
        ("/supports/B0/holds", [[0, 0.0]], False),
        ("/supports/B0/holds", [[0, 1]], True),
        ("/loads/cases/D/loads/0", {"member": "top", "role": "web", "down": 1}, False),
        ("/loads/cases/D/loads/0", {"down": 1}, False),
        ("/loads/cases/D/loads/0", {"member": "top", "down": 1, "right": 1}, False),
        ("/loads/cases/D/loads/0", {"member": "top", "across": 1, "per": "slope"}, False),
        ("/loads/cases/D/loads/0", {"member": "top", "across": 1}, True),
        ("/loads/cases/D/loads/0", {"member": "top", "fx": 1}, False),
        ("/loads/cases/D/loads/0", {"member": "top", "at": "B0"}, True),
        ("/loads/cases/D/loads/0", {"joint": "B0", "down": 1}, False),
        ("/loads/cases/D/loads/0", {"weight_of": []}, False),
        ("/loads/cases/D/loads/0", {"tendon": "t1", "force": 18500}, True),
        ("/loads/cases/D/loads/0", {"tendon": "t1", "force": 18500, "stress": 1}, False),
        ("/notes", {"anything": [None, {"x": [1e300]}]}, True),
        ("/notes", "a text", False),
        ("/version", True, False),
        ("/tendons", {}, True),
        ("/stages", {}, False),
    ],
)
def test_at_the_limit_both_say_the_same(pointer: str, value: Json, *, taken: bool) -> None:
    document = changed(SMALL, pointer, value)
    assert verdicts(document, "trussio/truss", validator("trussio/truss")) == (taken, taken)
    assert (schema_faults(document, "trussio/truss") == ()) == taken


def test_what_the_schema_says_is_handed_on_with_its_place() -> None:
    document = changed(SMALL, "/members/top/sektion", "bc")
    faults = schema_faults(document, "trussio/truss")
    assert [(fault.where, "sektion" in fault.what) for fault in faults] == [("/members/top", True)]


NUMBERS = ("number", "positive", "nonnegative", "intensity")


def quantities(schema: Json) -> Iterator[tuple[str, str]]:
    """Name and description of every field that holds a number or several."""
    if isinstance(schema, dict):
        for name, field in (as_object(schema.get("properties"))).items():
            if holds_number(field):
                yield name, str(as_object(field).get("description", ""))
    for inner in schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ():
        yield from quantities(inner)


def as_object(value: Json) -> dict[str, Json]:
    """An object, empty where it is none."""
    return value if isinstance(value, dict) else {}


def holds_number(field: Json) -> bool:
    """Whether a field holds a number, or a list or an object of numbers that say nothing themselves."""
    field = as_object(field)
    named = str(field.get("$ref", "")).rpartition("/")[2] in NUMBERS
    plain = field.get("type") in ("number", ["number", "null"])
    inner = [as_object(field[key]) for key in ("items", "additionalProperties") if key in field]
    return named or plain or any(holds_number(one) and "description" not in one for one in inner)


def test_every_quantity_says_its_unit() -> None:
    found = []
    for name in NAMES:
        found += list(quantities(json.loads((schema_folder() / f"{name}.json").read_text("utf-8"))))
    assert len(found) > 50
    for name, words in found:
        assert "(us)" in words or "rad" in words or "without unit" in words, name
