"""Second order after stages and with tendons, held against closed forms and against the same truss without them.

Closed forms: S. P. Timoshenko and J. M. Gere, Theory of elastic stability, 2nd ed. 1961, chapters 1 and 2, cited
from memory; a tendon that follows the axis does not buckle a column: common knowledge of prestressing, no source.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sqrt, tan

import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]  # it carries no types

from tests.analysis.staged import now, stages, stressed, tendon
from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.amplification import second_order
from trussio.calculation import calculate
from trussio.model.loading import LoadCase, Longer, RunId, Target
from trussio.model.material import Section
from trussio.model.second_order import SecondOrderRun
from trussio.model.staging import Add, PutOn, TakeOff, Tension
from trussio.model.truss import MemberId, SectionId, SegmentId, Truss

P, PT, BOTH = RunId("P"), RunId("PT"), RunId("both")
EI, EA, L = 1e10, 1e7, 4000.0
EULER = pi**2 * EI / L**2
MODEL = "sha256:" + "0" * 64


def of(truss: Truss) -> dict[RunId, SecondOrderRun]:
    results = calculate(truss, digest=MODEL, despite_stops=True)
    return {**second_order(truss, results).runs}


def bar(*cases: str, points: int = 2, load: float = 0.0) -> Truss:
    """A bar lying down between pin and roller, with a load across it."""
    joints = {f"J{n}": (L * n / points, 0.0) for n in range(points + 1)}
    return build(
        joints=joints,
        members={"bar": stick(*joints)},
        supports={"J0": PIN, f"J{points}": ROLLER},
        cases={case: (along("bar", load),) for case in cases or ("P",)},
    )


def under(truss: Truss, **factors: float) -> Truss:
    named = {RunId(case): by for case, by in factors.items()}
    return replace(truss, loads=replace(truss.loads, combinations={BOTH: named}))


@pytest.mark.parametrize("part", [0.1, 0.5, 0.79])
def test_a_straight_tendon_beside_the_axis_bends_a_beam_by_the_secant(part: float) -> None:
    """Anchored at its ends alone, it stays straight while the beam deflects: M = T e sec(k L / 2)."""
    force, offset = part * EULER, -100.0
    truss = stressed(
        bar(), {"t": tendon("J0", "J2", on="bar", offsets=(offset, offset), acts="force", sure=True)}, force
    )
    run = of(truss)[PT]
    assert run.factor == pytest.approx(1 / part, rel=1e-6)
    for one in run.segments.values():
        assert one.moment == pytest.approx(force * offset / cos(L / 2 * sqrt(force / EI)), rel=1e-6)
        assert one.amplification == pytest.approx(1 / cos(L / 2 * sqrt(force / EI)), rel=1e-6)


@pytest.mark.parametrize(("points", "halves"), [(2, 2), (3, 3), (4, 4)])
def test_a_tendon_that_is_held_to_the_axis_lets_it_buckle_between_deviators_alone(
    points: int, halves: int
) -> None:
    """Through every joint along the axis it pushes back what it pushes out: n half waves, n2 times the load."""
    joints = [f"J{n}" for n in range(points + 1)]
    truss = stressed(bar(points=points), {"t": tendon(*joints, acts="force", sure=True)}, EULER / 2)
    assert of(truss)[PT].factor == pytest.approx(2 * halves**2, rel=1e-5)


def test_a_tendon_past_its_ends_alone_buckles_it_as_any_load_does() -> None:
    truss = stressed(bar(), {"t": tendon("J0", "J2", acts="force", sure=True)}, EULER / 2)
    assert of(truss)[PT].factor == pytest.approx(2.0, rel=1e-6)


def frame_with_rod(force: float) -> tuple[Truss, Truss]:
    """A bent frame with a rod across: as a stick made too short, and as a tendon jacked to its force."""
    plain = build(
        joints={"A": (0.0, 0.0), "C": (1500.0, 2000.0), "D": (4500.0, 2000.0), "B": (6000.0, 0.0)},
        members={"frame": stick("A", "C", "D", "B", role="top-chord")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("C", fy=-0.1 * force, fx=0.05 * force), at_joint("D", fy=-0.15 * force))},
    )
    short = LoadCase(kind="post-tension", loads=(Longer(on=Target(member=MemberId("rod")), by=-1.0),))
    rod = replace(stick("A", "B"), section=SectionId("rod"))
    sticks = replace(
        plain,
        members={**plain.members, MemberId("rod"): rod},
        sections={**plain.sections, SectionId("rod"): Section(area=400.0)},
        loads=replace(plain.loads, cases={**plain.loads.cases, PT: short}),
    )
    stiff = next(iter(plain.materials.values())).E
    unit = calculate(sticks, digest=MODEL, despite_stops=True).runs[PT].segments[SegmentId("rod:A-B")].axial
    cable = tendon("A", "B", area=400.0, E=stiff, sure=True)
    return under(sticks, P=1.0, PT=force / 10 / unit), under(
        stressed(plain, {"t": cable}, force / 10), P=1.0, PT=1.0
    )


@pytest.mark.parametrize("part", [1.0, 3.0, 6.0])
def test_a_tendon_is_what_a_rod_of_the_same_force_is(part: float) -> None:
    """It stretches as the frame spreads, and the frame's second order is the same."""
    sticks, cables = (of(truss)[BOTH] for truss in frame_with_rod(part * 1e3))
    assert sticks.verdict == "calculated"
    assert cables.factor == pytest.approx(sticks.factor, rel=1e-6)
    assert cables.segments.keys() == sticks.segments.keys()
    for name, one in cables.segments.items():
        other = sticks.segments[name]
        assert one.axial == pytest.approx(other.axial, rel=1e-7)
        assert one.moment == pytest.approx(other.moment, rel=1e-7)


