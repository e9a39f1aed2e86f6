"""Lines on loads: what each run puts on the truss, whether it balances, and the pencil check of a chord force."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.lengths import length_text
from trussio.drawing.quantities import force_letter, moment_scale
from trussio.model.forces import of_structure
from trussio.model.loading import LEAST
from trussio.report.extremes import acting_runs, common_scale, told_size
from trussio.report.load_origin import area_line, edition_line
from trussio.report.pencil import midspan_section, sums
from trussio.report.wording import factors_words

if TYPE_CHECKING:
    from trussio.drawing.quantities import Scale
    from trussio.model.assessment import Assessment
    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.report.pencil import Section, Sum

MANY = 4
"""Of more runs than this the totals stand in one line, and the summary tells the first."""
UNKNOWN = "total of the loads not evaluated."
BALANCE = 1e-3
"""Loads and reactions differ when their sum is over this share of the largest force between joints."""


def load_lines(assessment: Assessment) -> tuple[list[str], list[str]]:
    """What does not balance, and the totals with the pencil check."""
    results = assessment.results
    edition = edition_line(assessment.document or assessment.truss)
    if not assessment.truss.loads.runs:
        return [], ["The document holds no loads.", edition]
    if results is None or not results.runs:
        return [], ["Totals and pencil check: not evaluated, no forces were calculated.", edition]
    scale, runs = common_scale(assessment.truss, results), acting_runs(assessment.truss, results)
    wrong: list[str] = []
    lines: list[str] = []
    every: list[str] = []
    later: list[str] = []
    for run in runs:
        line, balanced = _run_line(assessment, results, run, scale)
        if not balanced:
            wrong.append(line)
        elif run not in assessment.applied:
            lines.append(line)
        else:
            total = f"{run} {directions(scale, sums(assessment.applied[run], results.runs[run]).loads)}"
            (later if _on_the_way(run) else every).append(total)
            lines += [] if _on_the_way(run) else [line]
    if len(every) > MANY:
        lines = [line for line in lines if line.endswith(UNKNOWN)]
        lines.append(f"Loads that the reactions balance, run by run: {', '.join(every)}.")
    told = [f"After stages and with least tendon force reactions balance the loads: {', '.join(later)}."]
    by_area = [line for line in [area_line(assessment)] if line]
    pencil = pencil_line(assessment, results, scale)
    return wrong, [*lines, *(told if later else []), pencil, *by_area, edition]


def _on_the_way(run: RunId) -> bool:
    """Whether a run is after a stage, or the one of least tendon force."""
    return "/" in run or run.endswith(LEAST)


def brief_loads(assessment: Assessment) -> list[str]:
    """The totals of balanced runs on one line, and the pencil check."""
    wrong, lines = load_lines(assessment)
    results = assessment.results
    if results is None or not results.runs or not assessment.truss.loads.runs:
        return lines
    scale = common_scale(assessment.truss, results)
    totals = [
        f"{run} {directions(scale, sums(assessment.applied[run], results.runs[run]).loads)}"
        for run in acting_runs(assessment.truss, results)
        if run in assessment.applied and not _on_the_way(run)
    ]
    if not totals:
        return lines[:1]
    if len(totals) > MANY:
        totals = [*totals[: MANY - 1], f"{len(totals) - MANY + 1} more on the page"]
    balanced = "" if wrong else "; reactions balance"
    return [
        f"{', '.join(totals)}{balanced}.",
        pencil_line(assessment, results, scale),
        edition_line(assessment.document or assessment.truss),
    ]


def _run_line(assessment: Assessment, results: Results, run: RunId, scale: Scale) -> tuple[str, bool]:
    """Loads and reactions of a run in words, and whether they balance."""
    factors = assessment.truss.loads.combinations.get(run)
    name = f"{run} ({factors_words(factors)})" if factors else str(run)
    forces, applied = results.runs[run], assessment.applied.get(run)
    total = sums(applied or {}, forces)
    held = directions(scale, total.reactions)
    if applied is None:
        return f"{name}: reactions {held}; {UNKNOWN}", True
    largest = max((abs(f.axial) for f in forces.segments.values()), default=0.0)
    if out_of_balance(total) > BALANCE * max(largest, *map(abs, total.loads)):
        return f"{name}: loads {directions(scale, total.loads)} and reactions {held} do not balance.", False
    return f"{name}: loads {directions(scale, total.loads)}; the reactions balance them.", True


def out_of_balance(total: Sum) -> float:
    """The larger part of loads and reactions added up."""
    return max(abs(load + held) for load, held in zip(total.loads, total.reactions, strict=True))


def directions(scale: Scale, force: tuple[float, float]) -> str:
    """A force by its upright and its level part."""
    x, y = force
    upright = f"{scale.text(abs(y))} {'down' if y < 0 else 'up'}"
    if not force_letter(scale, x):
        return upright
    return f"{upright} and {scale.text(abs(x))} {'to the left' if x < 0 else 'to the right'}"


def pencil_line(assessment: Assessment, results: Results, scale: Scale) -> str:
    """The moment near midspan over the depth beside the chord force of the model, in the run of the largest."""
    cuts = {run: cut for run in acting_runs(assessment.truss, results) if (cut := cut_of(assessment, run))}
    if not cuts:
        return "Pencil check of a chord force: not evaluated, no single cut near midspan gives it."
    run = max(cuts, key=lambda name: told_size(scale, cuts[name].axial))
    return f"Pencil check, run {run}: {pencil_words(assessment, cuts[run], scale)}"


def cut_of(assessment: Assessment, run: RunId) -> Section | None:
    """The cut near midspan in a run, or None where the loads or the cut are not there."""
    results, applied = assessment.results, assessment.applied.get(run)
    if results is None or applied is None or not of_structure(assessment.truss, results.runs[run]):
        return None
    return midspan_section(assessment.truss, applied, results.runs[run])


def pencil_words(assessment: Assessment, cut: Section, scale: Scale) -> str:
    """A cut in words: moment over depth, and the model's force."""
    units = assessment.truss.units
    moment = moment_scale(units, cut.moment).text(abs(cut.moment))
    depth = length_text(units, cut.depth) + ("" if units == "us" else " mm")
    by_hand, model = (
        f"{scale.text(abs(force))} {force_letter(scale, force)}".rstrip() for force in (cut.force, cut.axial)
    )
    less = f" less that of {', '.join(cut.tendons)}," if cut.tendons else ""
    where = " and ".join((cut.segment.id, *cut.beside))
    by_moment = f"moment about {cut.joint}{less} over depth, {moment} / {depth}"
    return f"{by_moment}, gives {by_hand} in {where}; model {model}."
