"""Measured sag beside what a beam known on paper lets expect, and the words in which it is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.auditing import audit_in_state
from trussio.calculation import calculate
from trussio.model.acceptance import Acceptance
from trussio.model.condition import Missing
from trussio.model.connection import Connection, Fasteners, Piece
from trussio.model.finding import Finding
from trussio.model.loading import RunId
from trussio.model.material import Material
from trussio.model.sag import Sag
from trussio.model.staging import Add, Stage
from trussio.model.truss import JointId, MaterialId, MemberId, Support, Truss
from trussio.sagging import expected
from trussio.state import in_state

L, EI, W = 8000.0, 1e10, 0.01
AT_ONCE = 5 * W * L**4 / (384 * EI)
"""53.3 mm: a simple beam under its dead load."""
A, B, M = JointId("A"), JointId("B"), JointId("M")
D, S = RunId("D"), RunId("S")
LINE = Sag(by="string-line", start=A, end=B, at=M, off=2 * AT_ONCE, date="2026-03-02")


def beam(**sags: Sag) -> Truss:
    """A beam of 8 m with a joint in its middle, under dead load, and snow half as heavy."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (L / 2, 0.0), "B": (L, 0.0)},
        members={"beam": stick("A", "M", "B", role="bottom-chord")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (along("beam", W),), "S": (along("beam", W / 2),)},
    )
    dead = replace(truss.loads.cases[D], kind="dead")
    cases = {D: dead, S: replace(truss.loads.cases[S], kind="snow")}
    return replace(truss, loads=replace(truss.loads, cases=cases), sags=sags)


def found(truss: Truss) -> list[Finding]:
    """What the audit says of sag."""
    made = in_state(truss, "found", idealisation="continuous")
    findings = audit_in_state(truss, made, idealisation="continuous", digest="sha256:0")
    return [finding for finding in findings.findings if finding.code.startswith("sag-")]


def test_dead_load_by_creep_is_what_a_beam_lets_expect() -> None:
    model = expected(beam(), LINE, idealisation="continuous")
    assert model.lasting == pytest.approx(AT_ONCE)
    assert (model.passing, model.slip, model.creep, model.camber) == (0.0, 0.0, 2.0, 0.0)
    assert model.all == pytest.approx(2 * AT_ONCE)


def test_snow_of_that_day_acts_without_creep_and_camber_is_taken_off() -> None:
    sag = LINE._replace(load={D: 1.0, S: 0.5}, camber=10.0, creep=1.5)
    model = expected(beam(), sag, idealisation="continuous")
    assert model.passing == pytest.approx(AT_ONCE / 4)
    assert model.all == pytest.approx(1.5 * AT_ONCE + AT_ONCE / 4 - 10.0)


def test_glulam_creeps_less() -> None:
    truss = beam()
    glued = replace(truss, materials=dict.fromkeys(truss.materials, Material(kind="glulam", E=1e4)))
    assert expected(glued, LINE, idealisation="continuous").creep == 1.5


def test_a_joint_off_the_middle_is_measured_from_its_own_place_on_the_line() -> None:
    """A bearing that goes down by 12 mm takes a quarter point along by a quarter: nothing is off the line."""
    truss = build(
        joints={"A": (0.0, 0.0), "Q": (6000.0, 0.0), "B": (8000.0, 0.0)},
        members={"aq": stick("A", "Q", "B")},
        supports={"A": PIN, "B": replace(ROLLER, holds=(), springs={"y": 1.0})},
        cases={"D": (at_joint("B", fy=-12.0),)},
    )
    cases = {D: replace(truss.loads.cases[D], kind="dead")}
    sag = Sag(by="string-line", start=A, end=B, at=JointId("Q"), off=0.0, date="d")
    model = expected(replace(truss, loads=replace(truss.loads, cases=cases)), sag, idealisation="continuous")
    assert model.lasting == pytest.approx(0.0, abs=1e-9)


