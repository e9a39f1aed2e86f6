"""Tables of forces as somebody might give them: at full precision, or rounded to three figures."""

from __future__ import annotations

from math import floor, log10
from typing import TYPE_CHECKING

from trussio.model.check_record import CheckRecord, ForcesTable
from trussio.recheck.agreement import compare
from trussio.recheck.energy import second_forces

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, SegmentId, Truss

Forces = dict["RunId", dict["SegmentId", float]]


def own_forces(truss: Truss, idealisation: Idealisation) -> Forces:
    """What the recheck itself finds: a table without a fault."""
    found = second_forces(truss, idealisation=idealisation)
    return {run: dict(forces.axial) for run, forces in found.items()}


def as_table(
    runs: Mapping[RunId, Mapping[SegmentId, float]], *, figures: int | None = None, model: str | None = None
) -> ForcesTable:
    """A table of forces, at full precision or rounded to so many figures."""
    rounded = {run: {name: _rounded(force, figures) for name, force in of.items()} for run, of in runs.items()}
    return ForcesTable(
        name="typed.csv",
        digest="sha256:table",
        runs={run: {name: force for name, (force, _) in of.items()} for run, of in rounded.items()},
        rounding={run: {name: half for name, (_, half) in of.items()} for run, of in rounded.items()},
        model=model,
    )


def checked(truss: Truss, table: ForcesTable, idealisation: Idealisation) -> CheckRecord:
    """The check record of a table of this model."""
    return compare(truss, table, idealisation=idealisation, state="found", model_digest="sha256:model")


def _rounded(force: float, figures: int | None) -> tuple[float, float]:
    if figures is None or force == 0:
        return force, 0.0
    place = floor(log10(abs(force))) - figures + 1
    return round(force, -place), 0.5 * 10.0**place
