"""From a drawing to trusses: the steps in order, each told.

linework, scale -> sift -> heal -> parts -> recognise -> labels, supports, basis -> truss documents.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.drawing.heal.axes import axes_of
from trussio.drawing.heal.joining import joined_sticks
from trussio.drawing.heal.reach import reach_of
from trussio.drawing.heal.steps import healed
from trussio.drawing.recognise.assemble import parts_of
from trussio.drawing.recognise.frame import frames
from trussio.drawing.recognise.judging import judged
from trussio.drawing.recognise.labels import placed_labels, size_labels
from trussio.drawing.recognise.supports import supports_of
from trussio.errors import UnreadableError
from trussio.model.change import Assumption, Change, Question, Source
from trussio.model.truss import Truss
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.joining import Sticks
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.labels import Label
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Linework, Scale
    from trussio.model.basis import Basis
    from trussio.model.truss import JointId, MemberId
    from trussio.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What a drawing was read as.

    `trusses` in the order of the sheet, each with its own source, changes and assumptions; `changes` and
    `questions` are those of the whole drawing, their places in base lengths of the drawing's plane.
    """

    trusses: tuple[Truss, ...]
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]


@dataclass(frozen=True, kw_only=True)
class Origin:
    """What the source of a truss says of its drawing."""

    name: str
    digest: str
    scale: str


def read_linework(
    linework: Linework, scale: Scale, *, digest: str, basis: Basis | None = None, part: int | None = None
) -> Reading:
    """Trusses from linework whose scale is settled."""
    units = system_of(scale, basis)
    inch = 1.0 if units == "us" else MM_PER_INCH
    factor = scale.inches * inch
    labels = size_labels(linework.texts, factor)
    axes = axes_of(linework.strokes, factor)
    if not len(axes):
        raise _no_truss(linework)
    reach = reach_of(axes, inch=inch, depths=[float(label.size.depth) * inch for label in labels])
    made = healed(axes, reach)
    sticks, dissolved = joined_sticks(made.net, made.contacts, reach)
    found = judged(frames(sticks))
    if not found.trusses:
        raise _no_truss(linework)
    changes = [*linework.changes, *scale.changes, *made.changes, *dissolved]
    origin = Origin(name=linework.name, digest=digest, scale=scale.says)
    trusses, questions = [], [*linework.questions, *scale.questions]
    for truss in found.trusses:
        document, more, asked = _document(truss, sticks, labels, reach, units, basis, origin, changes)
        trusses.append(document)
        changes = [*changes, *more]
        questions += asked
    return Reading(trusses=tuple(trusses), changes=tuple(changes), questions=tuple(questions))


def system_of(scale: Scale, basis: Basis | None) -> UnitSystem:
    """The unit system of the document: that of the basis, else that of the drawing's unit."""
    if basis is not None and basis.units is not None:
        return basis.units
    return "si" if any(word in scale.unit for word in ("mm", "millimet", "cent", "cm", "met")) else "us"


def _no_truss(linework: Linework) -> UnreadableError:
    return UnreadableError(
        "no-truss",
        where=linework.name,
        what="No part of the drawing has two chords with members between them.",
        do="Give a drawing of the truss in elevation, or say which layers hold it.",
    )


def _document(
    truss: Recognised,
    sticks: Sticks,
    labels: Sequence[Label],
    reach: Reach,
    units: UnitSystem,
    basis: Basis | None,
    origin: Origin,
    changes: Sequence[Change],
) -> tuple[Truss, list[Change], list[Question]]:
    """One truss document."""
    labelled, unplaced, asked = placed_labels(truss, labels, reach)
    parts = parts_of(truss, labelled, basis, units)
    supports, standing, about = supports_of(truss, basis)
    assumptions = _numbered([*standing, *parts.assumptions])
    document = Truss(
        title=basis.title if basis is not None and basis.title else origin.name.rsplit(".", 1)[0],
        units=units,
        joints=parts.joints,
        members=parts.members,
        supports=supports,
        sections=parts.sections,
        materials={} if basis is None else dict(basis.materials),
        loads=parts.loads,
        assumptions=assumptions,
        source=Source(
            drawing=origin.name,
            digest=origin.digest,
            scale=origin.scale,
            joints=_joint_handles(truss, sticks),
            members=_member_handles(truss, sticks),
            changes=tuple([*changes, *unplaced]),
        ),
    )
    return document, unplaced, [*asked, *about, *parts.questions]


def _numbered(assumptions: Sequence[Assumption]) -> dict[str, Assumption]:
    return {f"a{number}": assumption for number, assumption in enumerate(assumptions, start=1)}


def _member_handles(truss: Recognised, sticks: Sticks) -> dict[MemberId, tuple[str, ...]]:
    return {
        name: tuple(dict.fromkeys(handle for stick in part.sticks for handle in sticks.handles[stick.number]))
        for name, part in truss.members.items()
    }


def _joint_handles(truss: Recognised, sticks: Sticks) -> dict[JointId, tuple[str, ...]]:
    at: dict[int, list[str]] = {}
    for stick in truss.frame.sticks:
        for node in stick.through:
            at.setdefault(node, []).extend(sticks.handles[stick.number])
    return {name: tuple(dict.fromkeys(at[node])) for name, node in truss.joints.items()}


