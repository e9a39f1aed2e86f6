"""What SARIF 2.1.0 asks of the parts that an audit writes, as JSON Schema, and what its text asks beside that.

Source: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0, sections 3.13 to 3.35, from
memory. When this was written, the logs of all spoilt trusses were also read by a closed binding generated from
the standard's own schema.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from jsonschema import Draft202012Validator

if TYPE_CHECKING:
    from trussio.model.truss import Json


def closed(required: tuple[str, ...], **fields: Json) -> dict[str, Json]:
    """An object with no other fields."""
    return {
        "type": "object",
        "required": [*required],
        "properties": {**fields, "properties": {"type": "object"}},
        "additionalProperties": False,
    }


def several(item: Json) -> dict[str, Json]:
    return {"type": "array", "items": item}


TEXT: Final[Json] = {"type": "string"}
COUNT: Final[Json] = {"type": "integer", "minimum": 1}
INDEX: Final[Json] = {"type": "integer", "minimum": -1}
MESSAGE: Final = closed(("text",), text=TEXT, markdown=TEXT, id=TEXT)
ARTIFACT_LOCATION: Final = closed((), uri={"type": "string", "format": "uri-reference"}, index=INDEX)
REGION: Final = closed((), startLine=COUNT, startColumn=COUNT, endLine=COUNT, endColumn=COUNT)
LOCATION: Final = closed(
    (),
    physicalLocation=closed(("artifactLocation",), artifactLocation=ARTIFACT_LOCATION, region=REGION),
    logicalLocations=several(closed((), fullyQualifiedName=TEXT, name=TEXT, kind=TEXT)),
)
SUPPRESSION: Final = closed(
    ("kind",),
    kind={"enum": ["inSource", "external"]},
    status={"enum": ["accepted", "underReview", "rejected"]},
    justification=TEXT,
    location=LOCATION,
)
RESULT: Final = closed(
    ("message",),
    ruleId=TEXT,
    ruleIndex=INDEX,
    kind={"enum": ["notApplicable", "pass", "fail", "review", "open", "informational"]},
    level={"enum": ["none", "note", "warning", "error"]},
    message=MESSAGE,
    locations=several(LOCATION),
    partialFingerprints={"type": "object", "additionalProperties": TEXT},
    suppressions=several(SUPPRESSION),
)
RULE: Final = closed(("id",), id=TEXT, shortDescription=MESSAGE, fullDescription=MESSAGE, help=MESSAGE)
DRIVER: Final = closed(("name",), name=TEXT, version=TEXT, rules=several(RULE))
RUN: Final = closed(
    ("tool",),
    tool=closed(("driver",), driver=DRIVER),
    invocations=several(closed(("executionSuccessful",), executionSuccessful={"type": "boolean"})),
    columnKind={"enum": ["utf16CodeUnits", "unicodeCodePoints"]},
    artifacts=several(closed((), location=ARTIFACT_LOCATION)),
    results=several(RESULT),
)
FIELDS: Final[dict[str, Json]] = {"$schema": TEXT, "version": {"const": "2.1.0"}, "runs": several(RUN)}
LOG: Final = closed(("version", "runs"), **FIELDS)


def faults(log: Json) -> list[str]:
    """What the standard has against a log."""
    found = [error.message for error in Draft202012Validator(LOG).iter_errors(log)]
    if found:
        return found
    for run in _objects(log, "runs"):
        rules = [rule["id"] for rule in _objects(run, "tool", "driver", "rules")]
        found += ["two rules of one id"] if len(set(rules)) < len(rules) else []
        for result in _objects(run, "results"):
            found += _faults_of_result(result, rules, len(_objects(run, "artifacts")))
    return found


def _faults_of_result(result: dict[str, Json], rules: list[Json], artifacts: int) -> list[str]:
    found = []
    if (result.get("kind", "fail") == "fail") != (result.get("level", "warning") != "none"):
        found.append("3.27.10: a kind other than fail has the level none, and fail has another")
    index = result["ruleIndex"]
    if not isinstance(index, int) or index >= len(rules) or rules[index] != result["ruleId"]:
        found.append("3.27.6: ruleIndex does not lead to the rule")
    for location in _objects(result, "locations"):
        physical = location["physicalLocation"]
        assert isinstance(physical, dict)
        place = physical["artifactLocation"]
        assert isinstance(place, dict)
        if not isinstance(place["index"], int) or place["index"] >= artifacts:
            found.append("3.4.5: index does not lead to an artifact")
    return found


def _objects(value: Json, *keys: str) -> list[dict[str, Json]]:
    for key in keys:
        assert isinstance(value, dict)
        value = value.get(key, [])
    assert isinstance(value, list)
    return [each for each in value if isinstance(each, dict)]
