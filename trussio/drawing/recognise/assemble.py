"""The truss document's records from what was recognised, with what the basis adds written down as assumptions.

Coordinates are those of the drawing's plane in base lengths, less the place of the left heel, so that B0 lies at
0, 0 wherever the truss stood on the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.recognise.doubts import as_answered, crossing_doubts, free_end_doubts
from trussio.drawing.recognise.joined import fitted_joints
from trussio.drawing.recognise.rods import with_butting, with_rods
from trussio.drawing.recognise.site import fitted_site
from trussio.drawing.recognise.sizing import sized
from trussio.drawing.recognise.supports import supports_of
from trussio.drawing.sizes import read_sizes, section_of
from trussio.model.change import Assumption, Question, Source
from trussio.model.loading import (
    JointLoad,
    LineLoad,
    Loads,
    Longer,
    PointLoad,
    SelfWeight,
    SupportMovement,
    Warmer,
)
from trussio.model.truss import Curve, Joint, Member, SectionId, Truss

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.drawing.answers import Answers
    from trussio.drawing.framework import Framework
    from trussio.drawing.recognise.roles import Part, Recognised
    from trussio.drawing.records import Point
    from trussio.drawing.sizes import SizeLabel
    from trussio.model.basis import Assignment, Basis
    from trussio.model.change import Change
    from trussio.model.loading import Load
    from trussio.model.material import Section
    from trussio.model.truss import JointId, MaterialId, MemberId
    from trussio.units import UnitSystem


DIGITS: Final = 9
"""Decimals of a base length that are written: the rest is the dust of arithmetic."""


@dataclass(frozen=True, kw_only=True)
class Origin:
    """What the source of a truss says of its drawing."""

    name: str
    digest: str
    scale: str


@dataclass(frozen=True, kw_only=True)
class Assembled:
    """One truss document, and what was changed and asked on the way to it, in the drawing's plane.

    `heel` is where its left heel lies, `box` what it covers there.
    """

    truss: Truss
    heel: Point
    box: tuple[float, float, float, float]
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]


def assembled(
    found: Framework,
    truss: Recognised,
    *,
    basis: Basis | None,
    units: UnitSystem,
    origin: Origin,
    answers: Answers,
) -> Assembled:
    """The document of one recognised truss."""
    ends, tails = free_end_doubts(truss, found.reach)
    crossings, joined = crossing_doubts(truss, found.bolted, found.reach)
    truss = as_answered(truss, [*tails, *joined], answers)
    sizes, changes, questions = sized(truss, found.labels, found.evidence.texts, found.reach, answers)
    parts = parts_of(truss, sizes.sizes, basis, units)
    supports, standing, about = supports_of(truss, basis, found.symbols, found.reach, answers)
    fitted = fitted_site(basis, parts.joints, parts.members)
    joined_up = fitted_joints(basis, parts.joints, parts.members)
    members, butting = with_butting(joined_up.members, joined_up.connections)
    stated = (*parts.assumptions, *fitted.assumptions, *joined_up.assumptions, *butting)
    assumed = enumerate([*standing, *stated], start=1)
    document = Truss(
        title=basis.title if basis is not None and basis.title else origin.name.rsplit(".", 1)[0],
        units=units,
        joints=parts.joints,
        members=members,
        supports=supports,
        sections=parts.sections,
        materials={} if basis is None else dict(basis.materials),
        loads=parts.loads,
        site=fitted.site,
        surfaces=dict(fitted.surfaces),
        connections=dict(joined_up.connections),
        assumptions={f"a{number}": assumption for number, assumption in assumed},
        source=Source(
            drawing=origin.name,
            digest=origin.digest,
            scale=origin.scale,
            joints=dict(zip(truss.joints, found.touching.at(truss.joints.values()), strict=True)),
            members={name: truss.handles(part) for name, part in truss.members.items()},
        ),
    )
    return Assembled(
        truss=document,
        heel=truss.heel,
        box=truss.frame.box,
        changes=(*changes, *ends, *crossings),
        questions=(
            *questions,
            *tails,
            *joined,
            *about,
            *parts.questions,
            *fitted.questions,
            *joined_up.questions,
        ),
    )


@dataclass(frozen=True, kw_only=True)
class Parts:
    """Joints, members, sections and loads of a truss, with what was assumed and what must be asked."""

    joints: dict[JointId, Joint]
    members: dict[MemberId, Member]
    sections: dict[SectionId, Section]
    loads: Loads
    assumptions: tuple[Assumption, ...]
    questions: tuple[Question, ...]


def parts_of(
    truss: Recognised, sizes: Mapping[MemberId, SizeLabel], basis: Basis | None, units: UnitSystem
) -> Parts:
    """What the drawing and the basis say together."""
    nodes = np.array(list(truss.joints.values()), dtype=np.intp)
    spots = np.round(truss.frame.places[nodes] - truss.heel, DIGITS) + 0.0
    joints = {joint: Joint(x=x, y=y) for joint, (x, y) in zip(truss.joints, spots.tolist(), strict=True)}
    names = truss.names
    members = {
        name: Member(
            through=tuple([names[node] for node in part.through]),
            role=part.role,
            curve=_curve(truss, part) if part.turn else None,
        )
        for name, part in truss.members.items()
    }
    members, sections, sized = _with_sections(members, sizes, basis, units)
    members, made = _with_materials(members, basis)
    members, rods = with_rods(members, sections, {} if basis is None else basis.materials)
    loads, asked = _loads(joints, members, basis)
    loaded = [] if basis is None or basis.loads is None else [_loads_assumed(basis)]
    return Parts(
        joints=joints,
        members=members,
        sections=sections,
        loads=loads,
        assumptions=(*sized, *made, *rods, *loaded),
        questions=tuple(asked),
    )


def _curve(truss: Recognised, part: Part) -> Curve:
    (x, _), (to_x, _) = truss.at(part.through[0]), truss.at(part.through[-1])
    # Turning clockwise from left to right, the arc stands above the line between its ends.
    up = (part.turn < 0) == (to_x > x)
    radius = float(truss.frame.sticks.radius[part.sticks[0]])
    return Curve(radius=round(radius, DIGITS), bows="up" if up else "down")


def _with_sections(
    members: Mapping[MemberId, Member], sizes: Mapping[MemberId, SizeLabel], basis: Basis | None, units: UnitSystem
) -> tuple[dict[MemberId, Member], dict[SectionId, Section], list[Assumption]]:
    """Labels on their members, and sections: by label from the basis, from its sizing, or by role."""
    if not sizes and (basis is None or not basis.members):
        return dict(members), {}, []
    sized = dict(members)
    sections: dict[SectionId, Section] = {}
    rests: dict[str, list[MemberId]] = {}
    for name, member in members.items():
        size = sizes.get(name)
        found = _section(size, member, basis, units)
        label = None if size is None else size.name
        if found is None:
            sized[name] = replace(member, label=label)
            continue
        key, section, why = found
        sections[key] = section
        rests.setdefault(why, []).append(name)
        sized[name] = replace(member, label=label, section=key)
    assumptions = [
        Assumption(
            what=f"Sections of {', '.join(names)}: {why}.",
            rests_on=basis.name if basis is not None else "the drawing",
            touches=tuple(f"/members/{name}/section" for name in names),
        )
        for why, names in rests.items()
    ]
    return sized, dict(sorted(sections.items())), assumptions


def _section(
    size: SizeLabel | None, member: Member, basis: Basis | None, units: UnitSystem
) -> tuple[SectionId, Section, str] | None:
    if basis is None:
        return None
    if size is None:
        by_role = None if member.role is None else basis.members.get(member.role)
        return _assigned(basis, by_role, f"stated for every {member.role} without a label")
    stated = _assigned(basis, _by_label(basis, size.name), "stated for the label that the drawing writes on them")
    if stated is not None:
        return stated
    for key, section in basis.sections.items():
        if _same_label(key, size.name):
            return _as_id(key), section, "by the label that the drawing writes on them"
    made = None if basis.sizing is None else section_of(size, basis.sizing, units)
    return None if made is None else (_as_id(size.name), made, f"nominal labels taken as {basis.sizing} sizes")


def _assigned(basis: Basis, assignment: Assignment | None, why: str) -> tuple[SectionId, Section, str] | None:
    """The section that an assignment names."""
    if assignment is None or assignment.section is None or assignment.section not in basis.sections:
        return None
    return _as_id(assignment.section), basis.sections[assignment.section], why


def _same_label(key: str, name: str) -> bool:
    return key == name or any(size.name == name for size in read_sizes(key))


def _by_label(basis: Basis, name: str) -> Assignment | None:
    return next((assigned for key, assigned in basis.labels.items() if _same_label(key, name)), None)


def _as_id(label: str) -> SectionId:
    """A label as an id, which may hold none of `: / ,` and no quotes."""
    return SectionId("".join("-" if character in ":/,\"'" else character for character in label))


def _with_materials(
    members: Mapping[MemberId, Member], basis: Basis | None
) -> tuple[dict[MemberId, Member], list[Assumption]]:
    if basis is None:
        return dict(members), []
    only = next(iter(basis.materials)) if len(basis.materials) == 1 else None
    made: dict[MemberId, Member] = {}
    stated_for: dict[tuple[MaterialId, str], list[MemberId]] = {}
    alone: list[MemberId] = []
    for name, member in members.items():
        stated, why = _stated_material(member, basis)
        material = stated if stated in basis.materials else only
        made[name] = replace(member, material=material)
        if material is not None and material == stated:
            stated_for.setdefault((material, why), []).append(name)
        elif material is not None:
            alone.append(name)
    assumptions = [
        _material_assumed(f"{', '.join(names)}: {material}, as stated by {why}.", names, basis)
        for (material, why), names in stated_for.items()
    ]
    if alone:
        assumptions.append(
            _material_assumed(f"{', '.join(alone)}: {only}, the only material stated.", alone, basis)
        )
    return made, assumptions


def _stated_material(member: Member, basis: Basis) -> tuple[MaterialId | None, str]:
    """The material that the basis states for a member, by its label or else by its role."""
    by_label = None if member.label is None else _by_label(basis, member.label)
    if by_label is not None and by_label.material is not None:
        return by_label.material, "label"
    by_role = None if member.role is None else basis.members.get(member.role)
    return (None if by_role is None else by_role.material), "role"


def _material_assumed(what: str, names: Iterable[MemberId], basis: Basis) -> Assumption:
    return Assumption(
        what=f"Material of {what}",
        rests_on=basis.name,
        touches=tuple(f"/members/{name}/material" for name in names),
    )


def _loads(
    joints: Mapping[JointId, Joint], members: Mapping[MemberId, Member], basis: Basis | None
) -> tuple[Loads, list[Question]]:
    """The loads of the basis, without those on something that the truss does not have."""
    if basis is None or basis.loads is None:
        return Loads(), []
    cases, questions = {}, []
    for name, case in basis.loads.cases.items():
        kept = [load for load in case.loads if not _strange(load, joints, members)]
        cases[name] = replace(case, loads=tuple(kept))
        questions += [
            Question(
                code="load-without-place",
                asks=f"A load of case {name} acts on {strange}, which the truss lacks. What does it act on?",
                taken="left out",
                settle=f"Correct /loads/cases/{name} in {basis.name}.",
            )
            for load in case.loads
            if (strange := _strange(load, joints, members))
        ]
    return replace(basis.loads, cases=cases), questions


def _strange(load: Load, joints: Mapping[JointId, Joint], members: Mapping[MemberId, Member]) -> str:
    """The first thing a load names that is not there, or an empty text."""
    names: list[tuple[str, bool]] = []
    if isinstance(load, JointLoad):
        names.append((load.joint, load.joint in joints))
    elif isinstance(load, SupportMovement):
        names.append((load.support, load.support in joints))
    elif isinstance(load, SelfWeight):
        names += [] if load.of == "all" else [(member, member in members) for member in load.of]
    elif isinstance(load, (LineLoad, PointLoad, Longer, Warmer)):
        member = load.on.member
        names += [] if member is None else [(member, member in members)]
        names += [(place, place in joints) for place in _places(load) if isinstance(place, str)]
        if member is not None and member in members:
            names += [
                (place, place in members[member].through) for place in _places(load) if isinstance(place, str)
            ]
    return next((name for name, known in names if not known), "")


def _places(load: Load) -> list[object]:
    if isinstance(load, LineLoad):
        return [load.start, load.end]
    return [load.at] if isinstance(load, PointLoad) else []


def _loads_assumed(basis: Basis) -> Assumption:
    return Assumption(what="Loads, cases and combinations as stated.", rests_on=basis.name, touches=("/loads",))
