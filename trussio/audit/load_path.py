"""The way of loads to the ground: every load on a part that bears somewhere, and sums of loads against reactions.

The first needs the form alone. The second needs the reactions of each run, which whoever has calculated them hands
over, with the loads as another reading of the document brings them to the joints. Where the sums agree, a note
tells them by run, for a pencil.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.audit.graph import graph_of, parts_of
from trussio.audit.unevaluable import targets
from trussio.audit.wording import counted, joint_pointers, listed, pointer, rounded
from trussio.model.finding import Finding
from trussio.model.loading import LEAST, JointLoad, LineLoad, PointLoad, RunId, SelfWeight

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from trussio.audit.subject import Subject
    from trussio.model.finding import Findings
    from trussio.model.forces import RunForces
    from trussio.model.loading import Load
    from trussio.model.truss import JointId, Truss
    from trussio.units import UnitSystem

    Applied = Mapping[RunId, Mapping[JointId, tuple[float, float]]]

ALLOWED: Final = 1e-6
"""Loads and reactions may differ by this share of all of them and of the largest force between them."""


def load_path(subject: Subject) -> Iterator[Finding]:
    """Loads on parts that bear on nothing."""
    truss = subject.truss
    if not truss.supports:
        return
    for part in parts_of(graph_of(truss)):
        loads = [] if part & truss.supports.keys() else [place for place, on in _placed(truss) if on & part]
        if loads and len(part) > 1:
            joints = [name for name in truss.joints if name in part]
            yield Finding(
                code="load-finds-no-bearing",
                level="query",
                where=(*loads, *joint_pointers(joints)),
                says=f"Loads act on {listed(joints)}, and no member takes them from there to a bearing.",
                do="Find what this part hangs from or stands on.",
                evidence={"joints": [*joints], "loads": [*loads]},
            )


def with_sums(truss: Truss, findings: Findings, applied: Applied, runs: Mapping[RunId, RunForces]) -> Findings:
    """The findings with the runs whose reactions do not add up to their loads."""
    odd = tuple(sums(truss, applied, runs))
    return replace(findings, findings=(*odd, *findings.findings)) if odd else findings


def sums(truss: Truss, applied: Applied, runs: Mapping[RunId, RunForces]) -> Iterator[Finding]:
    """Every run in which loads and reactions do not cancel, to the right or up."""
    for run, forces in runs.items():
        if run not in applied:
            continue
        loads = list(applied[run].values())
        reactions = [(reaction.x, reaction.y) for reaction in forces.reactions.values()]
        for axis, way in enumerate(("to the right", "up")):
            load, reaction = (sum(each[axis] for each in side) for side in (loads, reactions))
            size = sum(abs(part) for each in (*loads, *reactions) for part in each)
            size += max((abs(of.axial) for of in forces.segments.values()), default=0.0)
            if abs(load + reaction) > ALLOWED * size:
                bare = RunId(run.removesuffix(LEAST))
                kind = "combinations" if bare in truss.loads.combinations else "cases"
                where = pointer("stages") if "/" in run else pointer("loads", kind, bare)
                yield Finding(
                    code="sums-disagree",
                    level="query",
                    where=(where,),
                    says=f"In {run} the loads add up to {rounded(load):,g} {way} and the reactions to "
                    f"{rounded(reaction):,g}: {rounded(load + reaction):,g} is lost on the way.",
                    do="Use no force of this run before it is found where the difference goes.",
                    evidence={"run": run, "axis": "xy"[axis], "loads": load, "reactions": reaction},
                )


def sums_agree(truss: Truss, applied: Applied, runs: Mapping[RunId, RunForces]) -> Finding | None:
    """The sums of the runs whose reactions add up to their loads, None where there is no such run."""
    apart = {str(odd.evidence["run"]) for odd in sums(truss, applied, runs)}
    agreeing = {run: _total(applied[run].values()) for run in runs if run in applied and run not in apart}
    if not agreeing:
        return None
    told = [f"{run} {_directions(total, truss.units)}" for run, total in agreeing.items()]
    return Finding(
        code="sums-agree",
        level="note",
        where=(pointer("loads"),),
        says=f"Reactions add up to the loads in {counted(len(agreeing), 'run')}. Loads: {listed(told)}.",
        do="Hold the sums against area times intensity; a load that nobody entered is in neither side.",
        evidence={"runs": {run: [rounded(x), rounded(y)] for run, (x, y) in agreeing.items()}},
    )


def _total(forces: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """Forces added up, to the right and up."""
    known = list(forces)
    return sum(x for x, _ in known), sum(y for _, y in known)


def _directions(total: tuple[float, float], units: UnitSystem) -> str:
    """`12.3 k down and 0.4 k to the right`; what is below a thousandth of the rest is left out."""
    unit = "k" if units == "us" else "kN"
    words = [
        f"{abs(size) / 1000:.3g} {unit} {way}"
        for size, way in (
            (total[1], "up" if total[1] > 0 else "down"),
            (total[0], "to the right" if total[0] > 0 else "to the left"),
        )
        if abs(size) > 1e-3 * max(map(abs, total))
    ]
    return " and ".join(words) or "nothing in sum"


def _placed(truss: Truss) -> Iterator[tuple[str, set[JointId]]]:
    """Every load with the joints of what it acts on."""
    for case, content in truss.loads.cases.items():
        for index, load in enumerate(content.loads):
            yield pointer("loads", "cases", case, "loads", index), _joints(truss, load)


def _joints(truss: Truss, load: Load) -> set[JointId]:
    match load:
        case JointLoad():
            return {load.joint}
        case LineLoad() | PointLoad():
            members = targets(truss, load.on)
        case SelfWeight():
            members = list(truss.members) if load.of == "all" else list(load.of)
        case _:
            return set()
    return {joint for name in members for joint in truss.members[name].through}