def test_slip_of_connections_comes_on_top() -> None:
    """A bar of 1000 N on a slip of 500 N/mm goes 2 mm further; plumb is read to the right."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"bar": replace(stick("A", "B"), slip={"last": 500.0})},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("B", fx=1000.0),)},
    )
    cases = {D: replace(truss.loads.cases[D], kind="dead")}
    sag = Sag(by="plumb", start=A, at=B, off=2.0, date="d")
    model = expected(replace(truss, loads=replace(truss.loads, cases=cases)), sag, idealisation="continuous")
    assert model.slip == pytest.approx(2.0)
    assert model.lasting == pytest.approx(1000.0 * 2000.0 / 1e7)


def test_near_is_a_note_that_tells_the_sum() -> None:
    (note,) = found(beam(g1=LINE))
    assert (note.code, note.level, note.where) == ("sag-agrees", "note", ("/sags/g1",))
    assert note.says == (
        "a string line from A to B shows M 107 mm below it on 2026-03-02; the model lets expect 107 mm below: "
        "53 mm by lasting load at once, 107 mm with creep 2, no slip of connections is stated, built without "
        "camber, as taken."
    )


@pytest.mark.parametrize(
    ("off", "code"),
    [
        (4 * AT_ONCE * 0.999, "sag-agrees"),
        (4 * AT_ONCE * 1.001, "sag-differs"),
        (AT_ONCE * 1.001, "sag-agrees"),
        (AT_ONCE * 0.999, "sag-differs"),
        (-2 * AT_ONCE, "sag-differs"),
    ],
)
def test_twice_or_half_of_what_is_expected_is_the_limit(off: float, code: str) -> None:
    (finding,) = found(beam(g1=LINE._replace(off=off)))
    assert finding.code == code
    assert finding.level == ("note" if code == "sag-agrees" else "query")


@pytest.mark.parametrize(("apart", "code"), [(7.99, "sag-agrees"), (8.01, "sag-differs")])
def test_what_a_string_cannot_tell_is_no_query(apart: float, code: str) -> None:
    """Under hardly any load a thousandth of the line decides: 8 mm of 8 m."""
    (finding,) = found(beam(g1=LINE._replace(load={}, off=apart)))
    assert finding.code == code


def test_a_query_can_be_accepted() -> None:
    entry = Acceptance(code="sag-differs", where=("/sags/g1",), by="N. N.", on="2026-04-01", why="cambered")
    (finding,) = found(replace(beam(g1=LINE._replace(off=0.0)), accepted={"a1": entry}))
    assert finding.accepted is not None


def test_what_cannot_be_compared_says_why_and_is_a_query() -> None:
    loose = replace(beam(g1=LINE), supports={A: ROLLER, B: ROLLER})
    (finding,) = found(loose)
    assert (finding.code, finding.level) == ("sag-not-compared", "query")
    assert "which is not compared: " in finding.says
    gone = replace(beam(g1=LINE), condition={"c1": Missing(member=MemberId("beam"), seen="gone")})
    (finding,) = found(gone)
    assert finding.code == "sag-not-compared"


def test_work_that_is_planned_does_not_count() -> None:
    """A sister of the same size, to come, does not halve what was measured before."""
    truss = beam(g1=LINE)
    sister = replace(truss.members[MemberId("beam")], role="other")
    staged = replace(
        truss,
        members={**truss.members, MemberId("sister"): sister},
        stages=(Stage(id="S1", actions=(Add(members=(MemberId("sister"),)),)),),
    )
    (finding,) = found(staged)
    assert finding.code == "sag-agrees"
    assert finding.evidence["lasting"] == pytest.approx(AT_ONCE, rel=1e-3)


def test_fasteners_and_their_holes_count_for_sag_and_not_for_forces() -> None:
    """Two 16 mm bolts in wood of 420 kg/m3 give 420^1.5 x 16 / 23 each; holes of 17 mm add 1 mm.

    The hole is passed once, not once under dead load and again under the rest.
    """
    made = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": PIN, "B": Support(holds=("y",))},
        cases={"D": (at_joint("B", fx=1000.0),), "S": (at_joint("B", fx=500.0),)},
    )
    wood = MaterialId("fir")
    bar = replace(made.members[MemberId("bar")], material=wood)
    pieces = (Piece(member=MemberId("bar")), Piece(plate="wood", material=wood))
    bolts = Fasteners(kind="bolt", diameter=16.0, count=2, hole=17.0)
    truss = replace(
        made,
        members={MemberId("bar"): bar},
        materials={**made.materials, wood: Material(E=1e4, density=420.0)},
        connections={"c": Connection(joint=JointId("B"), pieces=pieces, fasteners=bolts)},
        loads=replace(
            made.loads,
            cases={
                RunId("D"): replace(made.loads.cases[RunId("D")], kind="dead"),
                RunId("S"): replace(made.loads.cases[RunId("S")], kind="snow"),
            },
        ),
    )
    both = {RunId("D"): 1.0, RunId("S"): 1.0}
    sag = Sag(by="plumb", start=JointId("A"), at=JointId("B"), off=3.0, date="2026-01-02", load=both)
    model = expected(truss, sag, idealisation="continuous")
    assert model.slip == pytest.approx(1500.0 / (2 * 420.0**1.5 * 16 / 23) + 1.0)
    assert calculate(truss, digest="sha256:" + "0" * 64).runs[RunId("D")].slip == {}
