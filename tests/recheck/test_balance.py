"""Balance of given forces: found without stiffness, pinned to one member, judged by the table's rounding."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.strategies import random_truss, seeded
from tests.trusses import CROSSED_SQUARE, QUEEN_POST, P
from trussio.model.truss import SectionId
from trussio.recheck.balance import Imbalance, balance_of, imbalance
from trussio.recheck.energy import second_forces
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, SegmentId, Truss


def left_by(
    truss: Truss, forces: Mapping[SegmentId, float], run: RunId, idealisation: Idealisation, rounding: float = 0.0
) -> Imbalance:
    reading = read(truss, idealisation=idealisation)
    claimed = np.array([forces[segment.id] for segment in truss.segments])
    tolerance = np.full(len(claimed), rounding)
    return imbalance(balance_of(reading), list(truss.joints), reading.factors[run], claimed, tolerance)


def queen_post(**changed: float) -> Imbalance:
    forces = {segment.id: QUEEN_POST.axial[segment.id] for segment in QUEEN_POST.truss.segments}
    forces |= {s.id: changed[s.member] for s in QUEEN_POST.truss.segments if s.member in changed}
    return left_by(QUEEN_POST.truss, forces, P, "pinned", rounding=0.5)


def test_forces_on_paper_balance() -> None:
    found = queen_post()
    assert found.residual == pytest.approx(0.0, abs=1e-9)
    assert list(found.mends) == []


def test_a_wrong_force_is_pinned_to_its_member_with_what_mends_it() -> None:
    found = queen_post(brace=3800.0)
    assert found.joint == "B1"
    assert found.residual == pytest.approx(50.0)
    (mend,) = found.mends
    assert QUEEN_POST.truss.segments[mend[0]].member == "brace"
    assert mend[1] == pytest.approx(-50.0)


def test_two_wrong_forces_are_pinned_to_no_member() -> None:
    found = queen_post(brace=3800.0, q2=5.0, left=-7400.0)
    assert found.residual > found.allowed
    assert list(found.mends) == []


@pytest.mark.parametrize(
    ("says", "brace", "over"),
    [
        ("what rounding explains is no error", 3750.4, False),
        ("just within", 3750.499, False),
        ("beyond what the rounding of all members at the joint explains", 3753.0, True),
    ],
)
def test_rounding_is_no_error(says: str, brace: float, over: bool) -> None:  # noqa: FBT001  (a column of the table)
    found = queen_post(brace=brace)
    assert (found.residual > found.allowed) == over, says


def test_stiffness_does_not_come_into_it() -> None:
    """A state of self-stress passes: balance alone cannot tell how crossed diagonals share."""
    truss = CROSSED_SQUARE.truss
    share = 100.0
    stress = {"ab": share, "bc": share, "cd": share, "da": share, "ac": -share * 2**0.5, "bd": -share * 2**0.5}
    forces = {s.id: CROSSED_SQUARE.axial[s.id] + stress[s.member] for s in truss.segments}
    found = left_by(truss, forces, P, "continuous", rounding=1e-6)
    assert found.residual <= found.allowed


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
@pytest.mark.parametrize("seed", range(25))
def test_the_recheck_s_own_forces_balance_and_stiffness_has_no_say(seed: int, idealisation: Idealisation) -> None:
    truss = random_truss(seeded(seed), idealisation=idealisation)
    found = second_forces(truss, idealisation=idealisation)
    softer = replace(truss, sections=dict.fromkeys(truss.sections, truss.sections[SectionId("web")]))
    for run in truss.loads.runs:
        for model in (truss, softer) if run != "D" and "D" not in truss.loads.runs[run] else (truss,):
            left = left_by(model, found[run].axial, run, idealisation, rounding=1e-9 * found[run].size)
            assert left.residual <= left.allowed, run


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_a_force_that_is_off_is_pinned_among_generated_trusses(idealisation: Idealisation) -> None:
    """In a pinned truss but between bearings, which take it; behind end moments in most."""
    pinned, tried = 0, 60
    for seed in range(tried):
        truss = random_truss(seeded(seed), idealisation=idealisation, stations=False)
        run = next(iter(truss.loads.runs))
        found = second_forces(truss, idealisation=idealisation, runs=[run])[run]
        index = seeded(seed).randrange(len(truss.segments))
        name = truss.segments[index].id
        off = 0.05 * max(abs(value) for value in found.axial.values())
        left = left_by(truss, {**found.axial, name: found.axial[name] + off}, run, idealisation, 1e-9 * found.size)
        mended = dict(left.mends)
        if list(mended) == [index]:
            assert mended[index] == pytest.approx(-off, rel=1e-4)
            pinned += 1
        elif left.residual > left.allowed and mended:
            assert index in mended
    assert pinned >= tried * (0.9 if idealisation == "pinned" else 0.5)


def test_what_rounding_explains_is_the_sum_over_the_members_at_the_joint() -> None:
    """At B1 two level bars, a post and a brace 3 in 4 meet: 0.5 (1 + 1 + 0.6) sideways, 0.5 (1 + 0.8) upwards."""
    found = queen_post(brace=3753.0)
    assert found.joint == "B1"
    assert found.allowed == pytest.approx(0.5 * (2.6**2 + 1.8**2) ** 0.5)
