"""Loading and reading linework, against the loader of drawings alone.

Aim 1.1, measured 0.81, alarm as in `ratios`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from ezdxf.filemanagement import new, readfile

from tests.bench.ratios import hold, quickest
from trussio.drawing.linework import read_linework
from trussio.drawing.loading import load_drawing

if TYPE_CHECKING:
    from pathlib import Path

LINES = 10_000


def test_linework_takes_no_more_than_a_tenth_over_loading_alone(tmp_path: Path) -> None:
    path = tmp_path / "lines.dxf"
    made = new("R2018", units=1)
    for x, y, dx, dy in np.random.default_rng(1).uniform(0, 1000, (LINES, 4)).tolist():
        made.modelspace().add_line((x, y), (x + dx / 100, y + dy / 100))
    made.saveas(path)
    assert len(read_linework(load_drawing(path)).strokes) == LINES

    def ratio() -> float:
        alone, whole = quickest(lambda: readfile(path), lambda: read_linework(load_drawing(path)), rounds=3)
        return whole / alone

    hold("linework against the loader alone", ratio, 1.1)
