"""What the loads of each run put on the joints, from the loads and not from any reaction.

Loads along a segment are brought to its two joints by the lever, so that the sums and the moments of a whole run
may be checked with a pencil.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.model.history import after, beginning, run_factors, structure
from trussio.model.loading import LEAST, RunId
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.model.truss import JointId, Truss


def applied_forces(truss: Truss, runs: Iterable[RunId]) -> dict[RunId, dict[JointId, tuple[float, float]]]:
    """Forces (right, up) on every joint in base units, by run.

    Raises CannotAnalyseError `load` when a load of these runs cannot be evaluated.
    """
    wanted = list(runs)
    if not wanted or not truss.segments:
        return {}
    reading = read(truss, idealisation="continuous", runs=wanted)
    sums = {run: factors @ reading.loads.joints for run, factors in reading.factors.items()}
    return {
        run: {joint: (float(of[2 * row]), float(of[2 * row + 1])) for row, joint in enumerate(truss.joints)}
        for run, of in sums.items()
    }


def applied_in_stages(truss: Truss, runs: Iterable[RunId]) -> dict[RunId, dict[JointId, tuple[float, float]]]:
    """The same for runs after stages, on what is there then, and for runs of least tendon force."""
    wanted, every = list(runs), run_factors(truss)
    found: dict[RunId, dict[JointId, tuple[float, float]]] = {}
    moment = beginning(truss)
    for stage in truss.stages:
        for action in stage.actions:
            moment = after(moment, action)
        own = {run: every[run] for run in wanted if run.startswith(f"{stage.id}/")}
        there = structure(truss, moment)
        loaded = replace(there, loads=replace(there.loads, combinations=own))
        found |= applied_forces(loaded, own)
    ended = structure(truss, moment)
    bare = {run: RunId(run.removesuffix(LEAST)) for run in wanted if "/" not in run and run.endswith(LEAST)}
    at_once = applied_forces(ended, dict.fromkeys(bare.values()))
    return found | {run: at_once[base] for run, base in bare.items()}
