"""Pieces that work together: statics, and slip against the exact solution under a sinusoidal load."""

from __future__ import annotations

from math import pi

import pytest

from trussio.errors import UsageError
from trussio.timber import composite
from trussio.timber.composite import Part, SlipJoint


def test_two_equal_parts_glued_are_one() -> None:
    section = composite.composite_section([Part(E=2.0, width=1.0, depth=2.0, at=y) for y in (1.0, 3.0)])
    assert [section.EA, section.EI, section.centroid] == pytest.approx([8.0, 2 * 1 * 4**3 / 12, 2.0])


def test_a_stiffer_part_draws_the_stress() -> None:
    section = composite.composite_section([Part(E=1.0, width=2.0, depth=4.0), Part(E=3.0, width=1.0, depth=4.0)])
    old, new = composite.part_stresses(section, force=100.0, moment=0.0)
    assert new[0] == pytest.approx(3 * old[0])
    assert old[0] * 8 + new[0] * 4 == pytest.approx(100.0)
    bent = composite.part_stresses(section, force=0.0, moment=50.0)
    assert bent[0][1] > 0 > bent[0][0]
    assert sum(
        (low - high) / 2 * part.width * part.depth**2 / 6
        for (high, low), part in zip(bent, section.parts, strict=True)
    ) == pytest.approx(50.0)


@pytest.mark.parametrize(("relieved", "old"), [(0.0, 20000 + 12500.0), (1.0, 22500.0), (0.5, 27500.0)])
def test_what_was_there_before_stays_where_it_was(relieved: float, old: float) -> None:
    first, second = composite.shared_force(
        E1=1.0, A1=10.0, E2=1.0, A2=10.0, before=20000.0, later=25000.0, relieved=relieved
    )
    assert first.value == pytest.approx(old / 10)
    assert first.value + second.value == pytest.approx(4500.0)


def test_nothing_can_be_relieved_twice() -> None:
    with pytest.raises(UsageError, match="outside-0-to-1"):
        composite.shared_force(E1=1.0, A1=1.0, E2=1.0, A2=1.0, before=1.0, later=1.0, relieved=1.1)


@pytest.mark.parametrize("E2", [8000.0, 11000.0, 25000.0])
def test_slip_agrees_with_the_exact_solution(E2: float) -> None:
    """EI = EI0 + r^2 EA* / (1 + pi^2 EA* / (k l^2)), EA* = EA1 EA2 / (EA1 + EA2): own derivation."""
    first, second = Part(E=11000.0, width=50.0, depth=150.0), Part(E=E2, width=60.0, depth=120.0)
    joint = SlipJoint(K=2000.0, spacing=100.0)
    beam = composite.slipping_beam(layers=(first, second), joints=(joint,), span=4000.0, moment=1e6, shear=1e3)
    EA1, EA2 = first.E * first.area, second.E * second.area
    shared, r, k = EA1 * EA2 / (EA1 + EA2), 135.0, 20.0
    exact = (
        first.E * first.inertia + second.E * second.inertia + r**2 * shared / (1 + pi**2 * shared / (k * 4000**2))
    )
    assert beam.EI_ef.value == pytest.approx(exact, rel=1e-9)


def test_three_layers_of_one_kind_are_symmetrical() -> None:
    layer = Part(E=11000.0, width=50.0, depth=100.0)
    joint = SlipJoint(K=2000.0, spacing=100.0)
    beam = composite.slipping_beam(layers=(layer,) * 3, joints=(joint,) * 2, span=4000.0, moment=1e6, shear=1e3)
    assert beam.a[1] == pytest.approx(0.0)
    assert beam.a[0] == beam.a[2] == pytest.approx(100.0)
    assert beam.fastener[0] == pytest.approx(beam.fastener[1])
    stiff = SlipJoint(K=1e15, spacing=100.0)
    whole = composite.slipping_beam(layers=(layer,) * 3, joints=(stiff,) * 2, span=4000.0, moment=1e6, shear=1e3)
    assert whole.EI_ef.value == pytest.approx(11000 * 50 * 300**3 / 12)


@pytest.mark.parametrize(("layers", "joints"), [(1, 0), (2, 2), (4, 3)])
def test_layers_and_joints_go_together(layers: int, joints: int) -> None:
    with pytest.raises(UsageError, match="Enter two layers and one joint"):
        composite.slipping_beam(
            layers=(Part(E=1.0, width=1.0, depth=1.0),) * layers,
            joints=(SlipJoint(K=1.0, spacing=1.0),) * joints,
            span=1.0,
            moment=0.0,
            shear=0.0,
        )
