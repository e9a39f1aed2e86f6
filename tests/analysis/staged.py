"""Trusses with stages and tendons for the tests of the analysis, and how runs are held against each other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from trussio.model.forces import RunForces, SegmentForces
from trussio.model.loading import LoadCase, RunId
from trussio.model.staging import Stage
from trussio.model.tendon import Point, Tendon, TendonLoad
from trussio.model.truss import JointId, MemberId

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.staging import Action
    from trussio.model.truss import Truss


def stages(truss: Truss, *actions: tuple[Action, ...]) -> Truss:
    """The truss with a stage for each group of actions, called s1, s2 and so on."""
    return replace(truss, stages=tuple(Stage(f"s{n}", group) for n, group in enumerate(actions, start=1)))


def now(stage: int) -> RunId:
    """The run of what is on after a stage."""
    return RunId(f"s{stage}/now")


def tendon(
    *joints: str,
    on: str | None = None,
    offsets: tuple[float, ...] = (),
    area: float | None = None,
    strands: int = 1,
    E: float | None = None,
    acts: Literal["member", "force"] = "member",
    sure: bool = False,
) -> Tendon:
    """A tendon through joints that bears on one stick, off it by the offsets; `sure` of having no losses."""
    member = None if on is None else MemberId(on)
    away = offsets or (0.0,) * len(joints)
    points = tuple(Point(JointId(joint), member, offset) for joint, offset in zip(joints, away, strict=True))
    made = Tendon(path=points, area=area, strands=strands, E=E, acts=acts)
    return made._replace(friction=0.0, slip=0.0, loss=0.0) if sure else made


def stressed(truss: Truss, tendons: Mapping[str, Tendon], force: float) -> Truss:
    """The truss with tendons, each stressed to a force in the case PT."""
    loads = tuple(TendonLoad(name, force=force) for name in tendons)
    cases = {**truss.loads.cases, RunId("PT"): LoadCase(kind="post-tension", loads=loads)}
    return replace(truss, tendons=tendons, loads=replace(truss.loads, cases=cases))


def figures(forces: SegmentForces) -> tuple[float, ...]:
    """Everything that a segment carries but the place of its peak."""
    return (forces.axial, *forces.axial_ends, *forces.shear, *forces.moment, forces.moment_peak)


def difference(one: RunForces, other: RunForces) -> float:
    """The largest difference of forces and reactions, as a part of the largest force; what one lacks counts as 0.

    Moments count by a length of a thousand.
    """
    worst, size = 0.0, 1e-12
    for name in {*one.segments, *other.segments}:
        pairs = [figures(run.segments[name]) if name in run.segments else (0.0,) * 8 for run in (one, other)]
        for place, (a, b) in enumerate(zip(*pairs, strict=True)):
            arm = 1000.0 if place >= 5 else 1.0
            worst, size = max(worst, abs(a - b) / arm), max(size, abs(a) / arm)
    for joint in {*one.reactions, *other.reactions}:
        here, there = one.reactions.get(joint), other.reactions.get(joint)
        for part in ("x", "y"):
            a, b = (0.0 if r is None else float(getattr(r, part)) for r in (here, there))
            worst, size = max(worst, abs(a - b)), max(size, abs(a))
    return worst / size


def summed(*runs: RunForces) -> RunForces:
    """The sum of runs on different structures, segment by segment; peaks are left out as zero."""
    names = dict.fromkeys(name for run in runs for name in run.segments)
    segments = {}
    for name in names:
        parts = [figures(run.segments[name]) for run in runs if name in run.segments]
        axial, a, b, c, d, e, f, _ = (sum(values) for values in zip(*parts, strict=True))
        segments[name] = SegmentForces(
            axial=axial, axial_ends=(a, b), shear=(c, d), moment=(e, f), moment_peak=0.0, moment_peak_at=0.0
        )
    return RunForces(segments=segments, joints={}, reactions={})


def without_peaks(run: RunForces) -> RunForces:
    """A run with its peaks as zero and nothing but segments, to be held against a sum."""
    segments = {name: s._replace(moment_peak=0.0) for name, s in run.segments.items()}
    return RunForces(segments=segments, joints={}, reactions={})
