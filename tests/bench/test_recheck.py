"""Speed of the recheck, as ratios to bare calls in the same run; aim, measured and alarm as in `ratios`."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from tests.bench.ratios import NUMPY, computing, figures, hold
from tests.strategies import random_truss, seeded
from trussio.document.encode import write_truss
from trussio.model.loading import LoadCase, RunId
from trussio.recheck.energy import least_energy, second_forces
from trussio.recheck.exact import exact_forces
from trussio.recheck.prove import prove
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from trussio.model.truss import JointId, Truss

RUN = RunId("D")


def determinate(joints: int) -> Truss:
    """A generated pinned truss with just enough members, loaded by everything in its dead case."""
    return random_truss(
        seeded(3), idealisation="pinned", panels=joints // 2, curved=False, stations=False, redundant=False
    )


def at_joints(truss: Truss) -> dict[JointId, tuple[Fraction, Fraction]]:
    pushed = read(truss, idealisation="pinned", runs=[RUN]).loads.joints[0].tolist()
    return {j: (Fraction(pushed[2 * k]), Fraction(pushed[2 * k + 1])) for k, j in enumerate(truss.joints)}


def alone(call: str, rounds: int) -> float:
    """The least duration of a call of this module in a process with one thread."""
    imports = "from tests.bench.ratios import quickest; from tests.bench.test_recheck import *"
    script = f"{imports}; print(*quickest({call}, rounds={rounds}))"
    (least,) = figures(script)
    return least


def exact(joints: int) -> Callable[[], object]:
    truss = determinate(joints)
    loads = at_joints(truss)
    return lambda: exact_forces(truss, loads)


def dense(joints: int) -> Callable[[], object]:
    """The same system, in floats, by numpy: two equations at each joint."""
    truss = determinate(joints)
    number = {name: index for index, name in enumerate(truss.joints)}
    matrix = np.zeros((2 * joints, 2 * joints))
    for column, segment in enumerate(truss.segments):
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        for axis, part in enumerate((last.x - first.x, last.y - first.y)):
            matrix[2 * number[segment.first] + axis, column] = part
            matrix[2 * number[segment.last] + axis, column] = -part
    bearings = ((0, 0), (0, 1), (2 * (joints // 2), 1))
    names = list(truss.joints)
    assert names[0] == "B0"
    last_joint = number[next(name for name in reversed(names) if name in truss.supports)]
    for column, (row, axis) in enumerate(bearings, start=len(truss.segments)):
        matrix[(row if row == 0 else 2 * last_joint) + axis, column] = 1.0
    right = np.ones(2 * joints)
    return lambda: np.linalg.solve(matrix, right)


def by_energy(joints: int) -> Callable[[], object]:
    truss = determinate(joints)
    return lambda: second_forces(truss, idealisation="pinned", runs=[RUN])


def once_read(joints: int) -> Callable[[], object]:
    reading = read(determinate(joints), idealisation="pinned", runs=[RUN])
    return lambda: least_energy(reading)


def test_exact_forces_of_a_thousand_joints_take_no_longer_than_a_dense_solution() -> None:
    """Measured 0.19 of it."""
    hold("exact, 1000 joints", lambda: alone("exact(1000)", 3) / alone("dense(1000)", 3), 1.0)


def test_exact_forces_of_forty_joints() -> None:
    """Measured 26 dense solutions."""
    hold("exact, 40 joints", lambda: alone("exact(40)", 50) / alone("dense(40)", 200), 60)


def test_least_energy_of_forty_joints() -> None:
    """One run: flexibilities, least energy and records of forces; then with all the reading of the model.

    Measured 27 and 55 to 63 dense solutions.
    """
    hold("least energy, 40 joints", lambda: alone("once_read(40)", 50) / alone("dense(40)", 200), 40)
    hold("least energy from records, 40 joints", lambda: alone("by_energy(40)", 50) / alone("dense(40)", 200), 60)


def test_the_checker_of_proofs_takes_about_half_of_loading_numpy(tmp_path: Path) -> None:
    """The whole process, on a frame of forty joints with continuous chords, all its loads in one case.

    Measured 0.36 of it.
    """
    truss = random_truss(
        seeded(3), idealisation="continuous", panels=20, curved=False, stations=False, redundant=False
    )
    assert len(truss.joints) == 40
    every = tuple(load for case in truss.loads.cases.values() for load in case.loads)
    loads = replace(truss.loads, cases={RunId("all"): LoadCase(loads=every)}, combinations={})
    truss = replace(truss, loads=loads)
    document = write_truss(truss)
    (tmp_path / "truss.json").write_text(document, encoding="utf-8")
    proof = prove(truss, document.encode(), idealisation="continuous", runs=[RunId("all")])
    (tmp_path / "proof.json").write_text(proof, encoding="utf-8")
    assert list(json.loads(proof)["runs"]) == ["all"]
    files = [str(tmp_path / "proof.json"), str(tmp_path / "truss.json")]
    checker = (sys.executable, "-m", "trussio.recheck.proof", *files)

    def ratio() -> float:
        times = computing({"numpy": NUMPY, "checker": checker})
        return times["checker"] / times["numpy"]

    hold("checker of proofs, whole process", ratio, 0.5)
