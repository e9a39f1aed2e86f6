"""Findings in SARIF 2.1.0, the open format for results of checks (OASIS, 2020).

A stop is an `error`, a query a `warning`, a note a `note`, all of kind `fail`; the count is `informational`; what
could not be evaluated is of kind `open`, never `pass`. Each place stands as JSON Pointer and, where known, as line
and column, counted in characters: those of the nearest place around it that the file has. Fingerprints come from
code and places, so that a finding is known again next time.
"""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING, Final
from urllib.parse import quote

from trussio.audit.explain import EXPLAINED
from trussio.version import __version__

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.finding import Finding, Findings
    from trussio.model.truss import Json

    Lines = Mapping[str, tuple[int, int]]

SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"
LEVEL: Final = {"stop": "error", "query": "warning", "note": "note"}
KIND: Final = {"not-evaluated": "open", "count": "informational"}
"""Codes that are no failure; their level must then be `none`."""


def sarif(findings: Findings, *, path: str, lines: Lines | None = None) -> dict[str, Json]:
    """The findings as a SARIF log.

    `path` is that of the document as it was given; `lines` gives line and column, from 1, by JSON Pointer.
    """
    codes = sorted({finding.code for finding in findings.findings})
    driver: Json = {"name": "trussio", "version": __version__, "rules": [_rule(code) for code in codes]}
    uri = uri_of(path)
    return {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {"driver": driver},
                "invocations": [{"executionSuccessful": True}],
                "columnKind": "unicodeCodePoints",
                "artifacts": [{"location": {"uri": uri}, "properties": {"model": findings.model}}],
                "results": [_result(finding, codes, uri, lines or {}) for finding in findings.findings],
            }
        ],
    }


def uri_of(path: str) -> str:
    """A path as a URI reference; standard input has none of its own and is called so."""
    if path == "-":
        return "standard-input"
    forward = quote(path.replace("\\", "/"))
    return f"file://{forward}" if forward.startswith("/") else forward


def _rule(code: str) -> Json:
    known = EXPLAINED.get(code)
    if known is None:
        return {"id": code}
    return {
        "id": code,
        "shortDescription": {"text": known["means"]},
        "fullDescription": {"text": known["matters"]},
        "help": {"text": known["cure"]},
    }


def _result(finding: Finding, codes: list[str], uri: str, lines: Lines) -> Json:
    kind, signed = KIND.get(finding.code, "fail"), finding.accepted
    mark = "\n".join((finding.code, *finding.where))
    result: dict[str, Json] = {
        "ruleId": finding.code,
        "ruleIndex": codes.index(finding.code),
        "kind": kind,
        "level": LEVEL[finding.level] if kind == "fail" else "none",
        "message": {"text": f"{finding.says} {finding.do}"},
        "locations": [_location(place, uri, lines) for place in finding.where],
        "partialFingerprints": {"trussioFinding/v1": sha256(mark.encode()).hexdigest()},
        "properties": {"level": finding.level, "evidence": {**finding.evidence}},
    }
    if signed is not None:
        result["suppressions"] = [
            {
                "kind": "inSource",
                "status": "accepted",
                "justification": f"{signed.by}, {signed.on}: {signed.why}",
                "location": _location(signed.entry, uri, lines),
            }
        ]
    return result


def _location(place: str, uri: str, lines: Lines) -> Json:
    physical: dict[str, Json] = {"artifactLocation": {"uri": uri, "index": 0}}
    around = place
    while around and around not in lines:
        around = around.rpartition("/")[0]
    if around in lines:
        line, column = lines[around]
        physical["region"] = {"startLine": line, "startColumn": column}
    return {
        "physicalLocation": physical,
        "logicalLocations": [{"fullyQualifiedName": place, "kind": "object"}],
    }
