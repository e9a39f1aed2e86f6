"""What a survey found broken is set against the truss as built, and what the model cannot explain says so."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.timber.roof import BOTTOM, STRUT, axial, results, truss
from tests.timber.test_review_connections import FOOT, SAID
from trussio.model.condition import Condition, Missing, Parted, Severed
from trussio.model.forces import SegmentForces
from trussio.model.standing import Failure
from trussio.model.truss import JointId, MemberId, Truss
from trussio.timber.failures import AT_BREAK, AT_JOINT, IN_COMPRESSION, broken, failures

CHORD_VALUE = 675 * 1.15 * 1.1 * 2.625 * 9.5
BROKEN = Severed(member=MemberId("bottom"), at=40.0, seen="broken through")
PULLED = Parted(member=MemberId("web"), at=JointId("B1"), seen="pulled off")


def found(one: Condition, forces: dict[str, SegmentForces], roof: Truss | None = None) -> tuple[Failure, ...]:
    made = replace(roof or truss(), condition={"c1": one})
    return failures(made, results(made, {"D+S": forces}), SAID)


@pytest.mark.parametrize(("share", "explained"), [(1.0, False), (1.001, True)])
def test_a_broken_chord_is_explained_only_over_its_limit(share: float, *, explained: bool) -> None:
    [one] = found(BROKEN, {BOTTOM: axial(CHORD_VALUE * share)})
    assert (one.condition, one.seen, one.built.element) == ("/condition/c1", "broken through", BOTTOM)
    assert (one.look == ()) == explained
    if explained:
        assert one.says.startswith(
            "As built it stood over its limit, at 100.1 % (run D+S, tension on the gross section"
        )
        assert one.says.endswith(
            "which is a reason. An allowable holds a reserve, so ask also what load was there when it gave way."
        )
        assert [cause.rule for cause in one.built.causes] == ["load-case"]
    else:
        assert one.look == AT_BREAK
        assert one.says == (
            "As built it stood within its limit, at 100 % (run D+S, tension on the gross section, "
            "NDS-2018 3.8.1): the model does not explain it."
        )


@pytest.mark.parametrize(("at", "element"), [(1.0, BOTTOM), (96.0, BOTTOM), (96.001, "bottom:B1-B2")])
def test_a_break_lies_on_the_segment_of_its_place(at: float, element: str) -> None:
    forces = {BOTTOM: axial(100.0), "bottom:B1-B2": axial(200.0)}
    [one] = found(replace(BROKEN, at=at), forces)
    assert one.built.element == element


def test_a_strut_that_broke_within_its_limit_is_looked_at_for_bows() -> None:
    [one] = found(replace(BROKEN, member=MemberId("web"), at=5.0), {STRUT: axial(-100.0)})
    assert one.built.element == STRUT
    assert one.look == IN_COMPRESSION


def test_a_stick_that_parted_is_looked_up_by_its_connection() -> None:
    roof = replace(truss(), connections={"c": FOOT})
    [held] = found(PULLED, {STRUT: axial(10.0)}, roof)
    assert held.built.element == "/connections/c"
    assert held.look == AT_JOINT
    [torn] = found(PULLED, {STRUT: axial(90000.0)}, roof)
    assert torn.built.verdict == "not met"
    assert torn.look == ()


def test_where_nobody_entered_the_fasteners_the_model_cannot_tell() -> None:
    [one] = found(PULLED, {STRUT: axial(500.0)})
    assert one.built.element == "/joints/B1"
    assert one.built.carried is not None
    assert one.built.carried.force == pytest.approx(500.0)
    assert one.says.startswith(
        "The model cannot tell why: as built it was not evaluated (no connections are in the"
    )
    assert one.look == AT_JOINT


def test_what_is_gone_without_a_break_is_no_failure() -> None:
    gone = Missing(member=MemberId("web"), seen="taken out for a duct")
    assert found(gone, {BOTTOM: axial(90000.0)}) == ()
    assert not broken(replace(truss(), condition={"c1": gone}))
    assert broken(replace(truss(), condition={"c1": BROKEN}))
    assert not broken(truss())
