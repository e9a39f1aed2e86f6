"""As found or as built: every job sees the same truss, and whatever is said points into the document."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.test_giving import lifting
from tests.cli.running import trussio
from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.assess import assess
from trussio.batch import review_files
from trussio.calculation import calculate
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss, write_truss
from trussio.errors import CannotAnalyseError
from trussio.model.condition import Bow, Missing, Severed
from trussio.model.loading import LineLoad, LoadCase, RunId, Target
from trussio.model.staging import Add, PutOn, Stage
from trussio.model.truss import MemberId, SegmentId

if TYPE_CHECKING:
    from pathlib import Path

    from trussio.model.truss import Truss

P = RunId("P")


def queen() -> Truss:
    """A queen-post truss with a cut bottom chord and a bowed brace."""
    truss = build(
        joints={
            "B0": (0.0, 0.0),
            "B1": (2000.0, 0.0),
            "B2": (4000.0, 0.0),
            "B3": (6000.0, 0.0),
            "T1": (2000.0, 1500.0),
            "T2": (4000.0, 1500.0),
        },
        members={
            "bottom": stick("B0", "B1", "B2", "B3", role="bottom-chord"),
            "top": stick("B0", "T1", "T2", "B3", role="top-chord"),
            "p1": stick("B1", "T1", role="web"),
            "p2": stick("B2", "T2", role="web"),
            "d": stick("B1", "T2", role="web"),
        },
        supports={"B0": PIN, "B3": ROLLER},
        cases={"P": (along("bottom", 1.0), at_joint("T1", fy=-900.0))},
    )
    return replace(truss, condition={"c1": Severed(member=MemberId("bottom"), at=2500.0, seen="sawn for a duct")})


def test_the_whole_chain_takes_the_state_asked_for() -> None:
    truss = queen()
    digest = digest_of_truss(truss)
    found = assess(truss, name="queen.json", digest=digest)
    built = assess(truss, name="queen.json", digest=digest, state="built")
    assert found.results is not None
    assert built.results is not None
    assert SegmentId("bottom:B1-c1.1") in found.results.runs[P].segments
    assert SegmentId("bottom:B1-B2") in built.results.runs[P].segments
    assert found.check_record is not None
    assert found.check_record.verdict == "agrees"
    assert found.document == truss
    assert built.document is None
    assert found.results.model == built.results.model == digest
    assert found.findings is not None
    assert built.findings is not None
    assert found.findings.statics["continuous"].segments == built.findings.statics["continuous"].segments + 1
    codes = [finding.code for finding in found.findings.findings]
    assert "severed" in codes
    assert "severed" not in [finding.code for finding in built.findings.findings]


def test_a_review_writes_the_document_and_not_the_truss_as_found() -> None:
    truss = queen()
    digest = digest_of_truss(truss)
    files = review_files("queen", assess(truss, name="queen.json", digest=digest))
    assert digest_of_truss(read_truss(files["queen.json"], name="queen.json")) == digest
    assert b"sawn for a duct" in files["queen.html"]


def test_findings_point_at_what_the_document_has() -> None:
    truss = queen()
    assessment = assess(truss, name="queen.json", digest=digest_of_truss(truss))
    assert assessment.findings is not None
    document = json.loads(write_truss(truss))
    for finding in assessment.findings.findings:
        for where in finding.where:
            place = document
            for part in where.split("/")[1:]:
                key = part.replace("~1", "/").replace("~0", "~")
                place = place[int(key)] if isinstance(place, list) else place[key]


def test_an_error_points_at_what_the_document_has() -> None:
    """The load that goes past the end of the brace comes after one that the cut makes two of."""
    late = LineLoad(on=Target(member=MemberId("d")), direction="down", value=1.0, start=0.0, end=9000.0)
    truss = queen()
    cases = {P: replace(truss.loads.cases[P], loads=(along("bottom", 1.0), late))}
    loaded = replace(truss, loads=replace(truss.loads, cases=cases))
    with pytest.raises(CannotAnalyseError) as caught:
        calculate(loaded, digest="sha256:" + "0" * 64)
    assert caught.value.where.startswith("/loads/cases/P/loads/1")


def test_the_command_line_audits_and_analyses_as_found(tmp_path: Path) -> None:
    path = tmp_path / "queen.json"
    path.write_text(write_truss(queen()), encoding="utf-8")
    audited = trussio("audit", path, "--fail-on", "query")
    assert audited.code == 1
    assert "bottom is severed between B1 and B2, 500 mm from B1 (seen: sawn for a duct)." in audited.out
    assert "severed" not in trussio("audit", path, "--state", "built").out
    assert "bottom:B1-c1.1" in trussio("analyse", path).out
    assert "bottom:B1-c1.1" not in trussio("analyse", path, "--state", "built").out
    assert trussio("recheck", path).code == 0


def test_results_as_found_can_be_rechecked_from_their_file(tmp_path: Path) -> None:
    path, forces = tmp_path / "queen.json", tmp_path / "forces.json"
    path.write_text(write_truss(queen()), encoding="utf-8")
    assert trussio("analyse", path, "-o", forces).code == 0
    assert trussio("recheck", path, "--against", forces).code == 0
    conflict = trussio("recheck", path, "--against", forces, "--state", "built")
    assert (conflict.code, "state-conflict" in conflict.err) == (2, True)


def test_the_second_method_knows_a_bow(tmp_path: Path) -> None:
    bowed = replace(queen(), condition={"c1": Bow(member=MemberId("d"), by=20.0, seen="")})
    path = tmp_path / "queen.json"
    path.write_text(write_truss(bowed), encoding="utf-8")
    ran = trussio("recheck", path)
    assert ran.code == 0, ran.out
    assert "VERDICT: agrees" in ran.out


def test_a_missing_stick_that_leaves_a_mechanism_is_a_stop(tmp_path: Path) -> None:
    gone = replace(queen(), condition={"c1": Missing(member=MemberId("bottom"), seen="")})
    path = tmp_path / "queen.json"
    path.write_text(write_truss(gone), encoding="utf-8")
    ran = trussio("analyse", path)
    assert ran.code == 4
    assert "mechanism" in ran.err
    assert trussio("analyse", path, "--state", "built").code == 0


def test_the_command_line_names_what_is_slack_and_what_slip_moves(tmp_path: Path) -> None:
    """Queen posts with two crossed rods: loaded on one side one of them is slack; the end of the other slips."""
    whole = queen()
    members = {
        **whole.members,
        MemberId("d"): replace(whole.members[MemberId("d")], acts="tension", slip={"last": 5e3}),
        MemberId("e"): replace(stick("T1", "B2", role="web"), acts="tension"),
    }
    cases = {P: LoadCase(loads=(at_joint("T1", fy=-9e3),))}
    rods = replace(whole, condition={}, members=members, loads=replace(whole.loads, cases=cases))
    path = tmp_path / "rods.json"
    path.write_text(write_truss(rods), encoding="utf-8")
    ran = trussio("analyse", path)
    assert "slack: e:T1-B2 (by " in ran.out
    assert "slip in connections moves most the force of " in ran.out
    assert json.loads(trussio("analyse", path, "--json").out)["runs"]["P"]["slack"].keys() == {"e:T1-B2"}
    assert trussio("recheck", path).code == 0


def test_a_case_that_nothing_balances_is_named_and_the_others_are_shown(tmp_path: Path) -> None:
    """Two rods under a weight, and wind that would lift it: nothing carries the wind by itself."""
    path = tmp_path / "lifted.json"
    path.write_text(write_truss(lifting("wind")), encoding="utf-8")
    ran = trussio("analyse", path)
    assert ran.code == 0
    says = "in run W no set of the members that carry one way balances the loads: "
    says += "a would have to carry the other way."
    assert f"\nNOT EVALUATED: {says}\n" in ran.out
    assert f"Not evaluated: {says}\n" in ran.err
    assert "\nrun D+W\n" in ran.out
    assert json.loads(trussio("analyse", path, "--json").out)["not_evaluated"] == {"W": says}
    recheck = trussio("recheck", path)
    assert recheck.code == 0
    assert "Runs of the model not compared: W." in recheck.out


def test_a_stage_at_which_nothing_is_there_is_told(tmp_path: Path) -> None:
    """All sticks come in at the second stage."""
    bar = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("B", fx=900.0),)},
    )
    bare = Stage("bare", ())
    built = Stage("built", (Add((MemberId("bar"),)), PutOn((P,))))
    path = tmp_path / "bar.json"
    path.write_text(write_truss(replace(bar, stages=(bare, built))), encoding="utf-8")
    ran = trussio("analyse", path)
    assert ran.code == 0, ran.err
    assert "run bare/now, after stage bare: what is on then" in ran.out
    assert "  nothing is there then\n" in ran.out
    assert json.loads(trussio("analyse", path, "--json").out)["runs"]["built/now"]["segments"]["bar:A-B"][
        "axial"
    ] == pytest.approx(900.0)
