"""Net and residual sections against areas and inertias worked out on paper."""

from __future__ import annotations

import pytest

from trussio.errors import UsageError
from trussio.timber import net_section
from trussio.timber.net_section import Void


def test_holes_and_grooves_leave_a_net_area() -> None:
    hole = net_section.hole_area(0.75, 2.5, count=2)
    assert hole.value == pytest.approx(2 * 0.8125 * 2.5)
    area = net_section.net_area(2.5 * 9.25, {"holes": hole, "notch": 1.0})
    assert area.value == pytest.approx(23.125 - 4.0625 - 1.0)
    assert area.lines[-1].formula == "A - holes - notch"


def test_nothing_left_is_refused() -> None:
    with pytest.raises(UsageError) as fault:
        net_section.net_area(10.0, {"rot": 10.0})
    assert str(fault.value).startswith("nothing-left at net section: 10 is taken out of 10.")


def test_a_ring_on_one_face_leaves_more() -> None:
    one = net_section.connector_area("4 in split ring", faces=1, thickness=2.5).value
    two = net_section.connector_area("4 in split ring", faces=2, thickness=2.5).value
    assert one == pytest.approx(2.24 + 0.8125 * 2.0)
    assert two == pytest.approx(4.48 + 0.8125 * 1.5)


def test_a_piece_thinner_than_its_grooves() -> None:
    with pytest.raises(UsageError, match="wood between the grooves"):
        net_section.connector_area("4 in split ring", faces=2, thickness=1.0)
    with pytest.raises(UsageError, match="unknown-connector"):
        net_section.connector_area("3 in split ring", faces=1, thickness=1.5)


@pytest.mark.parametrize(
    ("offset", "rows"),
    [
        pytest.param(0.0, 2, id="side by side"),
        pytest.param(2.99, 2, id="nearer than four diameters"),
        pytest.param(3.0, 1, id="four diameters exactly are apart"),
    ],
)
def test_staggered_holes_count_together_under_four_diameters(offset: float, rows: int) -> None:
    assert net_section.rows_in_one_section([[0.0, 12.0], [offset, 12.0 + offset + 6]], 0.75) == rows


def test_up_to_1986_eight_diameters_counted() -> None:
    rows = [[0.0], [4.0]]
    assert net_section.rows_in_one_section(rows, 0.75) == 1
    assert net_section.rows_in_one_section(rows, 0.75, reach=8.0) == 2
    assert net_section.rows_in_one_section([], 0.75) == 0


def test_a_whole_section_is_itself() -> None:
    found = net_section.residual_section(width=2.0, depth=6.0)
    assert found.area.value == 12.0
    assert [found.centroid, found.inertia, found.modulus] == pytest.approx([0.0, 36.0, 12.0])


def test_rot_over_the_whole_top_edge_leaves_a_shallower_rectangle() -> None:
    found = net_section.residual_section(
        width=2.0, depth=6.0, voids=[Void(what="rot", width=2.0, depth=2.0, at=2.0)]
    )
    assert found.area.value == pytest.approx(8.0)
    assert found.centroid == pytest.approx(-1.0)
    assert found.inertia == pytest.approx(2 * 4**3 / 12)
    assert found.modulus_plus == found.modulus_minus == pytest.approx(2 * 4**2 / 6)


def test_a_hole_at_mid_depth_moves_nothing() -> None:
    found = net_section.residual_section(width=2.0, depth=6.0, voids=[Void(what="hole", width=2.0, depth=1.0)])
    assert found.centroid == 0.0
    assert found.inertia == pytest.approx(36 - 2 / 12)
    assert found.modulus == pytest.approx((36 - 2 / 12) / 3)


def test_rot_in_one_half_of_the_breadth_keeps_the_edges() -> None:
    found = net_section.residual_section(
        width=2.0, depth=6.0, voids=[Void(what="rot", width=1.0, depth=2.0, at=2.0)]
    )
    centroid = -(2.0 * 2.0) / 10.0
    inertia = 36 - (1 * 8 / 12 + 2 * 4) - 10 * centroid**2
    assert found.centroid == pytest.approx(centroid)
    assert found.modulus_plus == pytest.approx(inertia / (3 - centroid))
    assert found.modulus_minus == pytest.approx(inertia / (3 + centroid))
    assert found.modulus == found.modulus_plus


@pytest.mark.parametrize(
    "voids",
    [
        pytest.param([Void(what="rot", width=2.5, depth=1.0)], id="wider than the piece"),
        pytest.param([Void(what="rot", width=1.0, depth=1.0, at=2.6)], id="beyond the edge"),
        pytest.param([Void(what="rot", width=1.0, depth=-1.0)], id="negative"),
        pytest.param(
            [Void(what="rot", width=1.5, depth=1.0), Void(what="hole", width=2.0, depth=0.5, at=0.5)],
            id="overlapping",
        ),
    ],
)
def test_voids_that_cannot_be(voids: list[Void]) -> None:
    with pytest.raises(UsageError) as fault:
        net_section.residual_section(width=2.0, depth=6.0, voids=voids)
    assert fault.value.code == "impossible-distance"


def test_two_voids_of_one_name_both_count() -> None:
    voids = [Void(what="hole", width=2.0, depth=0.5, at=at) for at in (-1.0, 1.0)]
    assert net_section.residual_section(width=2.0, depth=6.0, voids=voids).area.value == pytest.approx(10.0)
