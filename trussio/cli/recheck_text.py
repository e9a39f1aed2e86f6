"""A check record as text: verdict first, then every segment that disagrees by its full id."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.quantities import force_scale

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.quantities import Scale
    from trussio.model.check_record import CheckRecord, RunCheck
    from trussio.model.truss import Truss


def recheck_text(truss: Truss, record: CheckRecord) -> str:
    """The record as text."""
    how = f"{record.idealisation}, as {record.state}, model {record.model[7:19]}"
    lines = [
        f"{truss.title} - recheck of {record.compared}, {how}",
        f"VERDICT: {record.verdict}. {record.says}",
    ]
    if record.despite:
        lines.append(f"OVER A STOP ({', '.join(record.despite)}): no force here may be relied on.")
    for run, check in record.runs.items():
        lines += _run(truss, str(run), check)
    lines += [f"independent: {text}" for text in record.independent]
    lines += [f"not rechecked: {text}" for text in record.not_rechecked]
    return "\n".join(lines) + "\n"


def _run(truss: Truss, run: str, check: RunCheck) -> Iterator[str]:
    if check.verdict is None:
        yield f"  {run}: not compared. {check.says}"
        return
    forces = [abs(s.rechecked) for s in check.segments.values()]
    scale = force_scale(truss.units, max(forces, default=0.0))
    yield f"  {run}: {check.verdict}. {check.says}"
    if check.largest_difference is not None:
        yield f"    largest difference {_size(scale, check.largest_difference)} at {check.largest_at}"
    if check.residual is not None:
        yield f"    largest imbalance at a joint {_size(scale, check.residual)} at {check.residual_at}"
    for name, segment in check.segments.items():
        if segment.verdict == "disagrees":
            claimed = "missing" if segment.claimed is None else scale.text(segment.claimed)
            yield f"    {name}: claimed {claimed}, rechecked {scale.text(segment.rechecked)}"
    for unknown in check.unknown:
        yield f"    {unknown}: the truss has no such segment"


def _size(scale: Scale, value: float) -> str:
    """A difference, which may be far below the last decimal of the forces."""
    return f"{abs(value) / scale.base:.2g} {scale.unit}"