def test_loads_put_on_in_stages_are_what_they_are_at_once() -> None:
    """Nothing comes in or goes out: the way there does not count."""
    truss = under(bar("P", "Q", load=0.5), P=1.0, Q=1.0)
    pushed = replace(truss.loads.cases[RunId("Q")], loads=(at_joint("J2", fx=-EULER / 3),))
    truss = replace(truss, loads=replace(truss.loads, cases={**truss.loads.cases, RunId("Q"): pushed}))
    found = of(stages(truss, (PutOn((P,)),), (PutOn((RunId("Q"),)),)))
    for run in (now(2), RunId("s2/both")):
        assert found[run].factor == pytest.approx(found[BOTH].factor, rel=1e-9)
        for name, one in found[run].segments.items():
            assert one.moment == pytest.approx(found[BOTH].segments[name].moment, rel=1e-9)


def test_a_sister_takes_a_share_of_what_comes_after_it_and_none_of_what_was() -> None:
    """Two alike bars side by side: the first has all of the first push and half of the second.

    They meet at mid-span, where the stiffness 2 N k / (tan(k L / 2) - k L / 2) of both together is nought.
    """
    truss = bar("P", "Q")
    push = replace(truss.loads.cases[P], loads=(at_joint("J2", fx=-EULER / 4),))
    truss = replace(
        truss,
        members={**truss.members, MemberId("late"): truss.members[MemberId("bar")]},
        loads=replace(truss.loads, cases={P: push, RunId("Q"): push}),
    )
    found = of(stages(truss, (PutOn((P,)),), (Add((MemberId("late"),)),), (PutOn((RunId("Q"),)),)))
    assert found[now(1)].factor == pytest.approx(4.0, rel=1e-6)
    assert found[now(3)].segments[SegmentId("bar:J0-J1")].axial_first == pytest.approx(-EULER / 4 * 1.5)
    assert found[now(3)].segments[SegmentId("late:J0-J1")].axial_first == pytest.approx(-EULER / 8)

    def at_middle(by: float) -> float:
        halves = [(by * part * EULER, sqrt(by * part * EULER / EI) * L / 2) for part in (0.375, 0.125)]
        return sum(push * u / (tan(u) - u) for push, u in halves)

    assert found[now(3)].factor == pytest.approx(brentq(at_middle, 3.0, 4.5), rel=1e-6)


