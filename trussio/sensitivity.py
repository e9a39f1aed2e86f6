"""How much the forces hang on what nobody has confirmed: each assumption varied over its plausible range.

Terms: a *variation* is the truss with one thing taken otherwise; its *swing* is the largest change of an axial
force in any run, as a share of the largest axial force of that run. An assumption swings as far as the worst of
its variations. Assumptions are varied one at a time, so that two which work together may move more than both.

Ranges, all common practice without a source: E by 20 % and width and depth by 5 % up and down, the members of one
role at a time; loads by 20 %, one case at a time; a joint by 1/500 of the truss, sideways and up; bearings that
roll held, and all but the first rolling where all are held. The idealisation is varied as well.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.analysis.run import analyse
from trussio.audit.rules import urgency
from trussio.audit.wording import length, listed, pointer, rounded
from trussio.calculation import stopped_runs
from trussio.errors import CannotAnalyseError
from trussio.model.finding import Finding
from trussio.model.truss import Joint, JointId, MaterialId, MemberId, SectionId

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from trussio.model.change import Assumption
    from trussio.model.finding import Findings
    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Json, SegmentId, Support, Truss

    Runs = Mapping[RunId, RunForces]

STIFFNESS: Final = 0.20
SIZE: Final = 0.05
LOAD: Final = 0.20
PLACE: Final = 1 / 500
MOVES: Final = 0.05
"""An assumption that swings by more than this share is asked about; below it is worth a note."""
TOLD: Final = 3


class Variation(NamedTuple):
    """What is taken otherwise, in words, and the truss so taken."""

    says: str
    truss: Truss
    idealisation: Idealisation | None = None


class Swing(NamedTuple):
    """How far an assumption moves the forces; `entry` is its pointer, empty for the idealisation.

    `change` is the share of the run's largest force, None where nothing could be varied; `says` tells why then.
    """

    entry: str
    name: str
    change: float | None
    says: str
    segment: SegmentId | None = None
    run: RunId | None = None
    before: float = 0.0
    after: float = 0.0


def with_swings(truss: Truss, findings: Findings, *, idealisation: Idealisation) -> Findings:
    """The findings with one more that ranks the unconfirmed assumptions, where there are any and a load."""
    stops = [finding for finding in findings.findings if finding.level == "stop"]
    open_ones = [name for name, known in truss.assumptions.items() if not known.confirmed]
    if not open_ones or not truss.loads.runs:
        return findings
    left_out = stopped_runs(stops)
    runs = [run for run in truss.loads.combinations or truss.loads.runs if run not in left_out]
    try:
        ranked = swings(truss, idealisation=idealisation, runs=runs)
    except CannotAnalyseError as error:
        why = f"no force can be calculated ({error.code})"
        ranked = [Swing(pointer("assumptions", name), name, None, why) for name in open_ones]
    found = (*findings.findings, _finding(truss, ranked))
    return replace(findings, findings=tuple(sorted(found, key=urgency)))


def swings(truss: Truss, *, idealisation: Idealisation, runs: Collection[RunId]) -> list[Swing]:
    """The swing of every unconfirmed assumption and of the idealisation, the largest first.

    Raises CannotAnalyseError where the truss itself cannot be analysed.
    """
    base = analyse(truss, idealisation=idealisation, runs=runs)
    found = [
        _worst(base, pointer("assumptions", name), name, list(variations(truss, known)), idealisation=idealisation)
        for name, known in truss.assumptions.items()
        if not known.confirmed
    ]
    other: Idealisation = "pinned" if idealisation == "continuous" else "continuous"
    otherwise = [Variation(f"taken as {other}", truss, other)]
    found.append(_worst(base, "", "the idealisation", otherwise, idealisation=idealisation))
    return sorted(found, key=lambda swing: -1.0 if swing.change is None else swing.change, reverse=True)


def variations(truss: Truss, known: Assumption) -> Iterator[Variation]:
    """Everything that an assumption decides, taken otherwise."""
    touched = [
        [part.replace("~1", "/").replace("~0", "~") for part in place.split("/")[1:]]
        for place in known.touches
        if place
    ]
    yield from _bearings(truss, {parts[1] for parts in touched if parts[0] == "supports" and len(parts) > 1})
    yield from _sizes(truss, _members(truss, touched, "section"))
    yield from _stiffness(truss, _members(truss, touched, "material"))
    cases = {parts[2] for parts in touched if parts[:2] == ["loads", "cases"] and len(parts) > 2}
    everything = any(parts in (["loads"], ["loads", "cases"]) for parts in touched)
    yield from _loads(truss, [case for case in truss.loads.cases if everything or case in cases])
    joints = {parts[1] for parts in touched if parts[0] == "joints" and len(parts) > 1}
    yield from _places(truss, [name for name in truss.joints if name in joints])


def _members(truss: Truss, touched: Sequence[Sequence[str]], what: str) -> dict[str, list[MemberId]]:
    """The members whose section or material an assumption decides, by role."""
    direct = {parts[1] for parts in touched if parts[0] == "members" and parts[2:3] == [what]}
    records = {parts[1] for parts in touched if parts[0] == f"{what}s" and len(parts) > 1}
    by_role: dict[str, list[MemberId]] = {}
    for name, member in truss.members.items():
        record = member.section if what == "section" else member.material
        if record is not None and (name in direct or record in records):
            by_role.setdefault(member.role or "other", []).append(name)
    return by_role


def _bearings(truss: Truss, joints: Collection[str]) -> Iterator[Variation]:
    supports = {name: support for name, support in truss.supports.items() if name in joints}
    rolling = [name for name, support in supports.items() if support.holds == ("y",) and not support.springs]
    held = [name for name, support in supports.items() if "x" in support.holds and "y" in support.holds]
    if rolling:
        changed: dict[JointId, Support] = {n: replace(supports[n], holds=("x", "y")) for n in rolling}
        yield Variation(f"{listed(rolling)} held in x too", replace(truss, supports={**truss.supports, **changed}))
    elif len(held) > 1:
        changed = {name: replace(supports[name], holds=("y",)) for name in held[1:]}
        yield Variation(f"{listed(held[1:])} rolling", replace(truss, supports={**truss.supports, **changed}))


def _sizes(truss: Truss, members: Mapping[str, Sequence[MemberId]]) -> Iterator[Variation]:
    for role, names in members.items():
        for factor in (1 - SIZE, 1 + SIZE):
            sections, changed = dict(truss.sections), dict(truss.members)
            for name in names:
                section = truss.section_of(name)
                if section is None:
                    continue
                varied = SectionId(f"{truss.members[name].section} varied")
                sections[varied] = replace(
                    section,
                    width=section.width and section.width * factor,
                    depth=section.depth and section.depth * factor,
                    area=section.area and section.area * factor**2,
                    inertia=section.inertia and section.inertia * factor**4,
                )
                changed[name] = replace(changed[name], section=varied)
            says = f"width and depth of the {_role(role)} by {factor - 1:+.0%}"
            yield Variation(says, replace(truss, sections=sections, members=changed))


def _stiffness(truss: Truss, members: Mapping[str, Sequence[MemberId]]) -> Iterator[Variation]:
    for role, names in members.items():
        for factor in (1 - STIFFNESS, 1 + STIFFNESS):
            materials, changed = dict(truss.materials), dict(truss.members)
            for name in names:
                material = truss.material_of(name)
                if material is None or material.E is None:
                    continue
                varied = MaterialId(f"{truss.members[name].material} varied")
                materials[varied] = replace(material, E=material.E * factor)
                changed[name] = replace(changed[name], material=varied)
            says = f"E of the {_role(role)} by {factor - 1:+.0%}"
            yield Variation(says, replace(truss, materials=materials, members=changed))


def _loads(truss: Truss, cases: Sequence[RunId]) -> Iterator[Variation]:
    for case in cases:
        for factor in (1 - LOAD, 1 + LOAD):
            combinations = {
                run: {name: by * factor if name == case else by for name, by in factors.items()}
                for run, factors in truss.loads.combinations.items()
            }
            loads = replace(truss.loads, combinations=combinations)
            yield Variation(f"{case} by {factor - 1:+.0%}", replace(truss, loads=loads))


def _places(truss: Truss, joints: Sequence[JointId]) -> Iterator[Variation]:
    xs, ys = [j.x for j in truss.joints.values()], [j.y for j in truss.joints.values()]
    step = PLACE * max(max(xs, default=0.0) - min(xs, default=0.0), max(ys, default=0.0) - min(ys, default=0.0))
    for name in joints:
        here = truss.joints[name]
        for x, y, way in ((step, 0.0, "sideways"), (0.0, step, "up")):
            moved = {**truss.joints, name: Joint(x=here.x + x, y=here.y + y)}
            yield Variation(f"{name} {length(step, truss.units)} {way}", replace(truss, joints=moved))


def _role(role: str) -> str:
    return {"top-chord": "top chord", "bottom-chord": "bottom chord", "web": "webs"}.get(role, "other members")


def _worst(base: Runs, entry: str, name: str, tried: Sequence[Variation], *, idealisation: Idealisation) -> Swing:
    """The variation that moves a force furthest; a later one must move it further."""
    worst = Swing(entry, name, None, "nothing in it can be varied")
    for variation in tried:
        try:
            varied = analyse(variation.truss, idealisation=variation.idealisation or idealisation, runs=list(base))
        except CannotAnalyseError as error:
            if worst.change is None:
                worst = worst._replace(says=f"{variation.says}: no force can be calculated ({error.code})")
            continue
        for moved in _moved(entry, name, variation.says, base, varied):
            if worst.change is None or (moved.change or 0.0) > worst.change:
                worst = moved
    return worst


def _moved(entry: str, name: str, says: str, base: Runs, varied: Runs) -> Iterator[Swing]:
    """What one variation does to every segment in every run."""
    for run, forces in base.items():
        largest = max((abs(of.axial) for of in forces.segments.values()), default=0.0)
        for segment, of in forces.segments.items():
            after = varied[run].segments[segment].axial
            change = abs(after - of.axial) / largest if largest else 0.0
            yield Swing(entry, name, change, says, segment, run, of.axial, after)


def _finding(truss: Truss, ranked: Sequence[Swing]) -> Finding:
    known = [swing for swing in ranked if swing.change is not None]
    moving = [swing for swing in known if swing.change is not None and swing.change > MOVES]
    told = [_words(truss, swing) for swing in (moving or known)[:TOLD]]
    still = [swing.name for swing in known if swing not in moving]
    left = [f"{swing.name} was not evaluated: {swing.says}" for swing in ranked if swing.change is None]
    if moving and still:
        told.append(f"{listed(still)} {'move' if len(still) > 1 else 'moves'} no force by more than {MOVES:.0%}")
    return Finding(
        code="hangs-on",
        level="query" if moving else "note",
        where=tuple(swing.entry for swing in ranked if swing.entry),
        says=f"What the forces hang on, each thing varied by itself: {'; '.join([*told, *left])}.",
        do="Settle them in this order; what moves nothing can wait.",
        evidence={"swings": [_evidence(swing) for swing in ranked]},
    )


def _words(truss: Truss, swing: Swing) -> str:
    before, after = (_force(truss, force) for force in (swing.before, swing.after))
    return f"{swing.name} ({swing.says}) takes {swing.segment} from {before} to {after} in {swing.run}"


def _force(truss: Truss, force: float) -> str:
    """A force in kips or kN with its letter."""
    unit = "k" if truss.units == "us" else "kN"
    return f"{abs(force) / 1000:.3g} {unit}{' T' if force > 0 else ' C' if force < 0 else ''}"


def _evidence(swing: Swing) -> dict[str, Json]:
    told: dict[str, Json] = {"assumption": swing.entry or swing.name, "varied": swing.says}
    if swing.change is None:
        return {**told, "change": "not evaluated"}
    return {
        **told,
        "change": rounded(swing.change),
        "segment": swing.segment,
        "run": swing.run,
        "axial": [rounded(swing.before), rounded(swing.after)],
    }
