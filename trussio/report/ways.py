"""What acts one way and is slack, what slip moves, what tendons hold, and runs that nothing balances, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.quantities import movement_scale
from trussio.model.loading import LEAST, RunId

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.quantities import Scale
    from trussio.model.forces import Results, RunForces
    from trussio.units import UnitSystem


def way_lines(units: UnitSystem, results: Results, scale: Scale) -> list[str]:
    """A line for every run of which there is something to say."""
    lines = [f"Not evaluated: {why}" for why in results.not_evaluated.values()]
    for run, forces in results.runs.items():
        lines += [f"Run {run}: {said}." for said in run_lines(units, forces, scale)]
    return lines


def run_lines(units: UnitSystem, forces: RunForces, scale: Scale) -> Iterator[str]:
    """What one run says of members that carry one way, of tendons that are slack, and of slip."""
    lengths = movement_scale(units)
    if forces.slack:
        yield f"slack: {', '.join(f'{name} (by {lengths.text(by)})' for name, by in forces.slack.items())}"
    for name, by in forces.loose.items():
        far = lengths.text(by)
        yield f"the tendon {name} is slack (by {far}): it takes no compression, so this run is solved without it"
    if forces.slip:
        name, by = max(forces.slip.items(), key=lambda item: abs(item[1]))
        moved = scale.text(abs(by))
        if scale.number(by) == "0":
            yield "slip in connections moves no force that can be read here"
        else:
            more = "tension" if by > 0 else "compression"
            yield f"slip in connections moves most the force of {name}: {moved} more {more} than without slip"


def tendon_words(results: Results, run: RunId, scale: Scale) -> Iterator[str]:
    """The force of every tendon in a run, with its least where that is another."""
    least = results.runs.get(RunId(f"{run}{LEAST}"))
    for name, legs in results.runs[run].tendons.items():
        most = legs_text(legs, scale)
        low = "" if least is None or name not in least.tendons else legs_text(least.tendons[name], scale)
        of_least = "" if low in {"", most} else f" at most, {low} {scale.unit} at least"
        yield f"{name} {most} {scale.unit}{of_least}"


def legs_text(legs: tuple[float, ...], scale: Scale) -> str:
    """Leg by leg where they are not alike."""
    return " - ".join(dict.fromkeys(scale.number(force) for force in legs))
