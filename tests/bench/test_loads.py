"""Speed of generating loads, as a ratio to loading numpy in the same run."""

from __future__ import annotations

from tests.bench.ratios import figures, hold

SCRIPT = """
from dataclasses import replace
from time import perf_counter
started = perf_counter()
import numpy
loading = perf_counter() - started
from tests.loads.roofs import ONES, bowstring
from trussio.loads.generate import generate
truss = bowstring(replace(ONES, ground_snow=40.0), panels=40)
spent = []
for _ in range(9):
    started = perf_counter()
    generate(truss)
    spent.append(perf_counter() - started)
print(min(spent) / loading)
"""


def test_generating_every_case_of_a_forty_panel_curve_takes_a_fraction_of_loading_numpy() -> None:
    """Stated aim 12 ms of the 25 that generating and solving may take, where loading numpy takes about 60.

    The quickest of three processes counts, so that a busy machine is no failure.
    """
    (ratio,) = figures(SCRIPT)
    hold("generating loads against loading numpy", ratio, 0.2)
