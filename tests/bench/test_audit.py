"""Speed of the audit, as ratios to bare library calls in the same run; aim, measured and alarm as in `ratios`."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.bench.ratios import NUMPY, computing, figures, hold, loading, quickest
from tests.trusses import PIN, ROLLER, along, build, stick
from trussio.audit.rigidity import rigidity
from trussio.document.encode import write_truss

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

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


def within(call: str, module: str, given: str = "truss = parallel_truss()", rounds: int = 7) -> float:
    """The least duration of a call in a process of its own, once everything is loaded."""
    loads = f"from tests.bench.test_audit import *; from {module} import *"
    (least,) = figures(f"{loads}; {given}; print(*quickest(lambda: {call}, rounds={rounds}))")
    return least


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_the_stop_rules_take_no_more_than_a_fraction_of_loading_numpy(idealisation: str) -> None:
    """40 joints: stated aim 3 ms where loading numpy takes about 55; measured 0.015 of it, pinned 0.006."""

    def ratio() -> float:
        return within(f"stops(truss, idealisation={idealisation!r})", "trussio.audit.stops") / loading()

    hold(f"stop rules, {idealisation}, against loading numpy", ratio, 3 / 55)


def test_a_full_audit_of_forty_joints_is_quick_once_loaded() -> None:
    """Stated aim 60 ms; held against loading numpy, which takes about as long; measured 0.12 of it."""
    call = "audit(truss, digest='sha256:0')"
    hold("a full audit against loading numpy", lambda: within(call, "trussio.audit.rules") / loading(), 1.0)


def test_the_audit_command_takes_no_more_than_three_times_loading_numpy(tmp_path: Path) -> None:
    """The whole process, on a document of forty joints; measured 1.45."""
    document = tmp_path / "truss.json"
    document.write_text(write_truss(parallel_truss()), encoding="utf-8")
    auditing = (sys.executable, "-m", "trussio", "audit", str(document))

    def ratio() -> float:
        times = computing({"numpy": NUMPY, "audit": auditing})
        return times["audit"] / times["numpy"]

    hold("the audit command against loading numpy", ratio, 3.0)


def strip(joints: int) -> list[tuple[int, int]]:
    """A chain of triangles, just enough members."""
    return [(k, k + 1) for k in range(joints - 1)] + [(k, k + 2) for k in range(joints - 2)]


def compatibility(joints: int, members: list[tuple[int, int]]) -> NDArray[np.float64]:
    """The matrix of a framework at random places, two columns to a joint."""
    places = np.random.default_rng(1).normal(size=(joints, 2))
    matrix = np.zeros((len(members), 2 * joints))
    for row, (first, last) in enumerate(members):
        apart = places[last] - places[first]
        matrix[row, 2 * first : 2 * first + 2], matrix[row, 2 * last : 2 * last + 2] = -apart, apart
    return matrix


def test_generic_rigidity_takes_a_hundredth_of_a_singular_value_decomposition() -> None:
    """At 1,000 joints, on one thread; measured 1/2,500."""

    def ratio() -> float:
        decomposing = within(
            "np.linalg.svd(matrix)", "trussio.audit.rules", "matrix = compatibility(1000, strip(1000))", rounds=3
        )
        counting = within("rigidity(1000, members)", "trussio.audit.rigidity", "members = strip(1000)")
        return counting / decomposing

    hold("generic rigidity against singular values", ratio, 1 / 100)


def test_twenty_times_the_joints_take_no_more_than_forty_times_as_long() -> None:
    """Measured 18 times."""
    few, many = strip(1000), strip(20000)
    assert rigidity(20000, many).freedom == 0

    def ratio() -> float:
        short, long = quickest(lambda: rigidity(1000, few), lambda: rigidity(20000, many))
        return long / short

    hold("rigidity of 20,000 joints against 1,000", ratio, 40)
