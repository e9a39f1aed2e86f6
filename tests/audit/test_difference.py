"""What the survey's breaks change: as found beside as built."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tests.audit.forms import pitched
from tests.trusses import stick
from trussio.audit.difference import with_difference
from trussio.audit.rules import audit
from trussio.auditing import audit_in_state
from trussio.model.condition import Missing
from trussio.model.truss import MemberId
from trussio.state import in_state

if TYPE_CHECKING:
    from trussio.model.finding import Finding
    from trussio.model.truss import Idealisation, Truss


def test_the_audit_of_a_broken_truss_says_what_the_break_did() -> None:
    broken = replace(pitched(), condition={"c1": Missing(member=MemberId("d2"), seen="gone")})
    made = in_state(broken, "found", idealisation="pinned")
    found = audit_in_state(broken, made, idealisation="pinned", digest="sha256:0").findings
    assert [finding.code for finding in found] == ["mechanism", "as-found", "count"]
    assert "as pinned 1 mechanism at B1, B2, T1 and T2 instead of 0" in found[1].says


def test_as_built_and_without_a_condition_nothing_is_compared() -> None:
    broken = replace(pitched(), condition={"c1": Missing(member=MemberId("d2"), seen="gone")})
    for truss, state in ((broken, "built"), (pitched(), "found")):
        made = in_state(truss, "built" if state == "built" else "found", idealisation="pinned")
        found = audit_in_state(truss, made, idealisation="pinned", digest="sha256:0").findings
        assert [finding.code for finding in found] == ["count"]


def told(found: Truss, built: Truss, idealisation: Idealisation = "pinned") -> Finding:
    both = [audit(truss, idealisation=idealisation, digest="sha256:0") for truss in (found, built)]
    (finding,) = (f for f in with_difference(*both).findings if f.code == "as-found")
    return finding


def test_a_brace_that_is_gone_is_told_as_a_mechanism_that_was_none() -> None:
    finding = told(pitched(skipped="d2"), pitched())
    assert (finding.level, finding.where) == ("query", ("/condition",))
    assert finding.says.startswith(
        "As found against as built: as pinned 1 mechanism at B1, B2, T1 and T2 instead of 0;"
    )
    assert "as continuous the degree of indeterminacy is 8 instead of 9" in finding.says
    assert "found only as found: mechanism (B1, B2 and T1)" in finding.says
    assert finding.evidence["gone"] == []


def test_what_a_break_takes_away_is_told_too() -> None:
    crossed = pitched(extra=stick("T1", "B2", role="web"))
    finding = told(pitched(), crossed)
    assert "found only as built: crossing (d1, extra and T5)" in finding.says


def test_damage_that_changes_no_form_says_so() -> None:
    finding = told(pitched(), pitched())
    assert finding.level == "note"
    assert finding.says == "As found against as built: nothing that an audit looks at changes."


def test_it_stands_among_the_queries_after_the_stops() -> None:
    both = [audit(truss, idealisation="pinned", digest="sha256:0") for truss in (pitched(skipped="d2"), pitched())]
    levels = [finding.level for finding in with_difference(*both).findings]
    assert levels == ["stop", "query", "note"]
