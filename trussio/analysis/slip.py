"""How much slip of connections moves the forces: the difference to the same truss without any."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Truss


def without_slip(truss: Truss) -> Truss:
    """A truss whose connections neither slip nor give along their sticks."""
    members = {name: replace(member, slip=None, play=None) for name, member in truss.members.items()}
    return replace(truss, members=members)


def moved_by_slip(
    found: Mapping[RunId, RunForces], rigid: Mapping[RunId, RunForces | CannotAnalyseError]
) -> dict[RunId, RunForces]:
    """Runs with what slip adds to the axial force of each segment, from those without slip where there are any."""
    return {run: _beside(forces, rigid.get(run)) for run, forces in found.items()}


def _beside(forces: RunForces, stiff: RunForces | CannotAnalyseError | None) -> RunForces:
    if stiff is None or isinstance(stiff, CannotAnalyseError):
        return forces
    moved = {name: of.axial - stiff.segments[name].axial for name, of in forces.segments.items()}
    return replace(forces, slip=moved)
