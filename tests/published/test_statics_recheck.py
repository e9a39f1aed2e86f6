"""Published statics problems by the recheck alone: every value but the known misprints, and those are caught."""

from __future__ import annotations

from math import hypot, nan
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import trussio
from tests.published.statics import ENTRIES, SOLVED, UNSTABLE, Published, measured
from trussio.document.encode import write_truss
from trussio.errors import CannotAnalyseError
from trussio.model.check_record import CheckRecord, ForcesTable
from trussio.model.forces import JointMovement, Reaction, RunForces, SegmentForces
from trussio.model.loading import LineLoad, LoadCase, RunId
from trussio.model.truss import JointId, Segment, SegmentId, Truss
from trussio.recheck.agreement import compare
from trussio.recheck.energy import SecondForces, second_forces

if TYPE_CHECKING:
    from pathlib import Path


def length(truss: Truss, segment: Segment) -> float:
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    return hypot(last.x - first.x, last.y - first.y)


def half_load(truss: Truss, run: RunId, segment: Segment) -> float:
    """Half of a uniform load on a level segment, which its end shears carry besides those of the end moments."""
    case = truss.loads.cases.get(run, LoadCase())
    total = 0.0
    for load in case.loads:
        if isinstance(load, LineLoad) and load.on.member == segment.member:
            level = truss.joints[segment.first].y == truss.joints[segment.last].y
            assert (load.start, load.end) == (None, None)
            assert isinstance(load.value, float)
            total += load.value * length(truss, segment) / 2 if level else nan
    return total


def as_results(truss: Truss, run: RunId, forces: SecondForces) -> RunForces:
    """The recheck's forces in the form of results; the largest moment is none of its business."""
    by_id = {segment.id: segment for segment in truss.segments}
    return RunForces(
        segments={
            name: SegmentForces(
                axial=axial,
                axial_ends=(axial, axial),
                shear=(sheared + half, sheared - half),
                moment=(first, last),
                moment_peak=0.0,
                moment_peak_at=0.0,
            )
            for name, axial in forces.axial.items()
            for first, last in [forces.moments[name]]
            for sheared in [(last - first) / length(truss, by_id[name])]
            for half in [half_load(truss, run, by_id[name])]
        },
        joints={name: JointMovement(dx=x, dy=y, turn=turn) for name, (x, y, turn) in forces.movements.items()},
        reactions={name: Reaction(x=x, y=y, turn=turn) for name, (x, y, turn) in forces.reactions.items()},
    )


def by_recheck(entry: Published) -> dict[RunId, RunForces]:
    forces = second_forces(entry.truss, idealisation="continuous")
    return {run: as_results(entry.truss, run, found) for run, found in forces.items()}


@pytest.mark.parametrize("entry", SOLVED, ids=lambda entry: entry.id)
def test_every_printed_value_but_the_misprints(entry: Published) -> None:
    results = by_recheck(entry)
    compared = 0
    for path, printed in entry.published.items():
        if path not in entry.wrong:
            value = measured(entry, results, path)
            assert entry.agrees(value, printed), f"{entry.id} {path}: {value} against {printed}, {entry.source}"
            compared += 1
    assert compared or set(entry.published) <= set(entry.wrong)


@pytest.mark.parametrize(
    ("entry", "path"),
    [(entry, path) for entry in SOLVED for path in entry.wrong],
    ids=lambda part: part.id if isinstance(part, Published) else part,
)
def test_a_misprint_is_caught_and_what_holds_is_found(entry: Published, path: str) -> None:
    value = measured(entry, by_recheck(entry), path)
    assert not entry.agrees(value, entry.published[path]), f"{path} should differ: {entry.wrong[path]}"
    assert entry.agrees(value, entry.recomputed[path])


def test_the_misprints_are_there_to_be_caught() -> None:
    assert {entry.id for entry in SOLVED if entry.wrong} == {"DT10", "FR06", "FR13"}


@pytest.mark.parametrize("entry", [entry for entry in SOLVED if entry.sums], ids=lambda entry: entry.id)
def test_sums_of_cases(entry: Published) -> None:
    forces = second_forces(entry.truss, idealisation="continuous")
    for case, summed in entry.sums.items():
        largest = max(abs(value) for value in forces[case].axial.values())
        assert forces[summed].axial == pytest.approx(forces[case].axial, rel=0, abs=1e-9 * largest)


