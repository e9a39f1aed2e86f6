"""Whether second order matters: the compression of segments beside what would buckle them between their joints.

The load of L. Euler, pi^2 E I / L^2, of a straight column pinned at its joints and in the plane of the truss: no
more than a hint, since sway needs less and ends that are held need more. From a tenth on it is said: common
practice, no source.
"""

from __future__ import annotations

from math import hypot, pi
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.model.truss import SegmentId, Truss

MATTERS: Final = 0.1


def buckling_lines(truss: Truss, results: Results) -> list[str]:
    """The segment nearest to its Euler load, and how many others come near theirs; none where all are far."""
    euler = dict(_euler_loads(truss))
    worst: dict[SegmentId, tuple[float, RunId]] = {}
    for run, forces in results.runs.items():
        for name, segment in forces.segments.items():
            share = -segment.axial / euler[name] if name in euler else 0.0
            if share >= max(MATTERS, worst[name][0] if name in worst else 0.0):
                worst[name] = (share, run)
    if not worst:
        return []
    first = max(worst, key=lambda name: worst[name][0])
    share, run = worst[first]
    others = f", {len(worst) - 1} more over {MATTERS:.0%} of theirs" if len(worst) > 1 else ""
    said = f"{share:.0%} of its Euler load (in the plane, pinned at its joints) in {run}"
    return [f"Second order matters: {first} carries {said}{others}. --second-order tells what that adds."]


def _euler_loads(truss: Truss) -> Iterator[tuple[SegmentId, float]]:
    """The Euler load of every segment whose stiffness is stated."""
    for segment in truss.segments:
        section, material = truss.section_of(segment.member), truss.material_of(segment.member)
        inertia = None if section is None else section.bending_inertia
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        length = hypot(last.x - first.x, last.y - first.y)
        if inertia and length and material is not None and material.E:
            yield segment.id, pi**2 * material.E * inertia / length**2
