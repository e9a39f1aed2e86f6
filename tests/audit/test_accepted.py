"""Findings that a person lets stand: shown, signed, last of their level; stops never."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.audit import sarif_standard
from tests.audit.forms import BALK, pitched, supported
from tests.audit.spoilt import accepting
from tests.trusses import ROLLER
from trussio.audit.rules import audit
from trussio.audit.sarif import sarif
from trussio.cli.findings_text import findings_text
from trussio.model.finding import Signed
from trussio.model.truss import SectionId

THIN = replace(pitched(), sections={SectionId("s"): replace(BALK, width=38.0)})
SLENDER = next(f for f in audit(THIN, digest="sha256:0").findings if f.code == "slender").where


def test_an_accepted_finding_is_shown_with_who_when_and_why() -> None:
    findings = audit(accepting(THIN, "slender", *SLENDER), digest="sha256:0")
    (finding,) = (finding for finding in findings.findings if finding.code == "slender")
    assert finding.accepted == Signed("/accepted/x1", "EF", "2 May 2026", "Seen in the roof.")
    assert "       Accepted by EF, 2 May 2026: Seen in the roof.\n" in findings_text(THIN, findings)
    assert findings.findings[-1] == finding
    assert "acceptance-idle" not in [f.code for f in findings.findings]


@pytest.mark.parametrize(
    ("code", "where"),
    [("slender", SLENDER[1:]), ("slender", ("/members/none",)), ("kink", SLENDER)],
    ids=["one place short", "another place", "another code"],
)
def test_what_was_not_looked_at_is_not_accepted(code: str, where: tuple[str, ...]) -> None:
    findings = audit(accepting(THIN, code, *where), digest="sha256:0")
    assert all(finding.accepted is None for finding in findings.findings)


def test_more_places_than_the_finding_has_are_accepted_too() -> None:
    findings = audit(accepting(THIN, "slender", "/members/none", *SLENDER), digest="sha256:0")
    assert [f.code for f in findings.findings if f.accepted is not None] == ["slender"]


def test_a_stop_stays_a_stop_whoever_signs() -> None:
    sliding = supported(pitched(), B0=ROLLER, B6=ROLLER)
    stop = audit(sliding, digest="sha256:0").findings[0]
    signed = audit(accepting(sliding, stop.code, *stop.where), digest="sha256:0").findings
    assert (signed[0].level, signed[0].accepted) == ("stop", None)
    assert [finding.code for finding in signed][1] == "stop-accepted"


def test_in_sarif_an_acceptance_is_a_suppression_with_its_place() -> None:
    log = sarif(audit(accepting(THIN, "slender", *SLENDER), digest="sha256:0"), path="t.json")
    assert sarif_standard.faults(log) == []
    assert '"suppressions"' not in str(sarif(audit(THIN, digest="sha256:0"), path="t.json"))
    text = str(log)
    assert "'kind': 'inSource', 'status': 'accepted'" in text
    assert "'justification': 'EF, 2 May 2026: Seen in the roof.'" in text
    assert "'fullyQualifiedName': '/accepted/x1'" in text
