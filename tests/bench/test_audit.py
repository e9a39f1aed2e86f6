"""Speed of the audit, as ratios to bare library calls in the same run."""

from __future__ import annotations

import subprocess
import sys
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np

from tests.trusses import PIN, ROLLER, along, build, stick
from trussio.audit.rigidity import rigidity
from trussio.audit.rules import audit
from trussio.audit.stops import stops

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.model.truss import Truss

PANELS = 20
"""Forty joints."""


def parallel_truss() -> Truss:
    """Twenty panels between parallel chords, chords whole, posts and braces."""
    bottom, top = [f"B{k}" for k in range(PANELS + 1)], [f"T{k}" for k in range(1, PANELS)]
    return build(
        joints={
            **{name: (2000.0 * k, 0.0) for k, name in enumerate(bottom)},
            **{name: (2000.0 * k, 2400.0) for k, name in enumerate(top, start=1)},
        },
        members={
            "bottom": stick(*bottom, role="bottom-chord"),
            "top": stick(*top, role="top-chord"),
            "left": stick("B0", "T1", role="top-chord"),
            "right": stick(f"T{PANELS - 1}", f"B{PANELS}", role="top-chord"),
            **{f"p{k}": stick(f"B{k}", f"T{k}", role="web") for k in range(1, PANELS)},
            **{
                f"d{k}": stick(*((f"T{k}", f"B{k + 1}") if k < PANELS / 2 else (f"B{k}", f"T{k + 1}")), role="web")
                for k in range(1, PANELS - 1)
            },
        },
        supports={"B0": PIN, f"B{PANELS}": ROLLER},
        cases={"P": (along("top", 2.0),)},
    )


def quickest(job: Callable[[], object], times: int = 7) -> float:
    """The least of several durations, in seconds."""
    least = float("inf")
    for _ in range(times):
        start = perf_counter()
        job()
        least = min(least, perf_counter() - start)
    return least


def test_the_stop_rules_take_no_more_than_a_fraction_of_loading_numpy() -> None:
    """40 joints: stated aim 3 ms where loading numpy takes about 55; 1/12 of it leaves room for noise."""
    truss = parallel_truss()
    for idealisation in ("continuous", "pinned"):
        assert stops(truss, idealisation=idealisation) == ()
    loading = quickest(lambda: subprocess.run([sys.executable, "-c", "import numpy"], check=True), times=3)
    assert quickest(lambda: stops(truss, idealisation="continuous")) < loading / 12


def test_a_full_audit_of_forty_joints_is_quick_once_loaded() -> None:
    """Stated aim 60 ms; held against loading numpy in a process, which takes about as long."""
    truss = parallel_truss()
    loading = quickest(lambda: subprocess.run([sys.executable, "-c", "import numpy"], check=True), times=3)
    assert quickest(lambda: audit(truss, digest="sha256:0")) < loading


def strip(joints: int) -> list[tuple[int, int]]:
    """A chain of triangles, just enough members."""
    return [(k, k + 1) for k in range(joints - 1)] + [(k, k + 2) for k in range(joints - 2)]


def test_generic_rigidity_takes_a_hundredth_of_a_singular_value_decomposition() -> None:
    joints = 1000
    members = strip(joints)
    places = np.random.default_rng(1).normal(size=(joints, 2))
    matrix = np.zeros((len(members), 2 * joints))
    for row, (first, last) in enumerate(members):
        apart = places[last] - places[first]
        matrix[row, 2 * first : 2 * first + 2], matrix[row, 2 * last : 2 * last + 2] = -apart, apart
    decomposing = quickest(lambda: np.linalg.svd(matrix), times=1)
    assert quickest(lambda: rigidity(joints, members)) < decomposing / 100


def test_twenty_times_the_joints_take_no_more_than_forty_times_as_long() -> None:
    few, many = strip(1000), strip(20000)
    assert rigidity(20000, many).freedom == 0
    assert quickest(lambda: rigidity(20000, many), times=3) < 40 * quickest(lambda: rigidity(1000, few))
