"""The JSON Schemas of the documents: where they lie, and what they say of a value.

Reading does not need them: a hand-written reader costs a fraction of a schema's time and says more, and a property
test holds the two to one verdict. They are the letter for anybody who writes documents with other tools, and this
is the one place that loads jsonschema. They lie beside the package in a checkout and inside it once installed;
every reference is resolved from these files, none from a network.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from trussio.document.positions import escaped
from trussio.errors import Fault

if TYPE_CHECKING:
    from trussio.model.truss import Json

PACKAGE = Path(__file__).resolve().parents[1]
NAMES = ("parts", "truss", "basis", "results", "findings", "recheck", "checks", "bands", "second-order")


def schema_folder() -> Path:
    """The folder of the schema files."""
    inside = PACKAGE / "schema"
    return inside if inside.is_dir() else PACKAGE.parent / "schema"


def validator(form: str) -> Draft202012Validator:
    """A validator of the format `form` (`trussio/truss`)."""
    schemas = {name: json.loads((schema_folder() / f"{name}.json").read_text("utf-8")) for name in NAMES}
    registry = Registry().with_resources(
        (schema["$id"], DRAFT202012.create_resource(schema)) for schema in schemas.values()
    )
    return Draft202012Validator(schemas[form.removeprefix("trussio/")], registry=registry)


def schema_faults(value: Json, form: str) -> tuple[Fault, ...]:
    """What the schema of the format `form` has against a value, in its own words; empty where it is valid."""
    return tuple(
        Fault(
            where="".join(f"/{escaped(str(part))}" for part in error.absolute_path),
            what=error.message,
            do="Compare it with the schema.",
        )
        for error in validator(form).iter_errors(value)
    )
