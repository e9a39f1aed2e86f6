"""One run of somebody's table against the recheck's own forces, segment by segment.

A claimed axial force is held to the table's rounding and a small relative part: `OWN_PART` of the force itself,
which is room for the last digits that programs print, and `LARGEST_PART` of the largest number that the forces of
the run are made of (the largest force or joint load, or what warmth and misfit would cause if nothing gave way),
ten times and more what two sound methods differ by on a frame of forty joints.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.errors import CannotAnalyseError
from trussio.late import loaded
from trussio.model.check_record import RunCheck, SegmentCheck
from trussio.recheck.balance import balance_of, imbalance
from trussio.recheck.naming import ENOUGH, Figures, Slip, name_slip

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.model.check_record import ForcesTable, Verdict
    from trussio.model.loading import RunId
    from trussio.model.truss import SegmentId, Truss
    from trussio.recheck.balance import Balance, Imbalance
    from trussio.recheck.energy import SecondForces
    from trussio.recheck.other_ways import Others
    from trussio.recheck.reading import Reading
    from trussio.recheck.staged_runs import After
    from trussio.units import UnitSystem

    Array = NDArray[np.float64]

OWN_PART: Final = 1e-6
LARGEST_PART: Final = 1e-8
SHOWN: Final = 6
"""Names told in a sentence; the record lists all."""


def check_run(
    reading: Reading,
    balance: Balance,
    forces: Mapping[RunId, SecondForces],
    table: ForcesTable,
    run: RunId,
    *,
    proved: Array | str,
    others: Others,
) -> RunCheck:
    """What holds of the figures that a table gives for one run.

    `proved` is how far each of its forces may be off at most, or why that is not known; `others` gives what other
    ways to take the truss would make of it.
    """
    whole = _Run(reading.truss, reading.factors[run], balance, others)
    check = _checked(whole, forces, table, run, proved=proved)
    if check.verdict == "disagrees" and _settled(reading, run, forces[run]):
        says = "Equilibrium alone settles this truss, and exact arithmetic finds the same forces as this recheck."
        return replace(check, says=f"{check.says} {says}")
    return check


def check_after(
    after: Mapping[RunId, After], table: ForcesTable, run: RunId, *, not_proved: str, others: Others
) -> RunCheck:
    """The same for a run after stages or with tendons; `not_proved` says why it has no bounds."""
    _, reading, loads, stretched = after[run]
    balance = balance_of(reading, loads[:, None], stretched)
    whole = _Run(reading.truss, np.ones(1), balance, others)
    return _checked(whole, {r: one.forces for r, one in after.items()}, table, run, proved=not_proved)


class _Run(NamedTuple):
    """What a run stands on; `factors` are those of the loads of its balance."""

    truss: Truss
    factors: Array
    balance: Balance
    others: Others


def _checked(
    whole: _Run, forces: Mapping[RunId, SecondForces], table: ForcesTable, run: RunId, *, proved: Array | str
) -> RunCheck:
    truss, claimed, own = whole.truss, table.runs[run], forces[run].axial
    tolerance = tolerances(forces[run], table.rounding.get(run, {}))
    widths = [None] * len(own) if isinstance(proved, str) else proved.tolist()
    segments = {
        name: _segment(claimed.get(name), value, tolerance[name], width)
        for (name, value), width in zip(own.items(), widths, strict=True)
    }
    largest_at = _largest(segments)
    missing = [name for name in own if name not in claimed]
    unknown = tuple(name for name in claimed if name not in own)
    left = None
    if not missing:
        values, widths = np.array([(claimed[name], tolerance[name]) for name in own]).T
        left = imbalance(whole.balance, list(truss.joints), whole.factors, values, widths)
    verdict = _verdict(segments, forces[run], unknown)
    slips = _slips(whole, forces, table, run, tolerance) if verdict == "disagrees" else []
    return RunCheck(
        verdict=verdict,
        says=_says(truss, verdict, segments, slips, left),
        largest_difference=None if largest_at is None else segments[largest_at].difference,
        largest_at=largest_at,
        residual=None if left is None else left.residual,
        residual_at=None if left is None else left.joint,
        segments=segments,
        unknown=unknown,
        residual_allowed=None if left is None else left.allowed,
        slips=tuple(slip.kind for slip in slips),
        not_proved=proved if isinstance(proved, str) else None,
    )


def _largest(segments: Mapping[SegmentId, SegmentCheck]) -> SegmentId | None:
    """The segment of the largest difference."""
    return max(
        (name for name in segments if segments[name].difference is not None),
        key=lambda name: abs(segments[name].difference or 0.0),
        default=None,
    )


def tolerances(forces: SecondForces, rounding: Mapping[SegmentId, float]) -> dict[SegmentId, float]:
    """By how much each claimed force of a run may differ."""
    common = LARGEST_PART * forces.size
    return {name: rounding.get(name, 0.0) + OWN_PART * abs(value) + common for name, value in forces.axial.items()}


def _segment(claimed: float | None, own: float, tolerance: float, width: float | None) -> SegmentCheck:
    difference = None if claimed is None else claimed - own
    return SegmentCheck(
        claimed=claimed,
        rechecked=own,
        difference=difference,
        tolerance=tolerance,
        proved=None if width is None else (own - width, own + width),
        verdict="agrees" if difference is not None and abs(difference) <= tolerance else "disagrees",
    )


def _verdict(segments: Mapping[SegmentId, SegmentCheck], forces: SecondForces, unknown: Sequence[str]) -> Verdict:
    if unknown or any(check.verdict == "disagrees" for check in segments.values()):
        return "disagrees"
    largest = max(abs(value) for value in forces.axial.values())
    if largest > LARGEST_PART * forces.size and all(check.tolerance >= largest for check in segments.values()):
        return "cannot tell"
    return "agrees"


def _slips(
    whole: _Run,
    forces: Mapping[RunId, SecondForces],
    table: ForcesTable,
    run: RunId,
    tolerance: Mapping[SegmentId, float],
) -> list[Slip]:
    """What is wrong, by name: members missing or unknown, then the one slip that explains the figures."""
    claimed, own = table.runs[run], forces[run].axial
    missing = tuple(name for name in own if name not in claimed)
    unknown = tuple(name for name in claimed if name not in own)
    slips = []
    if missing:
        slips.append(Slip("missing", f"the table lacks {_names(missing)}", missing))
    if unknown:
        slips.append(Slip("unknown", f"the model has no {_names(unknown)}", unknown))
    names = [name for name in claimed if name in own]

    def figures(other: Mapping[SegmentId, float]) -> Figures:
        return Figures(
            names=names,
            claimed=[claimed[name] for name in names],
            own=[other[name] for name in names],
            tolerance=[tolerance[name] for name in names],
        )

    slip = name_slip(figures(own), whole.truss)
    if len(figures(own).wrong) >= ENOUGH:
        slip = _of_another_run(forces, run, figures, names) or slip or _of_another_way(whole, run, figures, names)
    return [*slips, slip] if slip is not None else slips


def _of_another_run(
    forces: Mapping[RunId, SecondForces],
    run: RunId,
    figures: Callable[[Mapping[SegmentId, float]], Figures],
    names: Collection[SegmentId],
) -> Slip | None:
    for other, found in forces.items():
        if other != run and found.axial.keys() >= {*names} and not figures(found.axial).wrong:
            return Slip("another-run", f"these are the figures of the run {other}")
    return None


def _of_another_way(
    whole: _Run,
    run: RunId,
    figures: Callable[[Mapping[SegmentId, float]], Figures],
    names: Collection[SegmentId],
) -> Slip | None:
    for slip, found in whole.others(run):
        if found.keys() >= {*names} and not figures(found).wrong:
            return slip
    return None


def _says(
    truss: Truss,
    verdict: Verdict,
    segments: Mapping[SegmentId, SegmentCheck],
    slips: Sequence[Slip],
    left: Imbalance | None,
) -> str:
    wrong = [name for name, check in segments.items() if check.verdict == "disagrees"]
    if verdict == "agrees":
        return f"All {len(segments)} segments agree."
    if verdict == "cannot tell":
        return "The table is rounded so coarsely that no force could disagree."
    slipped = "; ".join(slip.says for slip in slips)
    if not wrong:
        return f"All {len(segments)} segments agree, but {slipped}."
    do = "disagrees" if len(wrong) == 1 else "disagree"
    told = f"{len(wrong)} of {len(segments)} segments {do}{': ' if slips else ''}{slipped}"
    explained = bool(slips) and left is not None and left.residual <= left.allowed
    balance = "" if explained else _balance_says(truss, segments, left)
    return f"{told}{'' if told.endswith('?') else '.'} {balance}".rstrip()


def _balance_says(truss: Truss, segments: Mapping[SegmentId, SegmentCheck], left: Imbalance | None) -> str:
    """What balance alone says of the disagreement, which owes nothing to any stiffness."""
    if left is None:
        return ""
    residual, allowed = (force_text(force, truss.units) for force in (left.residual, left.allowed))
    if left.residual > left.allowed:
        told = f"At {left.joint} they leave {residual} unbalanced, of which rounding explains {allowed}."
        if len(left.mends) == 1:
            segment, change = left.mends[0]
            name, by = truss.segments[segment].id, force_text(change, truss.units)
            told += f" A change of {name} by {by} alone would restore balance at every joint."
        return told
    if left.allowed < max(abs(check.difference or 0.0) for check in segments.values()):
        return "They balance at every joint, so that the difference is one of stiffness, fit, bearings or bending."
    return "Balance at the joints cannot show it, being blurred by their rounding."


def _settled(reading: Reading, run: RunId, own: SecondForces) -> bool:
    """Whether exact equilibrium settles every force of a run and gives our own."""
    if reading.idealisation != "pinned":
        return False
    pushed = (reading.factors[run] @ reading.loads.joints).tolist()
    exactly: Callable[[Truss, Sequence[float]], dict[SegmentId, float]]
    exactly = loaded("trussio.recheck.exact:forces_under")
    try:
        exact = exactly(reading.truss, pushed)
    except CannotAnalyseError:
        return False
    return all(abs(exact[name] - force) <= LARGEST_PART * own.size for name, force in own.axial.items())


def force_text(force: float, units: UnitSystem) -> str:
    """A force as people are shown it: kips or lb, kN or N."""
    large, small = ("kips", "lb") if units == "us" else ("kN", "N")
    return f"{force:.3g} {small}" if abs(force) < 1000 else f"{force / 1000:.4g} {large}"


def _names(names: Sequence[str]) -> str:
    return ", ".join(names[:SHOWN]) + (f" and {len(names) - SHOWN} more" if len(names) > SHOWN else "")
