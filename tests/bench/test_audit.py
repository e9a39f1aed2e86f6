"""Speed of the audit, as ratios to bare library calls in the same run.

Seconds of computing are compared, not those on the wall, so that what else the machine does counts little.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path
from time import process_time
from typing import TYPE_CHECKING

import numpy as np

from tests.trusses import PIN, ROLLER, along, build, stick
from trussio.audit.rigidity import rigidity
from trussio.document.encode import write_truss

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from trussio.model.truss import Truss

ROOT = Path(__file__).parents[2]
ONE_THREAD = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
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


def quickest(
    *jobs: Callable[[], object], rounds: int = 5, clock: Callable[[], float] = process_time
) -> list[float]:
    """The least of several durations of each job, in seconds of computing, the jobs taking turns."""
    least = [float("inf")] * len(jobs)
    for _ in range(rounds):
        for number, job in enumerate(jobs):
            start = clock()
            job()
            least[number] = min(least[number], clock() - start)
    return least


def of_children() -> float:
    """Seconds of computing of all processes that were started and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def process(*words: str) -> Callable[[], object]:
    """A job in a process of its own, with one thread as the commands have."""
    command = [sys.executable, *words]
    return lambda: subprocess.run(command, cwd=ROOT, env=ONE_THREAD, check=True, stdout=subprocess.DEVNULL)


LOADING_NUMPY = process("-c", "import numpy")


def within(call: str, module: str, given: str = "truss = parallel_truss()", rounds: int = 7) -> float:
    """The least duration of a call in a process of its own, once everything is loaded."""
    loads = f"from tests.bench.test_audit import *; from {module} import *"
    script = f"{loads}; {given}; print(*quickest(lambda: {call}, rounds={rounds}))"
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, env=ONE_THREAD, check=True, capture_output=True, text=True
    )
    return float(done.stdout)


def test_the_stop_rules_take_no_more_than_a_fraction_of_loading_numpy() -> None:
    """40 joints: stated aim 3 ms where loading numpy takes about 65 in all; 1/15 of it."""
    (loading,) = quickest(LOADING_NUMPY, clock=of_children)
    for idealisation in ("continuous", "pinned"):
        assert within(f"stops(truss, idealisation={idealisation!r})", "trussio.audit.stops") < loading / 15


def test_a_full_audit_of_forty_joints_is_quick_once_loaded() -> None:
    """Stated aim 60 ms; held against loading numpy in a process, which takes about as long."""
    (loading,) = quickest(LOADING_NUMPY, clock=of_children)
    assert within("audit(truss, digest='sha256:0')", "trussio.audit.rules") < loading


def test_the_audit_command_takes_no_more_than_three_times_loading_numpy(tmp_path: Path) -> None:
    """The whole process, on a document of forty joints."""
    document = tmp_path / "truss.json"
    document.write_text(write_truss(parallel_truss()), encoding="utf-8")
    auditing = process("-m", "trussio", "audit", str(document))
    loading, whole = quickest(LOADING_NUMPY, auditing, rounds=8, clock=of_children)
    assert whole < 3 * loading


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
    """At 1,000 joints, on one thread."""
    decomposing = within(
        "np.linalg.svd(matrix)", "trussio.audit.rules", "matrix = compatibility(1000, strip(1000))"
    )
    counting = within("rigidity(1000, members)", "trussio.audit.rigidity", "members = strip(1000)")
    assert counting < decomposing / 100


def test_twenty_times_the_joints_take_no_more_than_forty_times_as_long() -> None:
    few, many = strip(1000), strip(20000)
    assert rigidity(20000, many).freedom == 0
    short, long = quickest(lambda: rigidity(1000, few), lambda: rigidity(20000, many), rounds=5)
    assert long < 40 * short
