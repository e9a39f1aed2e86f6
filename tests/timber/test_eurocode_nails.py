"""Nails, screws, rings and plates after EN 1995-1-1: single functions, worked out by hand from the clauses.

Tables 8.1, 8.2 and 8.7 and the equations are from memory; no published example was found.
"""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from trussio.errors import UsageError
from trussio.timber.eurocode_connectors import connector_distances, connector_resistance, effective_connectors
from trussio.timber.eurocode_nails import effective_nails, nail_distances, nail_least_thickness, screw_diameter


@pytest.mark.parametrize(
    ("times", "kef"), [(14, 1.0), (20, 1.0), (12, 0.925), (10, 0.85), (8.5, 0.775), (7, 0.7), (5.5, 0.6), (4, 0.5)]
)
def test_a_row_of_nails_counts_less_the_closer_they_stand(times: float, kef: float) -> None:
    found = effective_nails(count=5, spacing=3.0 * times, diameter=3.0, predrilled=times < 7)
    assert found.value == pytest.approx(5**kef)


def test_nails_across_the_grain_and_single_ones_all_count() -> None:
    assert effective_nails(count=5, spacing=21.0, diameter=3.0, predrilled=False, angle=90.0).value == 5.0
    assert effective_nails(count=1, spacing=21.0, diameter=3.0, predrilled=False).value == 1.0


@pytest.mark.parametrize(("spacing", "predrilled"), [(20.9, False), (11.9, True)])
def test_below_the_table_no_row_counts(spacing: float, *, predrilled: bool) -> None:
    with pytest.raises(UsageError, match=r"table 8.1 begins at"):
        effective_nails(count=5, spacing=spacing, diameter=3.0, predrilled=predrilled)


@pytest.mark.parametrize(
    ("d", "rho", "predrilled", "times"),
    [
        pytest.param(4.0, 350.0, False, (5 + 5 * 0.5, 5, 12.5, 10, 5 + 2 * 0.75**0.5, 5), id="thin, light"),
        pytest.param(5.0, 420.0, False, (5 + 7 * 0.5, 5, 12.5, 10, 5 + 5 * 0.75**0.5, 5), id="5 mm, on 420"),
        pytest.param(4.0, 421.0, False, (7 + 8 * 0.5, 7, 17.5, 15, 7 + 2 * 0.75**0.5, 7), id="thin, heavy"),
        pytest.param(4.0, 600.0, True, (4.5, 3 + 0.75**0.5, 9.5, 7, 3 + 2 * 0.75**0.5, 3), id="predrilled, thin"),
        pytest.param(6.0, 600.0, True, (4.5, 3 + 0.75**0.5, 9.5, 7, 3 + 4 * 0.75**0.5, 3), id="predrilled, thick"),
    ],
)
def test_distances_of_nails_at_60_degrees(
    d: float, rho: float, times: tuple[float, ...], *, predrilled: bool
) -> None:
    found = nail_distances(diameter=d, angle=60.0, rho_k=rho, predrilled=predrilled)
    assert [one.value for one in found.values()] == pytest.approx([d * one for one in times])


def test_on_steel_nails_stand_closer() -> None:
    wood = nail_distances(diameter=4.0, angle=0.0, rho_k=350.0, predrilled=False)
    steel = nail_distances(diameter=4.0, angle=0.0, rho_k=350.0, predrilled=False, steel=True)
    assert steel["a1"].value == pytest.approx(0.7 * wood["a1"].value)
    assert steel["a3t"].value == wood["a3t"].value


@pytest.mark.parametrize(("d", "rho"), [(8.01, 350.0), (4.0, 500.1)])
def test_what_must_be_predrilled(d: float, rho: float) -> None:
    with pytest.raises(UsageError, match="not permitted without predrilling"):
        nail_distances(diameter=d, angle=0.0, rho_k=rho, predrilled=False)
    assert nail_distances(diameter=d, angle=0.0, rho_k=rho, predrilled=True)


