"""Tendons and stages before any force: what stops, what is asked, and silence where all is said."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import stages, stressed, tendon
from tests.audit.forms import pitched
from tests.trusses import stick
from trussio.audit.rules import audit
from trussio.audit.stops import stops
from trussio.auditing import audit_in_state
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.acceptance import Acceptance
from trussio.model.loading import RunId
from trussio.model.staging import Add, PutOn, Remove
from trussio.model.truss import MemberId
from trussio.state import in_state

if TYPE_CHECKING:
    from trussio.model.finding import Finding
    from trussio.model.material import MaterialKind
    from trussio.model.tendon import Tendon
    from trussio.model.truss import Truss

P, PT, SUM = RunId("P"), RunId("PT"), RunId("P+PT")


def held(path: Tendon, *, factor: float = 1.0, stressed_in_sum: bool = True) -> Truss:
    """The pitched truss with one tendon and a combination that holds it, or does not."""
    truss = stressed(pitched(), {"t": path}, 9000.0)
    factors = {P: 1.0} | ({PT: factor} if stressed_in_sum else {})
    return replace(truss, loads=replace(truss.loads, combinations={SUM: factors}))


HEELS = tendon("B0", "B6", on="bottom", area=100.0, E=2e5, sure=True)


def codes(truss: Truss) -> dict[str, Finding]:
    found = audit(truss, idealisation="continuous", digest="sha256:0").findings
    return {finding.code: finding for finding in found}


def test_a_tendon_of_which_all_is_said_brings_no_more_than_the_note_on_the_heels() -> None:
    plain, found = codes(pitched()), codes(held(HEELS))
    assert set(found) - set(plain) == {"anchor-on-chord"}
    assert stops(held(HEELS), idealisation="continuous") == ()


@pytest.mark.parametrize("factor", [None, 0.0])
def test_a_combination_without_the_tendon_is_a_stop(factor: float | None) -> None:
    truss = held(HEELS, factor=factor or 0.0, stressed_in_sum=factor is not None)
    (found,) = stops(truss, idealisation="continuous")
    assert (found.code, found.level) == ("combination-without-tendon", "stop")
    assert found.where == ("/loads/combinations/P+PT", "/tendons/t")
    assert found.says == "The tendon t is stressed in PT, which P+PT does not hold."
    assert stops(truss, idealisation="continuous", runs=[P]) == ()
    with pytest.raises(CannotAnalyseError, match="combination-without-tendon"):
        calculate(truss, digest="sha256:0")
    left = calculate(truss, digest="sha256:0", despite_stops=True)
    assert list(left.runs) == ["P", "PT"]
    assert left.despite == ("combination-without-tendon",)


def test_runs_after_stages_are_left_out_with_the_combination_that_a_stop_touches() -> None:
    truss = stages(held(HEELS, stressed_in_sum=False), (PutOn((P,)),))
    left = calculate(truss, digest="sha256:0", despite_stops=True)
    assert [run for run in left.runs if "/" in run] == ["s1/now"]


@pytest.mark.parametrize(
    ("path", "lack"),
    [
        (HEELS._replace(area=None), "nothing states its area."),
        (HEELS._replace(E=None), "nothing states its E."),
        (HEELS._replace(area=None, E=None), "nothing states its area and E."),
    ],
)
def test_a_member_of_unknown_stiffness_is_a_stop(path: Tendon, lack: str) -> None:
    (found,) = stops(held(path), idealisation="continuous")
    assert found.code == "tendon-without-stiffness"
    assert lack in found.says
    assert stops(held(path._replace(acts="force")), idealisation="continuous") == ()


def test_tension_chord_beyond_an_anchor_is_asked_about() -> None:
    found = codes(held(tendon("B1", "B4", on="bottom", area=100.0, E=2e5, sure=True)))["tension-beyond-anchor"]
    assert found.level == "query"
    assert found.says == (
        "The tendon t is anchored at B1 and B4; beyond its anchors lie bottom:B0-B1, bottom:B4-B5 and "
        "bottom:B5-B6 of the tension chord and get none of its force."
    )
    assert found.evidence["segments"] == ["bottom:B0-B1", "bottom:B4-B5", "bottom:B5-B6"]
    assert found.where == ("/tendons/t", "/members/bottom")


@pytest.mark.parametrize("path", [HEELS, HEELS._replace(path=HEELS.path[::-1]), tendon("T1", "T5", sure=True)])
def test_heel_to_heel_and_tendons_along_no_tension_chord_are_not(path: Tendon) -> None:
    assert "tension-beyond-anchor" not in codes(held(path._replace(area=100.0, E=2e5)))


def test_what_an_anchor_bears_on_is_asked_where_nobody_said() -> None:
    found = codes(held(tendon("B0", "B6", area=100.0, E=2e5, sure=True)))["anchor-bearing-unstated"]
    assert (found.level, found.where) == ("query", ("/tendons/t/path/0", "/tendons/t/path/1"))
    assert "a shoe is taken that every stick there meets" in found.says
    assert "anchor-on-chord" not in codes(held(tendon("B0", "B6", area=100.0, E=2e5, sure=True)))


def test_an_anchor_on_the_chord_says_that_the_heel_is_not_relieved() -> None:
    found = codes(held(HEELS))["anchor-on-chord"]
    assert found.level == "note"
    assert "it relieves the chord and not its connection to right" in found.says
    short = codes(held(tendon("B1", "B5", on="bottom", area=100.0, E=2e5, sure=True)))
    assert "anchor-on-chord" not in short


def test_losses_that_nobody_stated_are_named_with_what_is_taken() -> None:
    path = tendon("B0", "T3", "B6", area=100.0, E=2e5)
    found = codes(held(path))["tendon-losses-assumed"]
    assert found.where == ("/tendons/t/friction", "/tendons/t/slip", "/tendons/t/loss")
    assert found.evidence == {"friction": 0.24, "slip": 0.0, "loss": 0.15}
    assert calculate(held(path), digest="sha256:0").rests_on == found.where
    assert "tendon-losses-assumed" not in codes(held(HEELS))


def test_a_tendon_stressed_to_nothing_is_asked_about() -> None:
    truss = stressed(pitched(), {"t": tendon("B0", "B4", on="bottom", acts="force", sure=True)}, 0.0)
    found = codes(truss)["tendon-never-stressed"]
    assert found.says == "The tendon t is stressed to no force: it is there, and slack."


@pytest.mark.parametrize("factor", [0.9, 1.0, 1.2])
def test_a_factor_on_the_force_of_a_tendon_is_asked_about_unless_it_is_one(factor: float) -> None:
    truss = held(HEELS)
    combinations = {RunId("c"): {RunId("PT"): factor}}
    found = codes(replace(truss, loads=replace(truss.loads, combinations=combinations)))
    assert ("tendon-factored" in found) == (factor != 1.0)
    if factor != 1.0:
        asked = found["tendon-factored"]
        assert (asked.level, asked.where) == ("query", ("/loads/combinations/c", "/tendons/t"))
        assert (
            asked.says == f"The force of the tendon t is taken {factor:g} in c times; it is what it was jacked to."
        )


def test_a_tendon_that_no_case_stresses_is_asked_about() -> None:
    found = codes(replace(pitched(), tendons={"t": HEELS}))["tendon-never-stressed"]
    assert (found.level, found.where) == ("query", ("/tendons/t",))


def of_stages(truss: Truss) -> list[Finding]:
    made = in_state(truss, "found", idealisation="continuous")
    found = audit_in_state(truss, made, idealisation="continuous", digest="sha256:0")
    return [one for one in found.findings if any(place.startswith("/stages") for place in one.where)]


def test_a_stage_that_leaves_a_mechanism_is_a_stop_with_its_name() -> None:
    gone = (MemberId("d1"), MemberId("left"))
    truss = stages(pitched(), (PutOn((P,)),), (Remove(gone),), (Add(gone),))
    found = of_stages(truss)
    assert {one.code for one in found} == {"stage-mechanism"}
    assert all(one.level == "stop" and one.where[0] == "/stages/1" for one in found)
    assert found[0].says.startswith("After stage s2: ")
    assert of_stages(stages(pitched(), (PutOn((P,)),))) == []


@pytest.mark.parametrize("tie", [{}, {"slip": 900.0}, {"along": 2.0}, {"glued": True}])
def test_a_sister_whose_fasteners_nobody_knows_is_asked_about(tie: dict[str, float]) -> None:
    sister = stick("B2", "B3", "B4")
    truss = pitched(sister=sister)
    how = Add((MemberId("sister"),), beside=MemberId("bottom"))._replace(**tie)  # type: ignore[arg-type]  # by name
    found = of_stages(stages(truss, (PutOn((P,)),), (how,)))
    assert [one.code for one in found] == ([] if tie else ["sister-without-slip"])
    if not tie:
        assert "Stage s2 puts sister beside bottom" in found[0].says


def test_a_sister_of_a_stage_is_no_stick_drawn_twice() -> None:
    sister = stick("B2", "B3", "B4")
    truss = pitched(sister=sister)
    assert "duplicate" in codes(truss)
    tied = Add((MemberId("sister"),), beside=MemberId("bottom"), slip=900.0)
    staged = stages(truss, (PutOn((P,)),), (tied,))
    made = in_state(staged, "found", idealisation="continuous")
    found = audit_in_state(staged, made, idealisation="continuous", digest="sha256:0")
    assert "duplicate" not in {one.code for one in found.findings}
    alone = stages(truss, (PutOn((P,)),), (tied._replace(beside=None, slip=None),))
    made = in_state(alone, "found", idealisation="continuous")
    found = audit_in_state(alone, made, idealisation="continuous", digest="sha256:0")
    assert "duplicate" in {one.code for one in found.findings}


def test_a_query_over_a_stage_can_be_accepted() -> None:
    truss = pitched(sister=stick("B2", "B3", "B4"))
    how = Add((MemberId("sister"),), beside=MemberId("bottom"))
    accepted = Acceptance(
        code="sister-without-slip", where=("/stages/1/actions/0",), by="AB", on="2026-01-02", why="glued scarf"
    )
    found = of_stages(replace(stages(truss, (PutOn((P,)),), (how,)), accepted={"a": accepted}))
    assert [(one.code, one.accepted is not None) for one in found] == [("sister-without-slip", True)]


def test_the_audit_looks_at_what_is_there_in_the_end() -> None:
    """A brace that comes in later and stays holds the truss; one that goes for good leaves the mechanism."""
    truss = pitched(skipped="d2")
    assert "missing-twin" in codes(truss)
    whole = stages(pitched(), (Remove((MemberId("d2"),)),))
    made = in_state(whole, "found", idealisation="continuous")
    found = audit_in_state(whole, made, idealisation="continuous", digest="sha256:0")
    assert "missing-twin" in {one.code for one in found.findings}


@pytest.mark.parametrize(("gravity", "asked"), [(0.24, True), (0.25, False), (1.3, False), (1.31, True)])
@pytest.mark.parametrize("kind", ["sawn", None])
def test_a_gravity_that_no_wood_has_is_asked_about(
    gravity: float, *, asked: bool, kind: MaterialKind | None
) -> None:
    truss = pitched()
    materials = {n: replace(m, kind=kind, specific_gravity=gravity) for n, m in truss.materials.items()}
    assert ("odd-gravity" in codes(replace(truss, materials=materials))) is asked