def test_what_is_off_again_has_no_second_order() -> None:
    truss = stressed(bar(), {"t": tendon("J0", "J2", acts="force", sure=True)}, EULER / 2)
    found = of(stages(truss, (Tension(("t",)),), (Tension(("t",), to=0.0),), (PutOn((P,)),), (TakeOff((P,)),)))
    assert found[now(1)].factor == pytest.approx(2.0, rel=1e-6)
    assert (found[now(4)].verdict, found[now(4)].factor) == ("calculated", None)


def test_a_slack_tendon_neither_holds_nor_stretches() -> None:
    """Spread apart it would help; the frame pushed together leaves it slack, and the frame is alone."""
    _, cables = frame_with_rod(1e3)
    lifted = under(cables, P=-1.0, PT=0.1)
    bare = replace(lifted, tendons={}, loads=replace(lifted.loads, cases={P: lifted.loads.cases[P]}))
    bare = under(bare, P=-1.0)
    assert calculate(lifted, digest=MODEL, despite_stops=True).runs[BOTH].loose
    one, other = of(lifted)[BOTH], of(bare)[BOTH]
    assert one.factor == (other.factor if other.factor is None else pytest.approx(other.factor, rel=1e-6))
    assert one.segments.keys() == other.segments.keys()
    for name, segment in one.segments.items():
        assert segment.moment == pytest.approx(other.segments[name].moment, rel=1e-6)


def sistered(slip: float | None, push: float) -> dict[RunId, SecondOrderRun]:
    """Two alike bars of three panels, the second tied along the first from the start; pushed at one side."""
    truss = bar(points=3, load=0.05)
    case = truss.loads.cases[P]
    truss = replace(
        truss,
        members={**truss.members, MemberId("late"): truss.members[MemberId("bar")]},
        loads=replace(truss.loads, cases={P: replace(case, loads=(*case.loads, at_joint("J3", fx=-push)))}),
    )
    return of(stages(truss, (Add((MemberId("late"),), beside=MemberId("bar"), slip=slip),), (PutOn((P,)),)))


def test_fasteners_that_hardly_slip_are_none_that_do() -> None:
    held, stiff = (sistered(slip, EULER / 2)[now(2)] for slip in (None, 1e13))
    assert stiff.factor == pytest.approx(held.factor, rel=1e-6)
    for name, one in stiff.segments.items():
        assert one.moment == pytest.approx(held.segments[name].moment, rel=1e-6)
        assert one.axial == pytest.approx(held.segments[name].axial, rel=1e-6)


def test_a_sister_that_slips_leaves_its_share_to_the_bar() -> None:
    """Both bend alike, so that moments grow by the sum of both forces, however it is shared between them."""
    held, soft = (sistered(slip, EULER / 2)[now(2)] for slip in (None, 50.0))
    forces = [soft.segments[SegmentId(f"{name}:J1-J2")].axial or 0.0 for name in ("bar", "late")]
    assert -EULER / 4 > forces[0] > -EULER / 2
    assert sum(forces) == pytest.approx(-EULER / 2, rel=1e-9)
    assert held.factor is not None
    assert soft.factor == pytest.approx(held.factor, rel=2e-2)
    assert (soft.factor or 0.0) < held.factor


def test_light_loads_leave_forces_of_first_order_with_fasteners_that_slip() -> None:
    for one in sistered(50.0, 1e-3)[now(2)].segments.values():
        assert one.axial == pytest.approx(one.axial_first, rel=1e-6)
        assert one.moment == pytest.approx(one.moment_first, rel=1e-6)