@pytest.mark.parametrize(("d", "t"), [(3.0, 21.0), (6.0, (13 * 6 - 30) * 350 / 400), (5.0, 35.0)])
def test_thin_wood_must_be_predrilled(d: float, t: float) -> None:
    assert nail_least_thickness(diameter=d, rho_k=350.0).value == pytest.approx(t)


def test_the_effective_diameter_of_a_screw() -> None:
    assert screw_diameter(diameter=10.0).value == pytest.approx(7.7)
    assert screw_diameter(diameter=10.0, root=6.0).value == pytest.approx(6.6)
    assert screw_diameter(diameter=10.0, smooth_shank=True).value == 10.0


def ring(
    t1: float = 80.0,
    t2: float = 80.0,
    *,
    angle: float = 0.0,
    end: float | None = None,
    only: bool = True,
    steel: bool = False,
    rho: float = 350.0,
) -> float:
    return connector_resistance(
        dc=65.0, he=15.0, t1=t1, t2=t2, rho_k=rho, angle=angle, end=end, only=only, steel=steel
    ).value


A, B = 35 * 65**1.5, 31.5 * 15 * 65
"""18,342 N by the shear block, 30,713 N by bearing."""


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        pytest.param(ring(), A, id="all factors 1"),
        pytest.param(ring(t1=45.0, t2=75.0), A, id="3 he and 5 he exactly"),
        pytest.param(ring(t1=33.75), A * 0.75, id="2.25 he exactly: k1 0.75"),
        pytest.param(ring(t2=56.25), A * 0.75, id="3.75 he exactly: k1 0.75"),
        pytest.param(ring(rho=490.0), A * 1.4, id="k3"),
        pytest.param(ring(rho=700.0), min(A, B) * 1.75, id="k3 at most 1.75"),
        pytest.param(ring(steel=True), A * 1.1, id="k4"),
        pytest.param(ring(end=97.5), A * 0.75, id="loaded end at 1.5 dc"),
        pytest.param(ring(end=300.0), A * 1.25, id="loaded end far off, one ring"),
        pytest.param(ring(end=300.0, only=False), A, id="loaded end far off, several"),
        pytest.param(ring(end=97.5, angle=90.0), A / 1.365, id="across the grain, k90 1.365"),
        pytest.param(
            ring(angle=45.0), A / (1.365 * sin(radians(45)) ** 2 + cos(radians(45)) ** 2), id="45 degrees"
        ),
        pytest.param(ring(end=1000.0, steel=True, rho=350.0), A * 1.25 * 1.1, id="still under bearing"),
    ],
)
def test_a_ring(found: float, expected: float) -> None:
    assert found == pytest.approx(expected)


def test_a_deep_load_on_a_shallow_ring_is_bearing() -> None:
    shallow = connector_resistance(dc=65.0, he=5.0, t1=80.0, t2=80.0, rho_k=350.0)
    assert shallow.value == pytest.approx(31.5 * 5 * 65)


@pytest.mark.parametrize(("t1", "t2"), [(33.7, 80.0), (80.0, 56.2)])
def test_wood_too_thin_for_a_ring_is_refused(t1: float, t2: float) -> None:
    with pytest.raises(UsageError, match=r"below-least-thickness.*\(8.9\(3\)\)"):
        ring(t1=t1, t2=t2)


@pytest.mark.parametrize(("count", "nef"), [(1, 1.0), (2, 2.0), (3, 2.85), (6, 4.8)])
def test_a_row_of_rings_counts_less(count: int, nef: float) -> None:
    assert effective_connectors(count=count).value == pytest.approx(nef)


def test_distances_of_rings() -> None:
    along = [one.value / 65 for one in connector_distances(dc=65.0, angle=0.0).values()]
    across = [one.value / 65 for one in connector_distances(dc=65.0, angle=90.0).values()]
    assert along == pytest.approx([2.0, 1.2, 1.5, 1.2, 0.6, 0.6])
    assert across == pytest.approx([1.2, 1.2, 1.5, 2.0, 0.8, 0.6])
