"""The audit as a whole: every code raised and explained, sound trusses silent, order, nothing changed."""

from __future__ import annotations

import re
from copy import deepcopy
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.audit.forms import pitched, supported
from tests.audit.spoilt import SPOILT as PLAIN
from tests.audit.spoilt_records import RECORDS
from tests.audit.test_stops import STOPPED
from tests.strategies import random_truss, seeded
from tests.trusses import ROLLER, SOUND, at_joint, stick
from trussio.audit import rules
from trussio.audit.explain import EXPLAINED
from trussio.audit.rules import audit
from trussio.audit.stops import stops
from trussio.errors import CannotAnalyseError
from trussio.model.finding import LEVELS
from trussio.model.loading import Loads

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.finding import Finding, Findings
    from trussio.model.truss import Idealisation, Json, Truss

PACKAGE = Path(rules.__file__).parent
WRITTEN = re.compile(
    r'code="([a-z-]+)"|^\s+"((?:no|load|weight|warmth|moment|plan|movement|odd)-[a-z-]+)",$', re.MULTILINE
)
SPOILT = {**PLAIN, **RECORDS}


def look(truss: Truss, idealisation: Idealisation = "continuous") -> Findings:
    return audit(truss, idealisation=idealisation, digest="sha256:0")


def told(findings: Findings) -> Iterator[tuple[str, str]]:
    """Every code with the words in which it stands, those put under a cause too."""
    for finding in findings.findings:
        yield finding.code, finding.says
        for follow in listed(finding, "follows"):
            yield str(follow["code"]), finding.says


def listed(finding: Finding, key: str) -> list[dict[str, Json]]:
    """The objects of a list in the evidence, none where it has no such list."""
    found = finding.evidence.get(key, [])
    assert isinstance(found, list)
    return [each for each in found if isinstance(each, dict)]


@pytest.mark.parametrize("code", list(SPOILT))
def test_every_code_is_raised_with_its_words(code: str) -> None:
    spoilt = SPOILT[code]
    assert any(
        spoilt.says in says for known, says in told(look(spoilt.truss, spoilt.idealisation)) if known == code
    )


@pytest.mark.parametrize("code", [code for code in SPOILT if code != "count"])
def test_the_sound_truss_beside_it_is_silent(code: str) -> None:
    assert code not in {known for known, _ in told(look(pitched()))}


def test_every_code_in_the_rules_is_explained_raised_and_no_more() -> None:
    text = "\n".join(path.read_text(encoding="utf-8") for path in PACKAGE.glob("*.py"))
    written = {one or other for one, other in WRITTEN.findall(text)}
    raised = set(SPOILT) | {code for _, _, code, _, _ in STOPPED.values()} | WITH_FORCES | OF_CONDITION | OF_WORK
    raised |= REFUSED
    assert raised == set(EXPLAINED)
    assert written <= set(EXPLAINED)


@pytest.mark.parametrize("says", list(STOPPED))
def test_the_audit_stops_what_the_stop_rules_stop(says: str) -> None:
    truss, idealisation, code, where, words = STOPPED[says]
    stopped = [finding for finding in look(truss, idealisation).findings if finding.level == "stop"]
    alone = stops(truss, idealisation=idealisation)
    assert [finding.code for finding in stopped] == [finding.code for finding in alone] == [code]
    assert set(where) <= set(stopped[0].where)
    assert stopped[0].says.startswith(words)


WITH_FORCES = {
    "hangs-on",
    "sums-agree",
    "sums-disagree",
    "as-found",
    "sag-differs",
    "sag-agrees",
    "sag-not-compared",
}
"""Codes that need forces or another truss, raised in `test_sensitivity.py`, `test_tallying.py`, `test_assess.py`,
`test_difference.py` and `test_sagging.py`."""
OF_CONDITION = {"severed", "missing", "released", "bow", "lost-section"}
"""Codes of what the survey found broken, raised in `tests/analysis/test_as_found.py`."""
OF_WORK = {
    "one-way-unstated",
    "snow-upwards",
    "fastener-slip-unknown",
    "combination-without-tendon",
    "tendon-without-stiffness",
    "tension-beyond-anchor",
    "anchor-bearing-unstated",
    "anchor-on-chord",
    "tendon-never-stressed",
    "tendon-factored",
    "tendon-losses-assumed",
    "sister-without-slip",
    "stage-mechanism",
}
"""Codes of tendons and stages, raised in `test_tendons.py` and `test_one_way.py`."""
REFUSED = {
    "no-acting-set",
    "offset-on-hinge",
    "shore-lifts-off",
    "stage-impossible",
    "tendon-on-nothing",
    "tendon-slack",
    "tendon-without-length",
    "too-many-joints",
}
"""Codes with which the analysis itself refuses, raised in `tests/analysis`, and the audit, below."""
MECHANISMS = {"critical-form", "misplaced-members", "turn-hold-idle", "stop-accepted", "load-finds-no-bearing"}
"""Codes whose trusses are mechanisms besides."""


@pytest.mark.parametrize("code", [code for code in SPOILT if code not in MECHANISMS])
def test_what_is_no_stop_by_design_stops_nothing(code: str) -> None:
    spoilt = SPOILT[code]
    assert stops(spoilt.truss, idealisation=spoilt.idealisation) == ()


