"""Results as text: one block a run, in kips and ft-kips or kN and kN-m, tension T and compression C."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.cli.near_buckling import buckling_lines
from trussio.drawing.quantities import force_scale, force_text, moment_scale, movement_scale
from trussio.late import loaded

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from trussio.drawing.quantities import Scale
    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.staging import Stage
    from trussio.model.truss import Truss
    from trussio.units import UnitSystem

SIGNS: Final = (
    "Of first order. T tension, C compression; a moment is positive with the local -y face of the stick in\n"
    "tension."
)
LIMITS: Final = (
    "Linear elastic forces of the model as entered; per cent of allowable is not evaluated here. The engineer in\n"
    "responsible charge decides whether model and loads fit this building."
)


def forces_text(truss: Truss, results: Results) -> str:
    """Every run of the results as text."""
    blocks = [f"{truss.title} - {results.idealisation}, as {results.state}, model {results.model[7:19]}", SIGNS]
    if results.despite:
        blocks.append(f"OVER A STOP ({', '.join(results.despite)}): no force here may be relied on.")
    if results.rests_on:
        blocks.append(f"Rests on {len(results.rests_on)} unconfirmed assumptions: {', '.join(results.rests_on)}")
    if not results.runs:
        blocks.append("No run was calculated: the document has no load case, or every one of them was stopped.")
    blocks += [f"NOT EVALUATED: {why}" for why in results.not_evaluated.values()]
    if truss.stages:
        blocks += ["", "stages"]
        done: Callable[[Truss], Iterator[tuple[Stage, str]]] = loaded("trussio.report.work_words:stage_words")
        blocks += [f"  {stage.id}: {said}" for stage, said in done(truss)]
    for run, forces in results.runs.items():
        blocks += ["", *_run(truss, results, run, forces)]
    if len(results.runs) > 1:
        uneven: Callable[[Truss, Results], list[str]] = loaded("trussio.report.uneven:uneven_lines")
        lines = uneven(truss, results)
        blocks += ["", *lines] if lines else []
    near = buckling_lines(truss, results)
    blocks += ["", *near] if near else []
    return "\n".join([*blocks, "", LIMITS]) + "\n"


def _run(truss: Truss, results: Results, run: RunId, forces: RunForces) -> Iterator[str]:
    segments = forces.segments
    axial = force_scale(truss.units, max((abs(s.axial) for s in segments.values()), default=0.0))
    moment = moment_scale(truss.units, max((abs(s.moment_peak) for s in segments.values()), default=0.0))
    wide = max((len(name) for name in segments), default=7)
    yield f"run {run}{_when(run)}"
    heads = f"axial, {axial.unit}", f"moment at first, last and peak, {moment.unit}"
    yield f"  {'segment':<{wide}}  {heads[0]:>12}  {heads[1]:>34}"
    for name, s in segments.items():
        moments = "".join(f"{moment.number(value):>12}" for value in (*s.moment, s.moment_peak))
        yield f"  {name:<{wide}}  {force_text(axial, s.axial):>12}{moments}"
    if forces.slack or forces.slip or forces.loose:
        lines: Callable[[UnitSystem, RunForces, Scale], Iterator[str]] = loaded("trussio.report.ways:run_lines")
        yield from (f"  {line}" for line in lines(truss.units, forces, axial))
    if forces.tendons:
        words: Callable[[Results, RunId, Scale], Iterator[str]] = loaded("trussio.report.ways:tendon_words")
        yield from (f"  tendon {said}" for said in words(results, run, axial))
    yield from _reactions(axial, moment, forces)
    yield from _movements(truss, forces)


def _when(run: str) -> str:
    """What a run after a stage is."""
    stage, slash, base = run.rpartition("/")
    if not slash:
        return ""
    return f", after stage {stage}: what is on then" if base.startswith("now") else f", after stage {stage}"


def _reactions(axial: Scale, moment: Scale, forces: RunForces) -> Iterator[str]:
    for joint, reaction in forces.reactions.items():
        turn = f", turning {moment.text(reaction.turn)}" if reaction.turn else ""
        up = axial.text(reaction.y)
        held = "; it must be held down there" if up.startswith("-") else ""
        yield f"  reaction at {joint}: {axial.text(reaction.x)} right, {up} up{turn}{held}"


def _movements(truss: Truss, forces: RunForces) -> Iterator[str]:
    """The largest movement; each joint's stands in the results document."""
    if not forces.joints:
        yield "  nothing is there then"
        return
    scale = movement_scale(truss.units)
    name, joint = max(forces.joints.items(), key=lambda item: item[1].dx ** 2 + item[1].dy ** 2)
    yield f"  moves most: {name}, {scale.text(joint.dx)} right, {scale.text(joint.dy)} up"
