"""What is said of stages, tendons, one-way members and slip, and of what was taken where nobody said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.analysis.staged import stages, stressed, tendon
from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.assess import assess
from trussio.document.decode import read_truss
from trussio.drawing.quantities import force_scale
from trussio.model.assessment import Assessment
from trussio.model.forces import RunForces, SegmentForces
from trussio.model.loading import RunId
from trussio.model.material import Material
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension
from trussio.model.truss import JointId, MaterialId, MemberId, SegmentId, Support, Truss
from trussio.report.front import not_evaluated
from trussio.report.model_tables import model_tables
from trussio.report.page import page
from trussio.report.pencil import midspan_section
from trussio.report.taken import taken
from trussio.report.totals import load_lines
from trussio.report.uneven import uneven_lines
from trussio.report.ways import run_lines, tendon_words, way_lines
from trussio.report.work_words import action_words

DIGEST = "sha256:" + "0" * 64
SAMPLE = Path(__file__).parents[2] / "samples" / "hall" / "hall-truss-2-repaired.json"
B3, B4 = JointId("B3"), JointId("B4")
OLD, NEW = MemberId("old"), MemberId("new")


@pytest.fixture(scope="module")
def repaired() -> Assessment:
    truss = read_truss(SAMPLE.read_bytes(), name="sample")
    return assess(truss, name="sample", digest=DIGEST)


def beam(units: str = "us") -> Truss:
    made = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0)},
        members={"old": stick("A", "M", "B", role="bottom-chord"), "new": stick("A", "M", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (along("old", 1.0),), "S": (at_joint("M", fy=-100.0),)},
    )
    return replace(made, units="us" if units == "us" else "si")


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (PutOn((RunId("D"), RunId("S"))), "loads of D and S come on"),
        (TakeOff((RunId("S"),)), "loads of S go off"),
        (Shore((B3, B4)), "shores set under B3 and B4"),
        (
            Shore((B3,), holds=("x",), springs={"y": 5e4, "turn": 1.2e4}),
            "shores set under B3, holding x, a spring of 50.0 k/in. in y, a spring of 1.00 ft-k/rad in turn",
        ),
        (Shore((B3,), both_ways=True), "shores set under B3, which can hold down too"),
        (Shore((B3,), holds=((0.6, 0.8),)), "shores set under B3, holding (0.6, 0.8)"),
        (Jack((B3, B4), force=1500.0), "shores at B3 and B4 jacked until each carries 1.50 k"),
        (Jack((B3,), force=1500.0), "shores at B3 jacked until it carries 1.50 k"),
        (Jack((B3,), by=0.25), "shores at B3 jacked up by 0.25 in."),
        (Jack((B3,), by=-0.25), "shores at B3 lowered by 0.25 in."),
        (Release((B3,)), "shores at B3 taken away"),
        (Remove((OLD,)), "old taken out"),
        (Replace(OLD, NEW), "old taken out, then new put in"),
        (Add((NEW,)), "new put in"),
        (Add((NEW,), beside=OLD), "new put in beside old, held at its joints without slip"),
        (Add((NEW,), beside=OLD, glued=True), "new put in beside old, glued to it"),
        (
            Add((NEW,), beside=OLD, slip=6e4),
            "new put in beside old, fasteners of 60.0 k/in. along it at each joint",
        ),
        (
            Add((NEW,), beside=OLD, along=900.0),
            "new put in beside old, fasteners of 900 lb/in. for each in. of it",
        ),
        (Tension(("t",)), "t tensioned"),
        (Tension(("t",), to=0.5), "t tensioned to 50 % of the stated force"),
        (Tension(("t",), to=0.0), "t let off"),
    ],
)
def test_every_action_is_told(action: Add, words: str) -> None:
    assert action_words(beam(), action) == words


def test_the_page_tells_each_stage_and_what_it_does(repaired: Assessment) -> None:
    text = page(repaired)
    for part in ("shores set under B3, B4 and B5", "t1 9.0 k at most, 7.7 k at least", "B3 1.5, B4 1.5, B5 1.5"):
        assert part in text


def test_a_document_without_stages_has_no_such_part(repaired: Assessment) -> None:
    assert 'id="stages"' in page(repaired)
    plain = replace(repaired, document=None)
    assert 'id="stages"' not in page(plain)


def test_loads_balance_in_every_run_and_the_pencil_counts_sister_and_tendon(repaired: Assessment) -> None:
    wrong, lines = load_lines(repaired)
    assert wrong == []
    (later,) = [line for line in lines if line.startswith("After stages")]
    assert "shored/now 18.5 k down" in later
    assert "stressed/D+S (least) 37.9 k down" in later
    (pencil,) = [line for line in lines if line.startswith("Pencil check")]
    assert "moment about T4 less that of t1, over depth" in pencil
    assert "in bottom:B3-B4 and sister:B3-B4" in pencil
    run = RunId("stressed/D+S")
    assert repaired.results is not None
    found = midspan_section(repaired.truss, repaired.applied[run], repaired.results.runs[run])
    assert found is not None
    assert found.force == pytest.approx(found.axial, rel=0.005)


def test_a_load_that_a_stage_run_lacks_shows(repaired: Assessment) -> None:
    run = RunId("shored/now")
    applied = {**repaired.applied, run: {**repaired.applied[run], JointId("T4"): (0.0, 0.0)}}
    wrong, _ = load_lines(replace(repaired, applied=applied))
    assert [line.split(":")[0] for line in wrong] == ["shored/now"]


def test_a_run_that_nothing_balances_is_named_as_not_evaluated(repaired: Assessment) -> None:
    assert repaired.results is not None
    runs = {run: forces for run, forces in repaired.results.runs.items() if run != "S"}
    open_one = replace(repaired.results, runs=runs, not_evaluated={RunId("S"): "in run S nothing balances."})
    told = not_evaluated(replace(repaired, results=open_one))
    assert "Forces in run S nothing balances." in told
    assert not any(line.startswith("Forces in 1 run") for line in told)
    scale = force_scale("us", 1e4)
    assert way_lines("us", open_one, scale)[0] == "Not evaluated: in run S nothing balances."


def of(axial: float) -> RunForces:
    still = SegmentForces(axial, (axial, axial), (0.0, 0.0), (0.0, 0.0), 0.0, 0.0)
    return RunForces(segments={SegmentId("a:A-B"): still}, joints={}, reactions={})


@pytest.mark.parametrize(
    ("slip", "words"),
    [
        (-1250.0, "slip in connections moves most the force of a:A-B: 1.2 k more compression than without slip"),
        (1250.0, "slip in connections moves most the force of a:A-B: 1.2 k more tension than without slip"),
        (0.001, "slip in connections moves no force that can be read here"),
    ],
)
def test_what_slip_moves_is_told(slip: float, words: str) -> None:
    forces = replace(of(1e4), slip={SegmentId("a:A-B"): slip})
    assert list(run_lines("us", forces, force_scale("us", 1e4))) == [words]


def test_what_is_slack_is_told_with_how_far() -> None:
    forces = replace(of(0.0), slack={SegmentId("a:A-B"): 0.125})
    assert list(run_lines("us", forces, force_scale("us", 1e4))) == ["slack: a:A-B (by 0.12 in.)"]
    loose = replace(of(0.0), loose={"t": 0.25})
    assert list(run_lines("us", loose, force_scale("us", 1e4))) == [
        "the tendon t is slack (by 0.25 in.): it takes no compression, so this run is solved without it"
    ]


def test_a_tendon_is_told_with_both_bounds_and_leg_by_leg(repaired: Assessment) -> None:
    assert repaired.results is not None
    run, least = RunId("x"), RunId("x (least)")
    runs = {run: replace(of(0.0), tendons={"t": (9e3, 8e3)}), least: replace(of(0.0), tendons={"t": (7e3, 6e3)})}
    results = replace(repaired.results, runs=runs)
    scale = force_scale("us", 9e3)
    assert list(tendon_words(results, run, scale)) == ["t 9.00 - 8.00 k at most, 7.00 - 6.00 k at least"]
    assert list(tendon_words(results, least, scale)) == ["t 7.00 - 6.00 k"]


def test_every_default_is_told_and_what_is_entered_otherwise() -> None:
    truss = beam()
    told = "\n".join(taken(truss, "continuous"))
    assert "Bearings: A is held level and every other rolls." in told
    assert "is pinned at its ends, webs at both" in told
    assert "Slip in connections: none" in told
    assert "every segment is pinned at both ends" in "\n".join(taken(truss, "pinned"))
    held = replace(truss, supports=dict.fromkeys(truss.supports, PIN))
    assert "A and B are held level" in "\n".join(taken(held, "continuous"))
    loose = replace(truss, supports={name: Support(holds=("y",)) for name in truss.supports})
    assert "none is held level" in "\n".join(taken(loose, "continuous"))


def test_rods_struts_and_slip_are_told() -> None:
    truss = beam()
    steel = MaterialId("steel")
    section = truss.members[NEW].section
    assert section is not None
    bar = replace(truss.sections[section], width=None, depth=None, area=500.0, inertia=20.0)
    rod = replace(truss.members[NEW], material=steel)
    truss = replace(
        truss,
        sections={**truss.sections, section: bar},
        members={**truss.members, NEW: rod},
        materials={**truss.materials, steel: Material(E=2e5, kind="steel")},
    )
    assert "Rods: new of steel carry both ways" in "\n".join(taken(truss, "continuous"))
    one_way = replace(truss, members={**truss.members, NEW: replace(rod, acts="tension", play={"first": 0.0625})})
    told = "\n".join(taken(one_way, "continuous"))
    assert "Rods: new carry tension alone" in told
    assert "as stated at the ends of new, with play of new 0.06 in." in told


def test_slip_by_fasteners_is_told_with_its_source() -> None:
    truss = beam()
    asking = replace(truss, members={**truss.members, NEW: replace(truss.members[NEW], fastener_slip=("first",))})
    told = taken(asking, "continuous")
    assert "Slip in connections of new: by the fasteners stated there, EN 1995-1-1 table 7.1" in "\n".join(told)
    assert not any("none, for forces" in line for line in told)
    assert any("slips by its fasteners at A" in (e.text or "") for e in model_tables(asking)[1].iter())


def test_sisters_splices_and_tendons_are_told() -> None:
    truss = stages(beam(), (Add((NEW,), beside=OLD),))
    assert "held at their joints, without slip since none is stated, beside old" in "\n".join(
        taken(truss, "continuous")
    )
    tied = stages(beam(), (Add((NEW,), beside=OLD, slip=1.0),))
    assert "Sisters: new slipping along old." in "\n".join(taken(tied, "continuous"))
    glued = stages(beam(), (Add((NEW,), beside=OLD, glued=True),))
    assert "Sisters: new glued to old." in "\n".join(taken(glued, "continuous"))
    held = stressed(beam(), {"t": tendon("A", "M", "B", area=9.0, E=2e5, sure=True)}, 10.0)
    assert (
        "Tendon t: after lock-off a member that later loads stretch, slack where it would have to push."
        in "\n".join(taken(held, "continuous"))
    )
    pulled = stressed(beam(), {"t": tendon("A", "M", "B", acts="force")}, 10.0)
    told = "\n".join(taken(pulled, "continuous"))
    assert (
        "Tendon t: after lock-off no more than its force; not stated, so that the least force takes it that"
        in told
    )
    assert "friction takes 0.24 a radian at its deviators" in told
    halves = {MemberId("l"): stick("A", "M", role="top-chord"), MemberId("r"): stick("M", "B", role="top-chord")}
    spliced = replace(beam(), members=halves)
    assert "Splices of a whole chord at M: a hinge for the chord" in "\n".join(taken(spliced, "continuous"))


def test_sticks_that_come_and_go_turn_round_only_where_they_are(repaired: Assessment) -> None:
    assert repaired.results is not None
    lines = uneven_lines(repaired.document or repaired.truss, repaired.results)
    assert lines[0] == "axial force changes sign between runs"
    assert any(line.startswith("  w5:B3-T3") for line in lines)
