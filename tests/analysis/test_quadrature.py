"""Sums along pieces, and the peaks that are read off them."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from trussio.analysis.lines import Lines
from trussio.analysis.peaks import peaks
from trussio.analysis.pieces import Pieces, before, over_segments, pieces
from trussio.analysis.quadrature import between, rule


@pytest.mark.parametrize("points", [5, 17])
def test_powers_below_the_number_of_points_are_summed_and_derived_exactly(points: int) -> None:
    sums = rule(points)
    for power in range(points):
        values = sums.at**power
        assert sums.upto @ values == pytest.approx(sums.at ** (power + 1) / (power + 1), abs=1e-15)
        slope = power * sums.at ** max(power - 1, 0)
        assert sums.slope @ values == pytest.approx(slope, abs=1e-12)


def test_a_power_as_high_as_the_number_of_points_is_beyond_the_rule() -> None:
    sums = rule(5)
    assert np.abs(sums.upto @ sums.at**5 - sums.at**6 / 6).max() > 1e-4


def test_values_are_read_between_the_points_and_at_them() -> None:
    sums = rule(5)
    values = np.array([2.0 - 3.0 * sums.at**3, 2.0 - 3.0 * sums.at**3])
    places = np.array([0.3, sums.at[1]])
    assert between(sums, values, places) == pytest.approx(2.0 - 3.0 * places**3, abs=1e-15)


def straight(*lengths: float) -> Lines:
    count = len(lengths)
    return Lines(
        joints=np.zeros((2, 2)),
        ends=np.zeros((count, 2), dtype=np.intp),
        along=np.tile([1.0, 0.0], (count, 1)),
        chord=np.array(lengths),
        length=np.array(lengths),
        half=np.zeros(count),
    )


def cut(*, lengths: tuple[float, ...] = (4.0, 6.0), places: dict[int, list[float]] | None = None) -> Pieces:
    return pieces(straight(*lengths), np.arange(len(lengths)), places or {})


def test_segments_are_cut_where_loads_begin_or_end_but_not_at_their_joints() -> None:
    found = cut(places={1: [0.0, 2.5, 6.0, 2.5, 1.0]})
    assert found.start.tolist() == [0.0, 0.0, 1.0, 2.5]
    assert found.length.tolist() == [4.0, 1.0, 1.5, 3.5]
    assert found.first.tolist() == [0, 1]
    assert found.of.tolist() == [0, 1, 1, 1]


def test_an_arc_is_cut_so_that_no_piece_turns_far_and_where_it_runs_upright() -> None:
    """Half a circle on a level chord: four eighths; on a chord of 45 degrees a cut where the arc is upright."""
    shape = straight(2.0)._replace(length=np.array([pi]), half=np.array([pi / 2]))
    level = pieces(shape, np.arange(1), {})
    assert level.length == pytest.approx([pi / 4] * 4)
    assert (level.x[0, 0], level.y[0, 0]) == (0.0, 0.0)
    assert (level.x[-1, -1], level.y[-1, -1]) == pytest.approx((2.0, 0.0), abs=1e-15)
    assert (level.x[1, -1], level.y[1, -1]) == pytest.approx((1.0, 1.0), abs=1e-15)
    tilted = shape._replace(along=np.array([[sqrt(0.5), sqrt(0.5)]]), half=np.array([pi / 3]))
    starts = pieces(tilted._replace(length=np.array([pi])), np.arange(1), {}).start
    assert pi * (pi / 4 + pi / 3 - pi / 2) / (2 * pi / 3) == pytest.approx(starts[1])


def test_sums_over_pieces_stay_within_their_segment() -> None:
    found = cut(places={0: [1.0], 1: [2.0, 3.0]})
    values = np.array([1.0, 10.0, 100.0, 1000.0, 10000.0])
    assert before(found, values).tolist() == [0.0, 1.0, 0.0, 100.0, 1100.0]
    assert over_segments(found, values).tolist() == [11.0, 11100.0]


def test_the_peak_is_found_between_the_points_of_a_piece() -> None:
    """M = x (4 - x)2: largest at 4/3; the shear is zero again at 4, where the moment is."""
    found = cut(lengths=(4.0,))
    x = found.place[None]
    value, place = peaks(found, x * (4.0 - x) ** 2, (4.0 - x) * (4.0 - 3.0 * x))
    assert value[0, 0] == pytest.approx(256.0 / 27.0, rel=1e-14)
    assert place[0, 0] == pytest.approx(4.0 / 3.0, rel=1e-14)


def test_each_segment_and_each_run_has_a_peak_of_its_own() -> None:
    found = cut(places={1: [3.0]})
    x = found.place
    moment = np.stack([x, -2.0 * x, np.zeros_like(x)])
    shear = np.stack([np.ones_like(x), -2.0 * np.ones_like(x), np.zeros_like(x)])
    value, place = peaks(found, moment, shear)
    assert value.tolist() == [[4.0, 6.0], [-8.0, -12.0], [0.0, 0.0]]
    assert place.tolist() == [[4.0, 6.0], [4.0, 6.0], [0.0, 0.0]]
