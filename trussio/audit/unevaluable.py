"""Stops over loads: a load that cannot be evaluated, with the runs that it touches.

Weight without density, warmth without expansion, a moment where nothing turns with the joint, a place that is not
on the stick, a load per plan length across the stick, a movement in a direction that no bearing holds (an inclined
bearing is moved by the part of the movement that lies along it).
A combination with the factor 0 is not touched by a case.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.audit.wording import length, listed, pointer
from trussio.geometry import segment_length
from trussio.model.finding import Finding
from trussio.model.loading import JointLoad, LineLoad, PointLoad, SelfWeight, SupportMovement, Warmer

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from trussio.model.idealised import Idealised
    from trussio.model.loading import Load, RunId, Target
    from trussio.model.truss import JointId, MaterialId, MemberId, Truss

ON_STICK: Final = 1e-6
"""A distance along a stick may pass its end by this share of its length (drawings are rounded)."""

Trouble = tuple[str, tuple[str, ...], str, str]
"""Code, places beside the load, what is so, what to do."""


def unevaluable(truss: Truss, idealised: Idealised, runs: Collection[RunId] | None = None) -> Iterator[Finding]:
    """Every load that cannot be evaluated and touches one of the runs (None: any); alike ones are one finding."""
    gathered: dict[Trouble, tuple[list[str], list[RunId]]] = {}
    for case, content in truss.loads.cases.items():
        touched = touched_by(truss, case, runs)
        for index, load in enumerate(content.loads if touched else ()):
            for trouble in _troubles(truss, idealised, load):
                places, reached = gathered.setdefault(trouble, ([], []))
                places.append(pointer("loads", "cases", case, "loads", index))
                reached += [run for run in touched if run not in reached]
    for (code, beside, says, do), (places, reached) in gathered.items():
        yield Finding(
            code=code,
            level="stop",
            where=(*places, *beside),
            says=f"{says} Runs touched: {listed(reached)}.",
            do=do,
            evidence={"runs": [*reached]},
        )


def touched_by(truss: Truss, case: RunId, runs: Collection[RunId] | None = None) -> list[RunId]:
    """The runs in which a case has a factor other than 0, itself first."""
    every = truss.loads.runs
    return [run for run, factors in every.items() if factors.get(case) and (runs is None or run in runs)]


def targets(truss: Truss, on: Target) -> list[MemberId]:
    """The sticks that a load acts on."""
    if on.member is not None:
        return [on.member]
    return [name for name, member in truss.members.items() if member.role == on.role]


def stick_length(truss: Truss, member: MemberId) -> float:
    """Length along a stick, arcs along their curve."""
    return sum(segment_length(truss, segment) for segment in truss.segments if segment.member == member)


def along(truss: Truss, name: MemberId, place: JointId | float) -> float:
    """How far along its stick a joint of it or a distance lies."""
    if not isinstance(place, str):
        return min(place, stick_length(truss, name))
    gone = 0.0
    for segment in truss.segments:
        if segment.member == name:
            if segment.first == place:
                break
            gone += segment_length(truss, segment)
    return gone


def _troubles(truss: Truss, idealised: Idealised, load: Load) -> Iterator[Trouble]:
    match load:
        case JointLoad():
            yield from _moment(idealised, load)
        case LineLoad():
            if load.direction == "across" and load.per == "plan":
                yield (
                    "plan-load-across",
                    (),
                    "A load across a stick is given per plan length, which has no meaning.",
                    "Give it per length of the stick (`slope`), or as `down` or `right`.",
                )
            yield from _off_stick(truss, load.on, load.start, load.end)
        case PointLoad():
            yield from _off_stick(truss, load.on, load.at, load.at)
        case SelfWeight():
            yield from _weightless(truss, load)
        case SupportMovement():
            yield from _unheld(truss, load)
        case Warmer():
            yield from _without(truss, targets(truss, load.on), "warmth-without-expansion")
        case _:
            return


def _moment(idealised: Idealised, load: JointLoad) -> Iterator[Trouble]:
    if load.moment == 0 or load.joint in idealised.shared:
        return
    why = (
        "in `pinned` nothing bends"
        if idealised.idealisation == "pinned"
        else "every stick turns freely there: nothing shares the joint's rotation"
    )
    yield (
        "moment-on-hinge",
        (pointer("joints", load.joint),),
        f"A moment acts on {load.joint}, but {why}.",
        "Give the pair of forces that makes it, or say which stick runs through the joint or is fixed there.",
    )


def _off_stick(
    truss: Truss, on: Target, start: JointId | float | None, end: JointId | float | None
) -> Iterator[Trouble]:
    for name in targets(truss, on):
        through = truss.members[name].through
        for place in dict.fromkeys((start, end)):
            if isinstance(place, str) and place not in through:
                yield _off(name, f"A load is placed at {place}, which {name} does not run through.")
        total = stick_length(truss, name)
        for place in dict.fromkeys((start, end)):
            if isinstance(place, (int, float)) and not -ON_STICK * total <= place <= (1 + ON_STICK) * total:
                yield _off(
                    name,
                    f"A load is placed {length(place, truss.units)} along {name}, which is only "
                    f"{length(total, truss.units)} long.",
                )


def _off(member: MemberId, says: str) -> Trouble:
    return (
        "load-off-stick",
        (pointer("members", member),),
        says,
        "Give a joint of the stick, or a distance along it from its first joint.",
    )


def _weightless(truss: Truss, load: SelfWeight) -> Iterator[Trouble]:
    return _without(truss, list(truss.members) if load.of == "all" else list(load.of), "weight-without-density")


def _without(truss: Truss, members: list[MemberId], code: str) -> Iterator[Trouble]:
    """What lacks density or expansion: members without material, then materials without the value."""
    weight = code == "weight-without-density"
    what = "density" if weight else "thermal expansion"
    bare = [name for name in members if truss.members[name].material is None]
    records: dict[MaterialId, list[MemberId]] = {}
    for name in members:
        material, record = truss.members[name].material, truss.material_of(name)
        if material is None or record is None:
            continue
        if (record.density if weight else record.expansion) is None:
            records.setdefault(material, []).append(name)
    load = "Self-weight" if weight else "Warmth"
    if bare:
        yield (
            code,
            tuple(pointer("members", name) for name in bare),
            f"{load} is asked for, but {listed(bare)} {'has' if len(bare) == 1 else 'have'} no material.",
            f"Name a material with its {what}.",
        )
    for material, names in records.items():
        yield (
            code,
            (pointer("materials", material), *(pointer("members", name) for name in names)),
            f"{load} is asked for, but the material {material} of {listed(names)} has no {what}.",
            f"State the {what} of {material}.",
        )


def _unheld(truss: Truss, load: SupportMovement) -> Iterator[Trouble]:
    support = truss.supports.get(load.support)
    held: set[str] = set()
    if support is not None:
        held = {hold for hold in support.holds if isinstance(hold, str)} | set(support.springs)
        if any(isinstance(hold, tuple) for hold in support.holds):
            held |= {"x", "y"}
    loose = [direction for direction in load.moves if direction not in held]
    if loose:
        yield (
            "movement-not-held",
            (pointer("supports", load.support),),
            f"The bearing at {load.support} is moved in {listed(loose)}, which it does not hold.",
            "Move only what is held; say what the bearing holds if this is wrong.",
        )
