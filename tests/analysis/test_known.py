"""Trusses whose answers stand on one page of paper, and the one that must be refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.trusses import KING_POST, OPEN_SQUARE, RAFTER_PAIR, SOUND, Known
from trussio.analysis.run import analyse
from trussio.errors import CannotAnalyseError
from trussio.model.loading import RunId
from trussio.model.truss import JointId, SegmentId

CASES = pytest.mark.parametrize("known", SOUND.values(), ids=SOUND)


@CASES
def test_forces_and_reactions_are_those_on_paper(known: Known) -> None:
    run = analyse(known.truss, idealisation=known.idealisation)[known.run]
    size = max((abs(force) for force in known.axial.values()), default=1.0)
    for name, axial in known.axial.items():
        forces = run.segments[SegmentId(name)]
        assert forces.axial == pytest.approx(axial, abs=1e-10 * max(size, 1.0)), name
    for joint, push in known.reactions.items():
        reaction = run.reactions[JointId(joint)]
        assert (reaction.x, reaction.y, reaction.turn) == pytest.approx(push, rel=1e-10, abs=1e-8), joint
    for joint, (x, y) in known.movements.items():
        movement = run.joints[JointId(joint)]
        assert (movement.dx, movement.dy) == pytest.approx((x, y), rel=1e-10, abs=1e-10), joint


@CASES
def test_moments_and_their_peaks_are_those_on_paper(known: Known) -> None:
    run = analyse(known.truss, idealisation=known.idealisation)[known.run]
    for name, pair in known.moments.items():
        assert run.segments[SegmentId(name)].moment == pytest.approx(pair, rel=1e-10, abs=1e-6), name
    for name, (moment, at) in known.peak.items():
        forces = run.segments[SegmentId(name)]
        assert forces.moment_peak == pytest.approx(moment, rel=1e-12), name
        assert forces.moment_peak_at == pytest.approx(at, rel=1e-12, abs=1e-9), name


@CASES
def test_everything_stands_in_document_order_as_plain_numbers(known: Known) -> None:
    runs = analyse(known.truss, idealisation=known.idealisation)
    assert list(runs) == list(known.truss.loads.runs)
    for run in runs.values():
        assert list(run.segments) == [segment.id for segment in known.truss.segments]
        assert list(run.joints) == list(known.truss.joints)
        assert list(run.reactions) == list(known.truss.supports)
        forces = next(iter(run.segments.values()))
        assert {type(number) for number in (forces.axial, *forces.moment, forces.moment_peak_at)} == {float}


@pytest.mark.parametrize("factor", [1e-12, 1.0, 1e12])
def test_forces_of_a_determinate_truss_do_not_know_its_stiffness(factor: float) -> None:
    known = KING_POST
    soft = {name: replace(m, E=1e4 * factor) for name, m in known.truss.materials.items()}
    run = analyse(replace(known.truss, materials=soft), idealisation="pinned")[known.run]
    assert {name: forces.axial for name, forces in run.segments.items()} == pytest.approx(known.axial, rel=1e-12)


def test_four_bars_in_a_square_are_refused() -> None:
    with pytest.raises(CannotAnalyseError) as refused:
        analyse(OPEN_SQUARE.truss)
    assert str(refused.value) == (
        "mechanism at /joints/C: C and D can move (1 mechanism). Ask what holds it in the roof: a member, a "
        "bearing or a stick that runs through is missing here."
    )


def test_a_run_of_its_own_gives_what_it_gives_among_all() -> None:
    truss = replace(
        RAFTER_PAIR.truss,
        loads=replace(RAFTER_PAIR.truss.loads, combinations={RunId("1.5 P"): {RAFTER_PAIR.run: 1.5}}),
    )
    every = analyse(truss)
    assert analyse(truss, runs=[RunId("1.5 P")]) == {RunId("1.5 P"): every[RunId("1.5 P")]}
    assert every[RunId("1.5 P")].segments[SegmentId("tie:B0-B2")].axial == pytest.approx(6000.0, rel=1e-12)
