"""Speed of generating loads, as a ratio to loading numpy in the same run."""

from __future__ import annotations

from tests.bench.ratios import figures, hold, loading

SCRIPT = """
from dataclasses import replace
from time import process_time
from tests.loads.roofs import ONES, bowstring
from trussio.loads.generate import generate
truss = bowstring(replace(ONES, ground_snow=40.0), panels=40)
spent = []
for _ in range(9):
    started = process_time()
    generate(truss)
    spent.append(process_time() - started)
print(min(spent))
"""


def test_generating_every_case_of_a_forty_panel_curve_takes_a_fraction_of_loading_numpy() -> None:
    """Stated aim 12 ms of the 25 that generating and solving may take, where loading numpy takes about 60.

    Measured 0.06 of it, aim 0.2, alarm as in `ratios`.
    """
    hold("generating loads against loading numpy", lambda: figures(SCRIPT)[0] / loading(), 0.2)
