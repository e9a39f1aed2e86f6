"""What the loads of each run put on the joints, from the loads and not from any reaction.

Loads along a segment are brought to its two joints by the lever, so that the sums and the moments of a whole run
may be checked with a pencil.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.model.loading import RunId
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
