"""Lost section and bow: what is left bends by its axial force times its shift, and gives by what is left."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]  # it carries no types

from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.as_found import as_found
from trussio.analysis.run import analyse
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.condition import Bow, Left, Lost, LostSection
from trussio.model.loading import RunId
from trussio.model.material import Section
from trussio.model.truss import Curve, JointId, MemberId, SegmentId
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from trussio.model.condition import Condition
    from trussio.model.forces import RunForces, SegmentForces
    from trussio.model.truss import Idealisation, Truss

P = RunId("P")
E, B, D = 1e4, 100.0, 200.0
AREA, INERTIA = B * D, B * D**3 / 12
RECTANGLE = Section(width=B, depth=D)
BEAM = MemberId("beam")
DIGEST = "sha256:" + "0" * 64


def lost(start: float | None = None, end: float | None = None, **gone: float) -> LostSection:
    return LostSection(member=BEAM, what=Lost(**gone), start=start, end=end, seen="rot")  # type: ignore[arg-type]  # fields by name


def beam(*entries: Condition, length: float = 4000.0, push: float = 0.0, w: float = 0.0) -> Truss:
    """A beam as found, on two supports, pulled with `push` and loaded with `w` downwards."""
    truss = build(
        joints={"A": (0.0, 0.0), "C": (length, 0.0)},
        members={"beam": stick("A", "C")},
        supports={"A": PIN, "C": ROLLER},
        cases={"P": (at_joint("C", fx=push), along("beam", w))},
        section=RECTANGLE,
    )
    condition = {f"c{number}": one for number, one in enumerate(entries, start=1)}
    return as_found(replace(truss, condition=condition), "continuous")[0]


def forces(truss: Truss, segment: str = "beam:A-C", idealisation: Idealisation = "continuous") -> SegmentForces:
    run: RunForces = analyse(truss, idealisation=idealisation)[P]
    return run.segments[SegmentId(segment)]


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_the_moment_in_a_worn_stretch_is_force_times_shift(idealisation: Idealisation) -> None:
    """40 mm gone from below lift the centroid by 20 mm: a pull of 1000 bends what is left by 20 000, below."""
    found = forces(beam(lost(1000.0, 2500.0, minus_y=40.0), push=1000.0), idealisation=idealisation)
    assert found.axial == pytest.approx(1000.0)
    assert found.moment == pytest.approx((0.0, 0.0))
    assert found.moment_peak == pytest.approx(1000.0 * 20.0)
    assert found.moment_peak_at == pytest.approx(1000.0)


def test_the_other_face_bends_the_other_way_and_both_alike_do_not_bend() -> None:
    assert forces(beam(lost(1000.0, 2500.0, plus_y=40.0), push=1000.0)).moment_peak == pytest.approx(-20000.0)
    even = forces(beam(lost(1000.0, 2500.0, plus_y=20.0, minus_y=20.0), push=1000.0))
    assert even.moment_peak == pytest.approx(0.0, abs=1e-9)


def test_a_worn_bar_is_longer_by_what_its_parts_give() -> None:
    """With u = F (L1 / EA + L2 / EA2 + e2 L2 / EI2), by the unit-load theorem."""
    truss = beam(lost(1000.0, 2500.0, minus_y=40.0), push=1000.0)
    left, shift, stretch = B * 160.0, 20.0, 1500.0
    inertia = B * 160.0**3 / 12
    expected = 1000.0 / E * (2500.0 / AREA + stretch / left + shift**2 * stretch / inertia)
    assert analyse(truss)[P].joints[JointId("C")].dx == pytest.approx(expected, rel=1e-12)


def test_a_worn_simple_beam_keeps_its_moment() -> None:
    found = forces(beam(lost(1000.0, 2500.0, minus_y=40.0), w=2.0))
    assert found.moment_peak == pytest.approx(2.0 * 4000.0**2 / 8)
    assert found.moment_peak_at == pytest.approx(2000.0)


def test_moments_go_where_the_stiffness_is() -> None:
    """Two spans of 4 m, the left one worn from 1 m to 3 m: by the unit-load theorem, integrals by scipy."""
    w, span, worn = 2.0, 4000.0, B * 120.0**3 / 12
    truss = build(
        joints={"A": (0.0, 0.0), "B": (span, 0.0), "C": (2 * span, 0.0)},
        members={"beam": stick("A", "B", "C")},
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": (along("beam", w),)},
        section=RECTANGLE,
    )
    entry = lost(1000.0, 3000.0, plus_y=40.0, minus_y=40.0)
    truss = as_found(replace(truss, condition={"c1": entry}), "continuous")[0]

    def gives(x: float) -> float:
        return 1.0 / (E * (worn if 1000.0 < x < 3000.0 else INERTIA))

    def simple(x: float) -> float:
        return w * x * (span - x) / 2

    cuts = [1000.0, 3000.0]
    turn = quad(lambda x: gives(x) * simple(x) * x / span, 0.0, span, points=cuts)[0]
    own = quad(lambda x: gives(x) * (x / span) ** 2, 0.0, span, points=cuts)[0]
    other = w * span**3 / 24 / (E * INERTIA), span / 3 / (E * INERTIA)
    expected = -(turn + other[0]) / (own + other[1])
    assert forces(truss, "beam:A-B").moment[1] == pytest.approx(expected, rel=1e-10)


def test_a_stick_worn_along_all_of_its_length_to_one_side_bends_all_along() -> None:
    """The pull enters at the old axis, 15 mm from the new one."""
    truss = beam(lost(minus_y=30.0), push=1000.0)
    assert truss.section_of(BEAM) == replace(RECTANGLE, depth=170.0)
    assert forces(truss).moment_peak == pytest.approx(15000.0)


def test_what_is_left_may_be_told_instead_of_what_is_gone() -> None:
    rest = Left(area=B * 160.0, inertia=B * 160.0**3 / 12, shift=20.0)
    told = beam(LostSection(member=BEAM, what=rest, start=1000.0, end=2500.0, seen=""), push=1000.0)
    gone = beam(lost(1000.0, 2500.0, minus_y=40.0), push=1000.0)
    assert analyse(told) == analyse(gone)


def test_what_is_left_without_inertia_is_refused() -> None:
    entry = LostSection(member=BEAM, what=Left(area=1e4), start=1000.0, end=2500.0, seen="")
    with pytest.raises(
        CannotAnalyseError, match="what is left of beam bends, and its inertia is not stated"
    ) as caught:
        analyse(beam(entry, push=1.0))
    assert (caught.value.code, caught.value.where) == ("no-inertia", "/members/beam")


@pytest.mark.parametrize(("by", "push"), [(25.0, 1000.0), (25.0, -1000.0), (-25.0, 1000.0)])
def test_the_moment_of_a_bow_is_force_times_bow(by: float, push: float) -> None:
    found = forces(beam(Bow(member=BEAM, by=by, seen="string line"), push=push))
    assert found.axial == pytest.approx(push)
    assert found.moment_peak == pytest.approx(push * by)
    assert found.moment_peak_at == pytest.approx(2000.0)


def test_a_bow_and_an_arc_of_the_same_rise_are_one() -> None:
    """A rise of 1 in 160: the parabola differs from the arc by less than 1 in 1000 of what it does."""
    bowed = beam(Bow(member=BEAM, by=25.0, seen=""), push=-5e3, w=2.0)
    radius = (2000.0**2 + 25.0**2) / 50.0
    straight = beam(push=-5e3, w=2.0)
    arc = replace(straight, members={BEAM: stick("A", "C", curve=Curve(radius=radius, bows="up"))})
    one, other = analyse(bowed)[P], analyse(arc)[P]
    assert one.joints[JointId("C")].dx == pytest.approx(other.joints[JointId("C")].dx, rel=1e-3)
    peak = one.segments[SegmentId("beam:A-C")].moment_peak
    assert peak == pytest.approx(other.segments[SegmentId("beam:A-C")].moment_peak, rel=1e-3)


def test_a_worn_arc_bends_by_its_shift_besides() -> None:
    """A half circle from A to C under a pull P at C: P R sin at any point, and P times the shift in y besides."""
    radius = 1000.0
    truss = build(
        joints={"A": (0.0, 0.0), "C": (2 * radius, 0.0)},
        members={"beam": stick("A", "C", curve=Curve(radius=radius, bows="up"))},
        supports={"A": PIN, "C": ROLLER},
        cases={"P": (at_joint("C", fx=1000.0),)},
        section=RECTANGLE,
    )
    arc = radius * 3.141592653589793
    entry = lost(0.4 * arc, 0.6 * arc, minus_y=40.0)
    worn = as_found(replace(truss, condition={"c1": entry}), "continuous")[0]
    assert forces(truss).moment_peak == pytest.approx(1000.0 * radius)
    assert forces(worn).moment_peak == pytest.approx(1000.0 * (radius + 20.0))


def test_the_second_method_agrees() -> None:
    truss = beam(push=1000.0)
    for entry in (lost(1000.0, 2500.0, minus_y=40.0), Bow(member=BEAM, by=25.0, seen="")):
        worn = replace(truss, condition={"c1": entry})
        record = recheck(worn, claims(calculate(worn, digest=DIGEST)), digest=DIGEST)
        assert record.verdict == "agrees"
        assert (
            recheck(
                worn, claims(calculate(truss, digest=DIGEST, state="built")), digest=DIGEST, state="built"
            ).verdict
            == "agrees"
        )
