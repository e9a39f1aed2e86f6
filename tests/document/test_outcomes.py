"""Results, findings and check records are read as they were written."""

from __future__ import annotations

import json
from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings

from tests.document.mutation import mutated
from tests.document.outcomes import (
    check_record_documents,
    checks_documents,
    findings_documents,
    results_documents,
)
from trussio.document.canonical import digest_of
from trussio.document.check_record import read_check_record, write_check_record
from trussio.document.checks import read_checks, write_checks
from trussio.document.findings import read_findings, write_findings
from trussio.document.results import read_results, write_results
from trussio.errors import CannotWriteError, UnreadableError
from trussio.model.check import Check, Derivation, Line, Subject
from trussio.model.forces import JointMovement, Reaction, Results, RunForces, SegmentForces
from trussio.model.loading import RunId
from trussio.model.standing import Checks, Failure, Low, Standing, Variation
from trussio.model.truss import JointId, SegmentId

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.document.json_values import Object, Values
    from trussio.model.truss import Json

MODEL = "sha256:" + "0" * 64


def round_trip(read: Callable[..., object], write: Callable[..., str], documents: Values) -> None:
    """Read, write and read every document of a kind; look at value and bytes."""

    @settings(max_examples=60, deadline=None)
    @given(documents)
    def holds(document: Object) -> None:
        record = read(json.dumps(document).encode(), name="first.json")
        text = write(record)
        assert read(text.encode(), name="second.json") == record
        assert write(read(text.encode(), name="second.json")) == text

    holds()


def test_results_lose_nothing() -> None:
    round_trip(read_results, write_results, results_documents)


def test_findings_lose_nothing() -> None:
    round_trip(read_findings, write_findings, findings_documents)


def test_check_records_lose_nothing() -> None:
    round_trip(read_check_record, write_check_record, check_record_documents)


def test_checks_lose_nothing() -> None:
    round_trip(read_checks, write_checks, checks_documents)


@settings(max_examples=40, deadline=None)
@given(check_record_documents)
def test_a_check_record_keeps_the_digest_of_its_file(document: Object) -> None:
    """Every field of a check record is always there, so nothing can be spelled in two ways."""
    record = read_check_record(json.dumps(document).encode(), name="recheck.json")
    assert digest_of(json.loads(write_check_record(record))) == digest_of(document)


@pytest.mark.parametrize(
    ("read", "documents"),
    [
        (read_results, results_documents),
        (read_findings, findings_documents),
        (read_check_record, check_record_documents),
        (read_checks, checks_documents),
    ],
)
def test_changed_documents_are_read_or_refused_with_places(read: Callable[..., object], documents: Values) -> None:
    @settings(max_examples=60, deadline=None)
    @given(mutated(documents))
    def holds(value: Json) -> None:
        try:
            read(json.dumps(value).encode(), name="some.json")
        except UnreadableError as error:
            faults = error.faults
        else:
            faults = ()
        assert all(fault.line is not None and str(fault).isprintable() for fault in faults)

    holds()


FORCES = SegmentForces(
    axial=18400.2,
    axial_ends=(18400.2, 18400.2),
    shear=(120.0, -120.0),
    moment=(0.0, -0.0),
    moment_peak=2520.0,
    moment_peak_at=42.0,
)
RESULTS = Results(
    model=MODEL,
    idealisation="continuous",
    state="found",
    rests_on=("/assumptions/a3",),
    runs={
        RunId("D+S"): RunForces(
            segments={SegmentId("bottom:B1-B2"): FORCES},
            joints={JointId("B1"): JointMovement(dx=0.5, dy=-1e-7, turn=None)},
            reactions={JointId("B0"): Reaction(x=0.0, y=9000.0, turn=0.0)},
        )
    },
)

WRITTEN = """\
{
  "format": "trussio/results",
  "version": 1,
  "model": "sha256:0000000000000000000000000000000000000000000000000000000000000000",
  "idealisation": "continuous",
  "state": "found",
  "order": "first",
  "rests_on": ["/assumptions/a3"],
  "runs": {
    "D+S": {
      "segments": {
        "bottom:B1-B2": {
          "axial": 18400.2,
          "axial_ends": [18400.2, 18400.2],
          "shear": [120, -120],
          "moment": [0, 0],
          "moment_peak": 2520,
          "moment_peak_at": 42
        }
      },
      "joints": {
        "B1": {"dx": 0.5, "dy": -1e-7, "turn": null}
      },
      "reactions": {
        "B0": {"x": 0, "y": 9000, "turn": 0}
      }
    }
  }
}
"""


def test_results_are_written_as_the_letter_has_them() -> None:
    assert write_results(RESULTS) == WRITTEN
    assert read_results(WRITTEN.encode(), name="results.json") == RESULTS


def test_results_that_are_no_numbers_are_never_written() -> None:
    broken = Results(
        model=MODEL,
        idealisation="pinned",
        state="built",
        rests_on=(),
        runs={
            RunId("D"): RunForces(
                segments={}, joints={}, reactions={JointId("B0"): Reaction(x=float("inf"), y=0.0, turn=0.0)}
            )
        },
    )
    with pytest.raises(CannotWriteError, match="not-finite: a value is inf"):
        write_results(broken)


def test_the_kind_of_document_is_named() -> None:
    with pytest.raises(UnreadableError, match="this is a results document; a check record was expected"):
        read_check_record(WRITTEN.encode(), name="results.json")
    with pytest.raises(UnreadableError, match="this is a results document; a findings document was expected"):
        read_findings(WRITTEN.encode(), name="results.json")


def test_a_ratio_is_a_number_or_words_and_never_a_false_zero() -> None:
    subject = Subject(element="w1:B1-T1", run="D+S", grade="No. 1")
    line = Line("fc", inf, "psi", "P / A", "", "statics")

    def standing(ratio: float | None) -> Standing:
        derivation = Derivation(value=ratio or 0.0, told=(line,))
        made = Check(
            what="compression",
            clause="3.7",
            subject=subject,
            demand=None,
            capacity=None,
            unit="psi",
            ratio=ratio,
            derivation=derivation,
        )
        return Standing(element="w1:B1-T1", governs=made)

    checks = Checks(
        model=MODEL,
        idealisation="pinned",
        state="found",
        rests_on=(),
        standings=tuple(standing(ratio) for ratio in (inf, 1.13, 0.0, None)),
    )
    text = write_checks(checks)
    assert read_checks(text.encode(), name="checks.json") == checks
    written = [one["governs"]["ratio"] for one in json.loads(text)["standings"]]
    assert written == ["without bound", 1.13, 0, "not evaluated"]
    more = replace(
        checks,
        standings=(
            replace(checks.standings[1], over_share=0.34, grown=inf, low=Low(inf, "without bound with No.2")),
            replace(checks.standings[2], grown=1.08),
        ),
        variation=Variation(tolerance=0.5, stiffness=0.1, samples=200),
        before=MODEL,
        failures=(Failure("/condition/c1", "broken", checks.standings[1], "a reason", ("knots", "decay")),),
    )
    assert read_checks(write_checks(more).encode(), name="checks.json") == more
    assert json.loads(write_checks(more))["standings"][0]["grown"] == "without bound"
    wrong = text.replace('"not evaluated"', '"met"')
    with pytest.raises(UnreadableError, match=r'"met" is not known here\. Write a number or "without bound"'):
        read_checks(wrong.encode(), name="checks.json")