@pytest.mark.parametrize("name", list(SOUND))
def test_trusses_known_on_paper_have_no_stop(name: str) -> None:
    known = SOUND[name]
    assert all(finding.level != "stop" for finding in look(known.truss, known.idealisation).findings)


@pytest.mark.parametrize("seed", range(40))
def test_generated_trusses_have_no_stop_in_either_idealisation(seed: int) -> None:
    truss = random_truss(seeded(seed))
    for idealisation in ("pinned", "continuous"):
        found = audit(truss, idealisation=idealisation, digest="sha256:0")
        assert [f.says for f in found.findings if f.level == "stop"] == []
        assert found.statics[idealisation].mechanisms == 0


def test_statics_of_both_idealisations_come_with_the_findings() -> None:
    found = look(pitched(skipped="d2"))
    assert found.model == "sha256:0"
    assert (found.statics["pinned"].mechanisms, found.statics["continuous"].mechanisms) == (1, 0)


def test_stops_come_first_then_queries_then_notes() -> None:
    truss = supported(pitched(at_joint("T3", moment=9.0), again=stick("T3", "B3", role="web")))
    levels = [finding.level for finding in look(truss).findings]
    assert levels == sorted(levels, key=LEVELS.index)
    assert set(levels) == set(LEVELS)


def test_a_document_of_more_joints_than_any_truss_has_is_refused_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    truss = pitched()
    monkeypatch.setattr(rules, "MOST_JOINTS", len(truss.joints))
    assert look(truss).findings
    monkeypatch.setattr(rules, "MOST_JOINTS", len(truss.joints) - 1)
    with pytest.raises(CannotAnalyseError, match="12 joints are more than the 11 up to which") as refused:
        look(truss)
    assert (refused.value.code, refused.value.where) == ("too-many-joints", "/joints")


def test_nothing_is_not_said_to_be_of_an_odd_size() -> None:
    nothing = replace(pitched(), joints={}, members={}, supports={}, loads=Loads())
    assert "odd-size" not in {code for code, _ in told(look(nothing))}


def test_a_missing_brace_is_one_finding_that_says_it_all() -> None:
    found = look(pitched(skipped="d2"), "pinned").findings
    assert [finding.code for finding in found] == ["mechanism", "count"]
    assert [follow["code"] for follow in listed(found[0], "follows")] == ["missing-twin", "stands-by-bending"]
    assert "d4 from B4 to T3 has no twin: no member runs from B2 to T3" in found[0].says
    assert "it stands only because bottom bends at" in found[0].says


def test_as_continuous_the_forgotten_brace_is_the_cause_and_bending_the_consequence() -> None:
    found = look(pitched(skipped="d2")).findings
    assert [(finding.code, finding.level) for finding in found] == [("missing-twin", "query"), ("count", "note")]
    assert "As pinned: 1 mechanism at B1, B2, T1 and T2" in found[0].says


def test_consequences_keep_their_figures() -> None:
    finding = look(pitched(skipped="d2")).findings[0]
    (follow,) = listed(finding, "follows")
    assert follow["code"] == "stands-by-bending"
    assert isinstance(follow["where"], list)
    assert set(follow["where"]) <= set(finding.where)


@pytest.mark.parametrize("says", ["two rollers", "no section", "weight without density"])
def test_auditing_changes_nothing_and_says_the_same_again(says: str) -> None:
    truss, idealisation, *_ = STOPPED[says]
    before = deepcopy(asdict(truss))
    first, again = look(truss, idealisation), look(truss, idealisation)
    assert asdict(truss) == before
    assert first == again


def test_a_rule_that_cannot_be_evaluated_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_subject: Subject) -> list[Finding]:
        raise np.linalg.LinAlgError("no convergence")

    monkeypatch.setattr(rules, "RULES", (("near mechanisms", fails),))
    (finding,) = look(pitched()).findings
    assert (finding.code, finding.level) == ("not-evaluated", "query")
    assert finding.says == "Not evaluated: near mechanisms (no convergence)."


def test_crossings_of_a_very_large_truss_are_left_open_and_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("trussio.audit.crossings.MOST_PIECES", 20)
    codes = [(f.code, f.says) for f in look(pitched()).findings if f.code == "not-evaluated"]
    assert codes == [
        ("not-evaluated", "Crossings and joints beside sticks were not evaluated: 21 pieces, more than 20.")
    ]


def test_many_crossings_are_one_finding() -> None:
    pairs = {"e1": ("T1", "B2"), "e2": ("T2", "B3"), "e4": ("T4", "B3"), "e5": ("T5", "B4")}
    for number in (1, 4):
        extra = {name: stick(*pair, role="web") for name, pair in list(pairs.items())[:number]}
        crossings = [f for f in look(pitched(skipped="", **extra)).findings if f.code == "crossing"]
        assert len(crossings) == 1
    assert crossings[0].says == (
        "4 pairs of members cross without a joint: d1 and e1, d2 and e2, d4 and e4 and d5 and e5. "
        "The model lets them pass."
    )


def test_a_support_freed_is_named_with_its_joint() -> None:
    found = look(supported(pitched(), B0=ROLLER, B6=ROLLER)).findings[0]
    assert found.code == "mechanism"
    assert {"holds": [["B0", "x"]]} in listed(found, "cures")
