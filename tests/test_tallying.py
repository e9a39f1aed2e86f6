"""What forces tell an audit: sums by run, what lifts off or goes slack, and that silence is never a pass."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import stages
from tests.analysis.test_slackening import PT, D, combined, trussed
from tests.cli.running import trussio
from tests.trusses import KING_POST, OPEN_SQUARE, RAFTER_PAIR, TWO_SPANS, at_joint
from trussio import tallying
from trussio.analysis.run import Analysed, analysed
from trussio.audit.rules import MOST_JOINTS as MOST_AUDITED
from trussio.auditing import audit_in_state
from trussio.document.encode import write_truss
from trussio.model.acceptance import Acceptance
from trussio.model.condition import Left, LostSection
from trussio.model.loading import LoadCase, RunId
from trussio.model.sag import Sag
from trussio.model.staging import PutOn, Shore
from trussio.model.truss import JointId, MemberId
from trussio.state import in_state
from trussio.tallying import MOST_JOINTS, tally

if TYPE_CHECKING:
    from pathlib import Path

    from trussio.model.finding import Finding
    from trussio.model.forces import RunForces
    from trussio.model.truss import Idealisation, Truss

P, U = RunId("P"), RunId("U")


def told(truss: Truss, idealisation: Idealisation = "continuous") -> list[tuple[str, str]]:
    return [(one.code, one.says) for one in tally(truss, idealisation=idealisation, asked=True)]


def lifted() -> Truss:
    """A beam over three bearings of which the middle one is a shore, and a second load that lifts it there."""
    beam = TWO_SPANS.truss
    middle = JointId("B1")
    cases = {**beam.loads.cases, U: LoadCase(loads=(at_joint("B1", fy=1e6),))}
    supports = {name: support for name, support in beam.supports.items() if name != middle}
    truss = replace(beam, supports=supports, loads=replace(beam.loads, cases=cases))
    return stages(truss, (Shore((middle,)), PutOn((P,))), (PutOn((U,)),))


def test_the_loads_of_a_run_are_told_where_reactions_add_up_to_them() -> None:
    assert told(RAFTER_PAIR.truss) == [
        ("sums-agree", "Reactions add up to the loads in 1 run. Loads: P 6 kN down.")
    ]


@pytest.mark.parametrize(
    ("says", "loads", "words"),
    [
        ("sideways too", {"fx": 500.0, "fy": -6000.0}, "P 6 kN down and 0.5 kN to the right."),
        ("up and to the left", {"fx": -500.0, "fy": 6000.0}, "P 6 kN up and 0.5 kN to the left."),
        ("what is a thousandth of the rest is not told", {"fx": 6.0, "fy": -6000.0}, "P 6 kN down."),
    ],
)
def test_a_sum_has_its_directions(says: str, loads: dict[str, float], words: str) -> None:
    truss = RAFTER_PAIR.truss
    turned = replace(truss, loads=replace(truss.loads, cases={P: LoadCase(loads=(at_joint("T1", **loads),))}))
    assert told(turned)[0][1].endswith(f"Loads: {words}"), says


def test_loads_that_balance_each_other_are_nothing_in_sum() -> None:
    truss = RAFTER_PAIR.truss
    pair = (at_joint("T1", fy=-6000.0), at_joint("T1", fy=6000.0))
    assert told(replace(truss, loads=replace(truss.loads, cases={P: LoadCase(loads=pair)})))[0][1].endswith(
        "Loads: P nothing in sum."
    )


def test_a_reaction_that_is_lost_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = analysed

    def losing(truss: Truss, *, idealisation: Idealisation, runs: list[RunId]) -> Analysed:
        made = whole(truss, idealisation=idealisation, runs=runs)
        return made._replace(runs={run: _without_first(forces) for run, forces in made.runs.items()})

    monkeypatch.setattr(tallying, "analysed", losing)
    assert told(RAFTER_PAIR.truss) == [
        (
            "sums-disagree",
            "In P the loads add up to -6,000 up and the reactions to 3,000: -3,000 is lost on the way.",
        )
    ]


def _without_first(forces: RunForces) -> RunForces:
    return replace(forces, reactions=dict(list(forces.reactions.items())[1:]))


def test_a_shore_that_lifts_off_is_foreseen_and_can_be_accepted() -> None:
    truss = lifted()
    (found,) = tally(truss, idealisation="continuous", asked=False)
    assert (found.code, found.level, found.where) == ("shore-lifts-off", "query", ("/stages/1",))
    assert found.says.startswith(
        'No force can be calculated: in stage "s2" the shore at B1 lifts off: it would have to pull with '
    )
    entry = Acceptance(code="shore-lifts-off", where=("/stages/1",), by="A. B.", on="2026-11-25", why="tied down")
    signed = replace(truss, accepted={"a": entry})
    assert [one.accepted is not None for one in _audited(signed) if one.code == "shore-lifts-off"] == [True]


def _audited(truss: Truss) -> tuple[Finding, ...]:
    made = in_state(truss, "found", idealisation="continuous")
    besides = tally(made.truss, idealisation="continuous", asked=True)
    found = audit_in_state(truss, made, idealisation="continuous", digest="sha256:0", besides=besides)
    return found.findings


def test_a_tendon_that_some_run_leaves_slack_is_asked_about() -> None:
    up = combined(trussed(), {"up": {D: -1.0, PT: 1.0}, "down": {D: 1.0, PT: 1.0}})
    told_of = [one for one in tally(up, idealisation="continuous", asked=False) if one.code == "tendon-slack"]
    assert [(one.level, one.where, one.evidence) for one in told_of] == [
        ("query", ("/tendons/t",), {"runs": ["up"]})
    ]
    assert told_of[0].says == ("The tendon t is slack in up: it would have to push and carries nothing.")
    tight = combined(trussed(), {"down": {D: 1.0, PT: 1.0}})
    assert "tendon-slack" not in {code for code, _ in told(tight)}


def test_a_run_that_no_set_of_one_way_members_balances_is_foreseen() -> None:
    truss = KING_POST.truss
    post = MemberId("post")
    pushing = replace(truss, members={**truss.members, post: replace(truss.members[post], acts="compression")})
    ((code, says),) = told(pushing, "pinned")
    assert code == "no-acting-set"
    assert says.startswith("No force can be calculated: ")


def test_under_a_stop_the_sums_are_not_evaluated_and_never_silent() -> None:
    assert told(OPEN_SQUARE.truss, "pinned") == [
        (
            "not-evaluated",
            "Loads were not held against reactions: no force is to be believed while a stop stands (mechanism).",
        )
    ]


def test_a_large_truss_is_calculated_only_when_asked() -> None:
    truss = RAFTER_PAIR.truss
    many = {JointId(f"j{k}"): joint for k in range(MOST_JOINTS) for joint in [truss.joints[JointId("T1")]]}
    large = replace(truss, joints={**truss.joints, **many})
    (found,) = tally(large, idealisation="continuous", asked=False)
    many |= {JointId(f"k{k}"): truss.joints[JointId("T1")] for k in range(MOST_AUDITED)}
    beyond = replace(truss, joints={**truss.joints, **many})
    assert tally(beyond, idealisation="continuous", asked=True) == []
    assert (found.code, found.level) == ("not-evaluated", "note")
    assert "--forces" in found.do
    assert [one.code for one in tally(truss, idealisation="continuous", asked=False)] == ["sums-agree"]


def test_what_forces_tell_is_no_difference_between_found_and_built() -> None:
    worn = LostSection(member=MemberId("tie"), what=Left(area=500.0, inertia=1e5), seen="rot")
    line = Sag(
        by="string-line", start=JointId("B0"), end=JointId("B2"), at=JointId("T1"), off=1.0, date="2026-11-25"
    )
    truss = replace(RAFTER_PAIR.truss, condition={"c": worn}, sags={"s": line})
    found = _audited(truss)
    (difference,) = (one for one in found if one.code == "as-found")
    assert {"sums-agree", "sag-agrees", "sag-differs"} & {one.code for one in found}
    assert difference.says == "As found against as built: nothing that an audit looks at changes."


def test_the_command_holds_loads_against_reactions_where_asked_or_where_there_are_stages(tmp_path: Path) -> None:
    plain, worked = tmp_path / "plain.json", tmp_path / "worked.json"
    plain.write_text(write_truss(RAFTER_PAIR.truss), encoding="utf-8")
    worked.write_text(write_truss(lifted()), encoding="utf-8")
    assert "sums-agree" not in trussio("audit", plain).out
    assert "P 6 kN down" in trussio("audit", plain, "--forces").out
    found = json.loads(trussio("audit", worked, "--json").out)["findings"]
    assert found[0]["code"] == "shore-lifts-off"
