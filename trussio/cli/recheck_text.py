"""A check record as text, verdict first, with every segment that disagrees by its full id, or as a CSV table."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing.quantities import force_scale

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.quantities import Scale
    from trussio.model.check_record import CheckRecord, LoadCheck, RunCheck, SegmentCheck
    from trussio.model.truss import Truss

COLUMNS: Final = "run,segment,claimed,rechecked,proved_from,proved_to,difference,tolerance,verdict"


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
    lines += [
        f"  loads of {run}: {one.verdict}. {one.says}{_sums(truss, one)}" for run, one in record.loads.items()
    ]
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
    widths = [(one.proved[1] - one.proved[0]) / 2 for one in check.segments.values() if one.proved]
    if widths:
        yield f"    each rechecked force is proved to {_size(scale, max(widths))} or less, whatever the solver did"
    if check.not_proved:
        yield f"    no bounds proved: {check.not_proved}"
    for name, segment in check.segments.items():
        if segment.verdict == "disagrees":
            yield f"    {name}: {_told(scale, segment)}"
    for unknown in check.unknown:
        yield f"    {unknown}: the truss has no such segment"


def _told(scale: Scale, segment: SegmentCheck) -> str:
    """What is claimed, what was found, how far that is proved, and by how much they differ."""
    rechecked = f"rechecked {scale.text(segment.rechecked)}"
    if segment.proved:
        rechecked += f" (proved to {_size(scale, (segment.proved[1] - segment.proved[0]) / 2)})"
    if segment.claimed is None or segment.difference is None:
        return f"claimed missing, {rechecked}"
    sign = "-" if segment.difference < 0 else "+"
    return f"claimed {scale.text(segment.claimed)}, {rechecked}, off by {sign}{_size(scale, segment.difference)}"


def recheck_csv(record: CheckRecord) -> str:
    """Every segment of every run compared, in base units; what is not known stays empty."""
    lines = [COLUMNS]
    for run, check in record.runs.items():
        for name, one in check.segments.items():
            low, high = one.proved or (None, None)
            numbers = (one.claimed, one.rechecked, low, high, one.difference, one.tolerance)
            lines.append(",".join([run, name, *("" if n is None else repr(n) for n in numbers), one.verdict]))
    return "\n".join(lines) + "\n"


def _sums(truss: Truss, check: LoadCheck) -> str:
    """Both sums of a case with their places."""
    if check.stated is None or check.tallied is None:
        return ""
    scale = force_scale(truss.units, max(abs(check.stated.down), abs(check.tallied.down)))
    unit, base = ("ft", 12.0) if truss.units == "us" else ("m", 1000.0)
    sums = (
        f"{scale.number(one.down)} {scale.unit}"
        + ("" if one.at is None else f" at x = {one.at / base:.2f} {unit}")
        for one in (check.stated, check.tallied)
    )
    return " Stated {}, tallied {}.".format(*sums)


def _size(scale: Scale, value: float) -> str:
    """A difference, which may be far below the last decimal of the forces."""
    return f"{abs(value) / scale.base:.2g} {scale.unit}"
