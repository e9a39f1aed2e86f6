"""One cause, one finding: what follows from a break that the survey found is said under the break."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from tests.audit.forms import pitched
from tests.trusses import stick
from trussio.auditing import audit_in_state
from trussio.model.condition import Bow, Missing, Severed
from trussio.model.truss import MemberId
from trussio.state import in_state, with_condition

if TYPE_CHECKING:
    from trussio.model.condition import Condition
    from trussio.model.finding import Finding
    from trussio.model.truss import Truss


def told(*broken: Condition, truss: Truss | None = None) -> list[Finding]:
    whole = truss or pitched()
    document = replace(whole, condition={f"c{number}": one for number, one in enumerate(broken, start=1)})
    made = in_state(document, "found", idealisation="continuous")
    found = audit_in_state(document, made, idealisation="continuous", digest="sha256:0")
    return list(with_condition(found, made, document).findings)


def codes(finding: Finding) -> list[object]:
    follows = finding.evidence.get("follows", [])
    assert isinstance(follows, list)
    return [each["code"] for each in follows if isinstance(each, dict)]


def test_a_missing_brace_takes_its_lost_twin_and_the_bending_under_itself() -> None:
    found = told(Missing(member=MemberId("d2"), seen="gone"))
    assert [finding.code for finding in found] == ["missing", "as-found", "count"]
    assert codes(found[0]) == ["missing-twin"]
    assert "it stands only because" in found[0].says


def test_a_cut_chord_does_not_tell_that_its_ends_are_ends() -> None:
    found = told(Severed(member=MemberId("bottom"), at=3000.0, seen="sawn through"))
    assert [f.code for f in found if f.level != "note"] == ["severed", "as-found"]
    assert all(f'"{code}"' in json.dumps(found[0].evidence) for code in ("joints-close", "chord-gap", "overhang"))
    assert "no member joins them" not in found[0].says
    assert "ends free" not in found[0].says


def test_what_stood_before_the_break_stays_a_finding_of_its_own() -> None:
    found = told(Missing(member=MemberId("d2"), seen="gone"), truss=pitched(skipped="d5"))
    assert [f.code for f in found if f.level != "note"] == ["missing", "as-found", "missing-twin"]
    assert found[2].evidence["absent"] == ["B5", "T4"]


def test_each_break_takes_its_own_consequence() -> None:
    found = told(*(Missing(member=MemberId(name), seen="gone") for name in ("d2", "p5")))
    assert [f.code for f in found][:2] == ["missing", "missing"]
    assert ["/joints/B2" in f.where for f in found[:2]] == [True, False]
    assert ["/joints/T5" in f.where for f in found[:2]] == [False, True]


def test_a_bow_is_the_cause_of_nothing_here() -> None:
    whole = pitched(extra=stick("T1", "B2", role="web"))
    found = told(Bow(member=MemberId("extra"), by=20.0, seen="seen"), truss=whole)
    assert [f.code for f in found if f.code in {"bow", "crossing"}] == ["crossing", "bow"]
    assert [codes(finding) for finding in found if finding.code == "bow"] == [[]]
