"""Loading and reading linework, against the loader of drawings alone, as a ratio in one run."""

from __future__ import annotations

import gc
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
from ezdxf.filemanagement import new, readfile

from tests.bench.ratios import hold
from trussio.drawing.linework import read_linework
from trussio.drawing.loading import load_drawing

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

LINES = 10_000


def best(work: Callable[[], object]) -> float:
    """The shorter of three times that a piece of work takes, seconds."""
    times = []
    for _ in range(3):
        gc.collect()
        started = perf_counter()
        work()
        times.append(perf_counter() - started)
    return min(times)


def test_linework_takes_no_more_than_a_tenth_over_loading_alone(tmp_path: Path) -> None:
    path = tmp_path / "lines.dxf"
    made = new("R2018", units=1)
    for x, y, dx, dy in np.random.default_rng(1).uniform(0, 1000, (LINES, 4)).tolist():
        made.modelspace().add_line((x, y), (x + dx / 100, y + dy / 100))
    made.saveas(path)
    alone = best(lambda: readfile(path))
    whole = best(lambda: read_linework(load_drawing(path)))
    assert len(read_linework(load_drawing(path)).strokes) == LINES
    hold("linework against the loader alone", whole / alone, 1.1)
