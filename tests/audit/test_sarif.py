"""Findings in SARIF 2.1.0: levels, kinds, places, fingerprints."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.audit import sarif_standard
from tests.audit.forms import pitched
from tests.audit.spoilt import SPOILT
from tests.audit.test_stops import STOPPED
from trussio.audit.rules import audit
from trussio.audit.sarif import sarif, uri_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import Json, Truss


def log_of(truss: Truss, lines: Mapping[str, tuple[int, int]] | None = None) -> dict[str, Json]:
    """The one run of a log."""
    log = sarif(audit(truss, digest="sha256:ab12"), path="truss.json", lines=lines)
    assert sarif_standard.faults(log) == []
    assert json.loads(json.dumps(log)) == log
    (run,) = several(log["runs"])
    return run


def several(value: Json) -> list[dict[str, Json]]:
    assert isinstance(value, list)
    return [each for each in value if isinstance(each, dict)]


def one(value: Json, *keys: str) -> Json:
    for key in keys:
        assert isinstance(value, dict)
        value = value[key]
    return value


def test_levels_and_kinds_follow_the_standard() -> None:
    """A kind other than `fail` must have the level `none` (SARIF 2.1.0, 3.27.10)."""
    seen = set()
    for truss in (*(truss for truss, *_ in STOPPED.values()), *(spoilt.truss for spoilt in SPOILT.values())):
        for result in several(log_of(truss)["results"]):
            own = one(result, "properties", "level")
            seen.add((own, result["kind"], result["level"]))
            assert result["kind"] != "pass"
            assert (result["kind"] == "fail") == (result["level"] != "none")
    assert seen == {
        ("stop", "fail", "error"),
        ("query", "fail", "warning"),
        ("note", "fail", "note"),
        ("note", "informational", "none"),
        ("note", "open", "none"),
    }


def test_what_could_not_be_evaluated_is_open() -> None:
    results = several(log_of(SPOILT["not-evaluated"].truss)["results"])
    (result,) = (result for result in results if result["ruleId"] == "not-evaluated")
    assert (result["kind"], result["level"]) == ("open", "none")


def test_every_result_has_its_rule_and_its_words() -> None:
    run = log_of(STOPPED["two rollers"][0])
    rules = several(one(run, "tool", "driver", "rules"))
    for result in several(run["results"]):
        index = result["ruleIndex"]
        assert isinstance(index, int)
        assert rules[index]["id"] == result["ruleId"]
        assert one(rules[index], "help", "text")
    first = several(run["results"])[0]
    assert str(one(first, "message", "text")).startswith("The whole truss can slide sideways on its bearings")


def test_places_are_pointers_with_line_and_column_where_they_are_known() -> None:
    truss = SPOILT["duplicate"].truss
    results = several(log_of(truss, {"/members/p3": (12, 5)})["results"])
    (result,) = (result for result in results if result["ruleId"] == "duplicate")
    assert result["locations"] == [
        {
            "physicalLocation": {
                "artifactLocation": {"uri": "truss.json", "index": 0},
                "region": {"startLine": 12, "startColumn": 5},
            },
            "logicalLocations": [{"fullyQualifiedName": "/members/p3", "kind": "object"}],
        },
        {
            "physicalLocation": {"artifactLocation": {"uri": "truss.json", "index": 0}},
            "logicalLocations": [{"fullyQualifiedName": "/members/again", "kind": "object"}],
        },
    ]


@pytest.mark.parametrize(
    ("known", "line"),
    [({"": (1, 1), "/members": (9, 3)}, 9), ({"": (1, 1)}, 1), ({"/members/p3/role": (10, 5)}, None)],
    ids=["the object around it", "the whole document", "nothing around it"],
)
def test_a_place_that_the_file_lacks_stands_at_the_nearest_around_it(
    known: dict[str, tuple[int, int]], line: int | None
) -> None:
    results = several(log_of(SPOILT["duplicate"].truss, known)["results"])
    (result,) = (result for result in results if result["ruleId"] == "duplicate")
    physical = one(several(result["locations"])[0], "physicalLocation")
    assert isinstance(physical, dict)
    assert (one(physical, "region", "startLine") if "region" in physical else None) == line


@pytest.mark.parametrize(
    ("path", "uri"),
    [
        ("truss.json", "truss.json"),
        ("-", "standard-input"),
        ("roofs/hall 2.json", "roofs/hall%202.json"),
        ("/roofs/#1.json", "file:///roofs/%231.json"),
    ],
)
def test_a_path_becomes_a_uri(path: str, uri: str) -> None:
    assert uri_of(path) == uri


@pytest.mark.parametrize(
    ("fault", "spoil"),
    [
        ("3.27.10", {"kind": "open"}),
        ("3.27.6", {"ruleIndex": 99}),
        ("'done' is not one of", {"kind": "done"}),
        ("Additional properties", {"severity": 3}),
    ],
)
def test_a_log_that_the_standard_forbids_is_found(fault: str, spoil: dict[str, Json]) -> None:
    log = sarif(audit(STOPPED["two rollers"][0], digest="sha256:ab12"), path="truss.json")
    several(several(log["runs"])[0]["results"])[0].update(spoil)
    assert any(fault in found for found in sarif_standard.faults(log))


def test_a_finding_is_known_again_by_its_code_and_place() -> None:
    run = log_of(pitched(skipped="d2"))
    assert one(several(run["artifacts"])[0], "properties", "model") == "sha256:ab12"
    marks = [one(result, "partialFingerprints", "trussioFinding/v1") for result in several(run["results"])]
    again = [
        one(result, "partialFingerprints", "trussioFinding/v1")
        for result in several(log_of(pitched(skipped="d2"))["results"])
    ]
    other = [
        one(result, "partialFingerprints", "trussioFinding/v1")
        for result in several(log_of(pitched(skipped="d4"))["results"])
    ]
    assert marks == again
    assert marks[0] != other[0]
