"""Ten thousand variations of a frame of forty joints, against numpy's solution of a matrix of that size for each.

In a process of its own with one thread. Processor time, the least of some turns, one after the other, so that a
busy machine slows both sides alike; the ratio is printed. Everything counts: drawing the variations, placing the
joints, stiffness, elimination and the axial forces of all segments, under loads at the joints; then under these,
weight and drifted snow together. Memory is that of the program beyond what it has before, at its highest.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from tests.bench.test_solving import figures

if TYPE_CHECKING:
    import pytest

LIMIT = 0.5
WITH_ALL_LOADS = 1.0
MEGABYTES = 150
PROGRAM = """
import resource
import time

import numpy as np

from tests.bench.howe import howe_frame, howe_truss
from trussio.analysis.sampling import sampled
from trussio.analysis.stiffness import stiffness_of
from trussio.analysis.varied import Spread

truss, matrix, right = howe_truss(), stiffness_of(howe_frame()).whole, np.ones(113)
assert len(truss.joints) == 40 and matrix.shape == (113, 113)


def varied(run):
    def vary(samples):
        parts = sampled(truss, idealisation="continuous", runs=[run], spread=Spread(12.0, 0.1), samples=samples)
        return sum(part.axial[0].shape[1] for part in parts)
    return vary


def solve(samples):
    for _ in range(samples):
        np.linalg.solve(matrix, right)
    return samples


def taken(work, samples):
    start = time.process_time()
    assert work(samples) == samples
    return (time.process_time() - start) / samples


plain, all_loads = varied("L"), varied("D+S+L")
for work in (plain, all_loads, solve):
    work(100)
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
turns = [(taken(plain, 10_000), taken(all_loads, 10_000), taken(solve, 4_000)) for _ in range(2)]
held = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
one, every, alone = (min(times) for times in zip(*turns))
print(one / alone, every / alone, alone, held)
"""


def test_a_variation_costs_half_the_bare_solution_at_most(capsys: pytest.CaptureFixture[str]) -> None:
    ratio, with_all, alone, held = figures(PROGRAM)
    with capsys.disabled():
        sys.stdout.write(
            f"\n10,000 variations of 40 joints: {ratio:.2f} x numpy.linalg.solve of the same size each "
            f"({alone * 1e6:.0f} us), {with_all:.2f} x with loads along all sticks besides, {held:.0f} MB\n"
        )
    assert ratio <= LIMIT
    assert with_all <= WITH_ALL_LOADS
    assert held <= MEGABYTES
