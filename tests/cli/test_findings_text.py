"""The audit as a person reads it on a terminal."""

from __future__ import annotations

from dataclasses import replace

from tests.audit.forms import pitched, supported
from tests.audit.spoilt import SPOILT
from tests.trusses import ROLLER
from trussio.audit.rules import audit
from trussio.cli.findings_text import NOTHING, findings_text
from trussio.model.finding import Finding, Findings

DIGEST = "sha256:0123456789abcdef"


def test_findings_of_one_kind_stand_under_one_heading_with_what_to_do_once() -> None:
    truss = SPOILT["small-angle"].truss
    text = findings_text(truss, audit(truss, digest=DIGEST))
    assert "QUERY  small-angle (4)  at joints B0, B6, T2, T4; members bottom, left, right, d1, d5\n" in text
    assert text.count("\n       - bottom and left meet at B0 at only 8.5 degrees") == 1
    assert text.count("> Measure the joint again") == 1


def test_the_first_lines_say_what_was_looked_at_and_how_much_was_found() -> None:
    truss = supported(pitched(), B0=ROLLER, B6=ROLLER)
    lines = findings_text(truss, audit(truss, digest=DIGEST)).splitlines()
    assert lines[:4] == [
        "Invented - audit of model 0123456789ab",
        "1 stop, no queries, 1 note.",
        "",
        "STOP   mechanism  at joints B0, B1, B2, B3, B4, B5 and 6 more",
    ]
    assert not any("where two sticks end" in line for line in lines)
    assert "NOTE   count" in lines


def test_no_line_is_wider_than_a_terminal() -> None:
    for spoilt in SPOILT.values():
        text = findings_text(spoilt.truss, audit(spoilt.truss, idealisation=spoilt.idealisation, digest=DIGEST))
        told = [line for line in text.splitlines() if line.startswith(" ")]
        assert max(map(len, told)) <= 100


def test_nothing_found_is_said_and_is_no_pass() -> None:
    findings = Findings(model=DIGEST, findings=(), statics={})
    assert findings_text(pitched(), findings).splitlines()[1] == NOTHING


def test_what_differs_in_what_to_do_or_in_level_stands_by_itself() -> None:
    one = Finding(code="odd", level="note", where=("/members/a~1b",), says="One.", do="Look.")
    other = replace(one, says="Two.", do="Ask.")
    text = findings_text(pitched(), Findings(model=DIGEST, findings=(one, other), statics={}))
    assert text.count("NOTE   odd  at members a/b\n") == 2