@pytest.mark.parametrize("entry", UNSTABLE, ids=lambda entry: entry.id)
def test_what_can_move_is_refused_and_what_stands_is_not(entry: Published) -> None:
    stability = entry.recomputed_stability
    if stability.mechanisms == 0:
        second_forces(entry.truss, idealisation="continuous", runs=[])
        return
    with pytest.raises(CannotAnalyseError, match=rf"\({stability.mechanisms} mechanisms?\)") as caught:
        second_forces(entry.truss, idealisation="continuous", runs=[])
    assert caught.value.code == "mechanism"
    named = {JointId(place.removeprefix("/joints/")) for place in caught.value.where.split(", ")}
    assert stability.moving is None or named == stability.moving


def typed(entry: Published, case: RunId, *, corrected: bool) -> ForcesTable:
    """The printed member forces of a case as somebody would type them; what is not printed is taken as found."""
    forces: dict[SegmentId, float] = {}
    rounding: dict[SegmentId, float] = {}
    for segment in entry.truss.segments:
        path = f"{case}.member_forces.{segment.member}"
        printed = entry.published.get(path, entry.recomputed[path])
        if corrected and path in entry.wrong:
            printed = entry.recomputed[path]
        forces[segment.id] = printed
        rounding[segment.id] = max(entry.tol_abs, entry.tol_rel * abs(printed))
    return ForcesTable(name=entry.id, digest="sha256:typed", runs={case: forces}, rounding={case: rounding})


PRINTED = [
    (entry, case)
    for entry in SOLVED
    for case in entry.truss.loads.cases
    if any(path.startswith(f"{case}.member_forces.") for path in entry.published)
]


def checked(entry: Published, table: ForcesTable) -> CheckRecord:
    return compare(entry.truss, table, idealisation="continuous", state="found", model_digest="sha256:m")


@pytest.mark.parametrize(
    ("entry", "case"), PRINTED, ids=lambda part: part.id if isinstance(part, Published) else part
)
def test_printed_tables_pass_with_their_rounding(entry: Published, case: RunId) -> None:
    record = checked(entry, typed(entry, case, corrected=True))
    assert record.verdict == "agrees", record.runs[case].says


def test_the_misprint_of_a_force_is_pinned_to_its_member() -> None:
    """A companion script prints FG = 12 in tension where the joint G needs 12 in compression."""
    entry = next(entry for entry in SOLVED if entry.id == "DT10")
    (case,) = entry.truss.loads.cases
    run = checked(entry, typed(entry, case, corrected=False)).runs[case]
    assert (run.verdict, run.slips) == ("disagrees", ("one-sign",))
    assert [name for name, check in run.segments.items() if check.verdict == "disagrees"] == ["FG:F-G"]
    assert run.says.startswith("1 of 13 segments disagrees: the sign of FG:F-G is turned round. At ")
    assert "A change of FG:F-G by -24 N alone would restore balance at every joint." in run.says


WHOLE = [
    (entry, case)
    for entry, case in PRINTED
    if all(f"{case}.member_forces.{segment.member}" in entry.published for segment in entry.truss.segments)
]


@pytest.mark.parametrize(
    ("entry", "case"), WHOLE, ids=lambda part: part.id if isinstance(part, Published) else part
)
def test_whole_tables_as_printed_by_the_command_line(entry: Published, case: RunId, tmp_path: Path) -> None:
    """Typed from the source digit by digit, within the tolerance that the source needs; misprints are found."""
    document, table = tmp_path / "truss.json", tmp_path / "typed.csv"
    document.write_text(write_truss(entry.truss), encoding="utf-8")
    printed = {s: entry.published[f"{case}.member_forces.{s.member}"] for s in entry.truss.segments}
    rows = [f"{case},{segment.id},{force!r}" for segment, force in printed.items()]
    table.write_text("\n".join(["run,segment,axial", *rows]) + "\n", encoding="utf-8")
    part = max(entry.tol_rel, entry.tol_abs / (max(map(abs, printed.values())) or 1e6))
    ran = trussio("recheck", document, "--against", table, "--within", part)
    wrong = [s for s in printed if f"{case}.member_forces.{s.member}" in entry.wrong]
    assert ran.code == (5 if wrong else 0), ran.out
    assert f"within {part:g} of the largest force" in ran.out
    for segment in wrong:
        assert f"the sign of {segment.id} is turned round" in ran.out


def test_the_corpus_is_whole() -> None:
    kinds = {kind: sum(entry.category == kind for entry in ENTRIES) for kind in {e.category for e in ENTRIES}}
    assert kinds == {
        "determinate_truss": 21,
        "indeterminate_truss": 8,
        "frame": 13,
        "superposition": 4,
        "unstable": 20,
    }
