"""Elimination side by side against numpy's own solution of each matrix."""

from __future__ import annotations

import numpy as np
import pytest

from trussio.analysis.banded import eliminate, order, reaches, substitute


def coupled(
    groups: list[list[int]], count: int, samples: int
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Stiffness matrices (s, k, k) of springs between the unknowns of each group and the ground."""
    bits = np.random.default_rng(7)
    found = np.tile(np.eye(count) * 0.1, (samples, 1, 1))
    for group in groups:
        for sample in range(samples):
            part = bits.uniform(-1.0, 1.0, (len(group), len(group)))
            found[sample][np.ix_(group, group)] += part @ part.T
    return found


def banded(
    matrices: np.ndarray[tuple[int, ...], np.dtype[np.float64]], width: int
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    samples, count, _ = matrices.shape
    rest = np.zeros((count, 2 * width - 1, samples))
    for one in range(count):
        for further in range(min(width, count - one)):
            rest[one, width - 1 + further] = matrices[:, one, one + further]
    return rest


GROUPS = {
    "a chain": [[k, k + 1] for k in range(9)],
    "triangles in a row": [[k, k + 1, k + 2] for k in range(8)],
    "a ring that closes on itself": [[k, (k + 1) % 10] for k in range(10)],
    "everything meets at one unknown": [[0, k] for k in range(1, 10)],
    "two parts that hang on nothing of each other": [[0, 2, 4], [6, 8], [1, 3], [5, 7, 9]],
    "an unknown alone": [[3], [1, 2]],
}


@pytest.mark.parametrize("groups", GROUPS.values(), ids=GROUPS.keys())
def test_every_pattern_is_solved_as_by_numpy(groups: list[list[int]]) -> None:
    count, samples = 10, 5
    ordered = order(groups, count)
    assert sorted(ordered) == list(range(count))
    rank = np.argsort(ordered)
    reach = reaches([[int(rank[one]) for one in group] for group in groups], count)
    matrices = coupled(groups, count, samples)[:, ordered][:, :, ordered]
    right = np.random.default_rng(3).uniform(-1.0, 1.0, (count, 2, samples))
    rest, found = banded(matrices, max(reach) + 1), right.copy()
    eliminate(rest, reach)
    substitute(rest, reach, found)
    expected = np.linalg.solve(matrices, right.transpose(2, 0, 1)).transpose(1, 2, 0)
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-12)
    assert (rest[:, max(reach)] > 0.0).all()


def test_the_pivot_of_a_sample_that_nothing_holds_comes_to_nothing_and_spares_the_others() -> None:
    held, loose = np.array([[2.0, -1.0], [-1.0, 1.0]]), np.array([[1.0, -1.0], [-1.0, 1.0]])
    rest = banded(np.stack([held, loose]), 2)
    eliminate(rest, [1, 0])
    assert rest[1, 1].tolist() == pytest.approx([0.5, 0.0])


def test_a_long_thin_grid_keeps_a_narrow_band() -> None:
    across, along = 3, 20
    grid = [[across * k + i, across * (k + 1) + i] for k in range(along - 1) for i in range(across)]
    grid += [[across * k + i, across * k + i + 1] for k in range(along) for i in range(across - 1)]
    shuffled = np.random.default_rng(1).permutation(across * along)
    groups = [[int(shuffled[one]) for one in group] for group in grid]
    rank = np.argsort(order(groups, across * along))
    reach = reaches([[int(rank[one]) for one in group] for group in groups], across * along)
    assert max(reach) <= across + 1
