"""Second order as text: the runs near or past buckling first, then what compression adds in the others."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.amplification import second_order
from trussio.cli.forces_text import forces_text
from trussio.document.second_order import write_second_order
from trussio.drawing.quantities import force_scale, force_text, moment_scale

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.forces import Results
    from trussio.model.second_order import SecondOrder, SecondOrderRun, Without
    from trussio.model.truss import Truss

HEAD: Final = (
    "SECOND ORDER, in the plane of the truss: what compression adds as the truss deflects. Buckling out of the\n"
    "plane is not looked at. Checks that amplify moments for themselves take the forces of first order, above."
)


def second_order_asked(truss: Truss, results: Results, json: bool) -> str:  # noqa: FBT001 - loaded by its name
    """Second order as it is to be written: its document, or text behind the forces of first order."""
    found = second_order(truss, results)
    if json:
        return write_second_order(found)
    return f"{forces_text(truss, results)}\n{second_order_text(truss, found)}"


def second_order_text(truss: Truss, found: SecondOrder) -> str:
    """Every run as text."""
    evaluated = [item for item in found.runs.items() if item[1].verdict != "not evaluated"]
    blocks = [HEAD, *_not_evaluated(found)]
    for name, run in sorted(evaluated, key=lambda item: item[1].verdict != "exceeded"):
        blocks += ["", *_run(truss, str(name), run)]
    return "\n".join(blocks) + "\n"


def _not_evaluated(found: SecondOrder) -> Iterator[str]:
    """The runs that were not followed, those of one reason together."""
    reasons: dict[str, list[str]] = {}
    for name, run in found.runs.items():
        if run.verdict == "not evaluated" and run.reason is not None:
            reasons.setdefault(run.reason, []).append(str(name))
    for reason, names in reasons.items():
        yield f"NOT EVALUATED: {reason} (run {', '.join(names)})."


def _run(truss: Truss, name: str, run: SecondOrderRun) -> Iterator[str]:
    if run.verdict == "exceeded":
        yield f"run {name}: EXCEEDED, {run.reason}. No figure of second order is given."
        yield f"  it buckles: {', '.join(run.buckles)}"
        if run.without is not None:
            yield from _without(truss, name, run.without)
    else:
        buckling = "at no less than 100 times" if run.factor is None else f"at {run.factor:.1f} times"
        first = f", {', '.join(run.buckles)} foremost" if run.buckles else ""
        yield f"run {name}: the truss buckles in its plane {buckling} these loads{first}"
        yield from _amplified(truss, run)


def _amplified(truss: Truss, run: SecondOrderRun) -> Iterator[str]:
    forces = [value for one in run.segments.values() for value in (one.axial_first, one.axial or 0.0)]
    sizes = [value for one in run.segments.values() for value in (one.moment_first, one.moment or 0.0)]
    axial = force_scale(truss.units, max(map(abs, forces), default=0.0))
    moment = moment_scale(truss.units, max(map(abs, sizes), default=0.0))
    wide = max((len(name) for name in run.segments), default=7)
    heads = f"axial, {axial.unit}: first, second", f"moment, {moment.unit}: first, second"
    yield f"  {'segment':<{wide}}  {heads[0]:>28}  {heads[1]:>30}  amplified"
    for name, one in run.segments.items():
        forces_told = "".join(f"{force_text(axial, value or 0.0):>14}" for value in (one.axial_first, one.axial))
        moments_told = "".join(f"{moment.number(value or 0.0):>15}" for value in (one.moment_first, one.moment))
        ratio = "" if one.amplification is None else f"{one.amplification:.3f}"
        yield f"  {name:<{wide}}  {forces_told}  {moments_told}  {ratio:>9}"


def _without(truss: Truss, run: str, without: Without) -> Iterator[str]:
    """The run with the member out that buckles first."""
    if without.reason is not None:
        yield f"  {without.reason}"
        return
    segments = without.segments
    axial = force_scale(truss.units, max((abs(s.axial) for s in segments.values()), default=0.0))
    moment = moment_scale(truss.units, max((abs(s.moment_peak) for s in segments.values()), default=0.0))
    wide = max((len(name) for name in segments), default=7)
    yield f"  run {run} without {without.member}, of first order: if it gives way, the others carry"
    yield f"    {'segment':<{wide}}  {f'axial, {axial.unit}':>12}  {f'largest moment, {moment.unit}':>22}"
    for name, s in segments.items():
        yield f"    {name:<{wide}}  {force_text(axial, s.axial):>12}  {moment.number(s.moment_peak):>22}"
