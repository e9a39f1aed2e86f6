"""Ten thousand variations of a frame of forty joints, against numpy's solution of a matrix of that size for each.

In a process of its own with one thread. Processor time, the least of some turns, one after the other, so that a
busy machine slows both sides alike; the ratio is printed. Everything counts: drawing the variations, placing the
joints, stiffness, elimination and the axial forces of all segments, under loads at the joints; then under these,
weight and drifted snow together. Memory is that of the program beyond what it has before, at its highest.
"""

from __future__ import annotations

import pytest

from tests.bench.ratios import figures, hold

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


vary = varied(RUN)
for work in (vary, solve):
    work(100)
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
turns = [(taken(vary, 10_000), taken(solve, 4_000)) for _ in range(3)]
held = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
every, alone = (min(times) for times in zip(*turns))
print(every / alone, held)
"""


@pytest.mark.parametrize(
    ("loads", "run", "aim"), [("loads at joints", "L", 0.5), ("loads along all sticks", "D+S+L", 0.7)]
)
def test_a_variation_costs_half_the_bare_solution_at_most(loads: str, run: str, aim: float) -> None:
    """The aim is stated for loads at joints, measured 0.48; with loads along all sticks 0.6 to 0.65."""

    def ratio() -> float:
        found, held = figures(PROGRAM.replace("RUN)", f"{run!r})"))
        assert held <= MEGABYTES
        return found

    hold(f"10,000 variations of 40 joints under {loads} against a solution each", ratio, aim)
