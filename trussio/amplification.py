"""Second order where it matters: how near each run is to buckling in the plane, and what that adds to moments.

Linear forces stand by themselves; nothing here replaces them. Buckling out of the plane is not looked at.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.analysis.assembly import assembled, placed
from trussio.analysis.buckling import buckling
from trussio.analysis.properties import gives
from trussio.analysis.run import analyse
from trussio.analysis.second_order import answer, put, swaying, without
from trussio.analysis.staged_sway import standing
from trussio.analysis.staging import told_runs
from trussio.analysis.wear import wear_of
from trussio.errors import CannotAnalyseError, UsageError
from trussio.late import loaded
from trussio.model.condition import Missing
from trussio.model.idealised import idealise
from trussio.model.second_order import Amplified, SecondOrder, SecondOrderRun, Without
from trussio.state import in_state

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from trussio.analysis.arrays import Floats
    from trussio.analysis.assembly import Assembly
    from trussio.analysis.second_order import Put, Swaying
    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, MemberId, SegmentId, Truss

NEAR: Final = 1.25
"""A run is refused where fewer times its loads make the truss buckle: common practice, no source."""
STEEP: Final = 0.5
"""An arc that slants more than so many radians from its chord is not followed here."""
NOTHING: Final = 1e-9
"""A force or moment of this part of the largest in its run is none."""


class Structure(NamedTuple):
    """A truss made ready under some cases.

    `half` (m,) is half of the turn of curved segments, `unknown` are segments whose bending stiffness nobody
    stated.
    """

    truss: Truss
    swaying: Swaying
    half: Floats
    unknown: frozenset[int]


class Standing(NamedTuple):
    """A run on the structure that stands in it."""

    made: Structure
    put: Put


def second_order(truss: Truss, results: Results) -> SecondOrder:
    """Second order of every run of `results`, which must be of this truss in its state, and `continuous`.

    Raises UsageError `second-order-pinned` where they are of pinned bars.
    """
    if results.idealisation != "continuous":
        raise UsageError(
            "second-order-pinned",
            what="second order was asked for with --idealisation pinned, in which no stick bends.",
            do="Ask for it with --idealisation continuous.",
        )
    found = in_state(truss, results.state, idealisation="continuous").truss
    runs = {}
    for run, stands in _in_reach(found, results).items():
        if isinstance(stands, str):
            runs[run] = SecondOrderRun(verdict="not evaluated", reason=stands)
            continue
        runs[run] = _of_run(stands, results.runs[run])
        if runs[run].verdict == "exceeded":
            runs[run] = replace(
                runs[run], without=_without(truss, stands.made.truss, results, run, runs[run].buckles[0])
            )
    return SecondOrder(
        model=results.model, state=results.state, rests_on=results.rests_on, runs=runs, despite=results.despite
    )


def _in_reach(truss: Truss, results: Results) -> dict[RunId, Standing | str]:
    """Every run on what stands in it, or why it cannot be followed."""
    if any(member.play for member in truss.members.values()):
        return dict.fromkeys(results.runs, "second order is not followed where connections have play")
    plain = truss
    beyond: tuple[RunId, ...] = ()
    if truss.tendons or truss.stages:
        of_work: Callable[[Truss, Idealisation], tuple[Truss, tuple[RunId, ...]]]
        of_work = loaded("trussio.model.history:beyond_plain")
        plain, beyond = of_work(truss, "continuous")
    found = _plainly(plain, [run for run in results.runs if run not in beyond])
    found |= _after_stages(truss, [run for run in results.runs if run in beyond])
    return {run: found[run] for run in results.runs}


def _plainly(truss: Truss, runs: Collection[RunId]) -> dict[RunId, Standing | str]:
    """Runs of a truss without stages and tendons."""
    if not runs:
        return {}
    every, ideal = truss.loads.runs, idealise(truss, "continuous")
    cases = [case for case in truss.loads.cases if any(every[run].get(case) for run in runs)]
    made = _structure(truss, assembled(truss, ideal, cases), cases)
    factors = {run: np.array([every[run].get(case, 0.0) for case in cases]) for run in runs}
    return {run: Standing(made, put(made.swaying, by)) for run, by in factors.items()}


def _after_stages(truss: Truss, runs: Collection[RunId]) -> dict[RunId, Standing | str]:
    """Runs after stages and with tendons, each on the structure that stands in it."""
    if not runs:
        return {}
    told, cases = told_runs(truss, "continuous", runs)
    made: dict[int, Structure] = {}
    found: dict[RunId, Standing | str] = {}
    for one in told:
        at = one.at
        if id(at) not in made and at.segments.size:
            made[id(at)] = _structure(at.truss, at.made, cases)
        for run in one.runs:
            if not at.segments.size:
                found[run] = "nothing stands then"
            else:
                whole, stands = made[id(at)], standing(one, run, len(cases))
                own = whole.swaying._replace(stays=stands.stays, slips=at.slips)
                found[run] = Standing(whole._replace(swaying=own), stands.put)
    return found


def _structure(truss: Truss, made: Assembly, cases: list[RunId]) -> Structure:
    """A truss put together under cases, with the bending stiffness of all segments, hinged or not."""
    shape, applied = placed(truss, made.ideal, cases)
    known = gives(truss, made.ideal)
    bending, unknown = known.bending.copy(), set()
    for number, segment in enumerate(truss.segments):
        section, material = truss.section_of(segment.member), truss.material_of(segment.member)
        inertia = None if section is None else section.bending_inertia
        if inertia and material is not None and material.E:
            bending[number] = 1.0 / (material.E * inertia)
        else:
            unknown.add(number)
    of = swaying(made, applied, wear_of(truss, shape), known._replace(bending=bending))
    return Structure(truss, of, shape.half, frozenset(unknown))


def _of_run(stands: Standing, forces: RunForces) -> SecondOrderRun:
    """Second order of one run."""
    made, on = stands
    names = list(forces.segments)
    axial = np.array([forces.segments[name].axial for name in names])
    pressed = np.flatnonzero(axial < -NOTHING * np.abs(axial).max(initial=0.0)).tolist()
    linear = {
        names[number]: Amplified(float(axial[number]), forces.segments[names[number]].moment_peak)
        for number in pressed
    }
    reason = _not_followed(made, names, pressed)
    if reason:
        return SecondOrderRun(verdict="not evaluated", reason=reason, segments=linear)
    of = without(made.swaying, [number for number, name in enumerate(names) if name in forces.slack])
    found = buckling(of, np.concatenate([axial, on.tight]))
    buckles = tuple(names[number] for number in found.segments)
    if found.factor is not None and found.factor < NEAR:
        return SecondOrderRun(
            verdict="exceeded", factor=found.factor, reason=_reason(found.factor), buckles=buckles, segments=linear
        )
    settled = answer(of, on, axial)
    if settled is None:
        return SecondOrderRun(
            verdict="exceeded",
            factor=found.factor,
            reason="the forces do not settle on the deflected truss",
            buckles=buckles or tuple(linear)[:1],
            segments=linear,
        )
    return SecondOrderRun(
        verdict="calculated",
        factor=found.factor,
        buckles=buckles,
        segments=_amplified(linear, names, settled.basic[:, 0], settled.peak),
    )


def _amplified(
    linear: dict[SegmentId, Amplified], names: list[SegmentId], axial: Floats, moment: Floats
) -> dict[SegmentId, Amplified]:
    """Segments in compression with what is of second order."""
    places = {name: number for number, name in enumerate(names)}
    nothing = NOTHING * max((abs(one.moment_first) for one in linear.values()), default=0.0)
    found = {}
    for name, one in linear.items():
        peak = float(moment[places[name]])
        ratio = abs(peak / one.moment_first) if abs(one.moment_first) > nothing else None
        found[name] = one._replace(axial=float(axial[places[name]]), moment=peak, amplification=ratio)
    return found


def _not_followed(made: Structure, names: list[SegmentId], pressed: list[int]) -> str | None:
    """Why this run is not followed, where it is not."""
    unknown = [names[number] for number in pressed if number in made.unknown]
    if unknown:
        return f"the inertia of {', '.join(unknown)}, in compression, is not stated"
    steep = [names[number] for number in pressed if abs(float(made.half[number])) > STEEP]
    if steep:
        return f"{', '.join(steep)} slants too steeply from its chord between joints"
    return None


def _reason(factor: float) -> str:
    where = "past buckling" if factor < 1.0 else "near buckling"
    return f"{where}: the truss buckles in its plane at {factor:.2f} times these loads"


def _without(truss: Truss, found: Truss, results: Results, run: RunId, segment: SegmentId) -> Without:
    """The forces of a run without the member that buckles first."""
    stick = next(one.member for one in found.segments if one.id == segment)
    member: MemberId = found.members[stick].part_of or stick
    gone = Missing(member=member, seen="taken out for this run")
    kept = {name: one for name, one in truss.condition.items() if results.state == "found"}
    other = replace(truss, condition={**kept, f"without {member}": gone})
    try:
        left = in_state(other, "found", idealisation="continuous").truss
        forces = analyse(left, idealisation="continuous", runs=[run])[run]
    except CannotAnalyseError as error:
        return Without(member, {}, f"without {member} there are no forces: {error.what}")
    return Without(member, forces.segments)
