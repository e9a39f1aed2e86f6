"""From a drawing to trusses: the steps in order, each telling what it did and what it must ask.

linework, scale -> sift -> heal -> parts -> recognise -> labels, supports, basis -> truss documents.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from trussio.collector import collector_paused
from trussio.drawing.answers import NO_ANSWERS
from trussio.drawing.hidden import shown_framework
from trussio.drawing.linework import read_linework
from trussio.drawing.loading import load_drawing
from trussio.drawing.recognise.assemble import Assembled, Origin, assembled
from trussio.drawing.recognise.placing import Placement, Told, near
from trussio.drawing.recognise.several import picked
from trussio.drawing.scale import find_scale
from trussio.drawing.settled import open_questions, with_origin
from trussio.drawing.turning import turned_places
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from trussio.drawing.answers import Answers
    from trussio.drawing.loading import Loaded
    from trussio.drawing.recognise.placing import Box
    from trussio.drawing.records import Linework, Scale
    from trussio.model.basis import Basis
    from trussio.model.change import Change, Question
    from trussio.model.truss import Truss
    from trussio.units import UnitSystem

METRIC = frozenset({"mm", "cm", "dm", "m", "dam", "hm", "km", "micron"})


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What a drawing was read as.

    `trusses` come in the order of the sheet, from the left and from above; `placements` say where each lies on
    it. `changes` and `questions` are those of the whole drawing, each with its place in the coordinates of the
    truss that it belongs to; what belongs to none counts to the first. `questions` are the open ones.
    """

    trusses: tuple[Truss, ...]
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]
    placements: tuple[Placement, ...]
    linework: Linework
    scale: Scale


def read_drawing(
    source: Path | str | bytes,
    *,
    basis: Basis | None = None,
    units: str | None = None,
    scale: float | None = None,
    part: int | None = None,
    layers: Mapping[str, str] | None = None,
    answers: Answers = NO_ANSWERS,
) -> Reading:
    """The trusses of a drawing.

    `units` and `scale` are the user's words for the scale; `part` picks one of several trusses, counting from 1;
    `layers` says by name of a layer what lies on it (`member`, `ignore`, or the role of its members: `top chord`,
    `bottom chord`, `web`, `other`); `answers` are the surveyor's.

    Raises UnreadableError for a drawing that cannot be read or holds no truss, UsageError for a word that has no
    meaning.
    """
    with collector_paused():
        loaded = load_drawing(source)
        return read_loaded(
            loaded, basis=basis, units=units, scale=scale, part=part, layers=layers, answers=answers
        )


def read_loaded(
    loaded: Loaded,
    *,
    basis: Basis | None = None,
    units: str | None = None,
    scale: float | None = None,
    part: int | None = None,
    layers: Mapping[str, str] | None = None,
    answers: Answers = NO_ANSWERS,
) -> Reading:
    """The trusses of a drawing that is in memory."""
    linework = read_linework(loaded, sheet=answers.sheet, hidden=answers.hidden, up=answers.up)
    said = units or (basis.drawing_unit if basis else None)
    settled = find_scale(linework, units=said, scale=scale, answered=answers.unit)
    return read_settled(
        linework, settled, digest=loaded.digest, basis=basis, part=part, layers=layers, answers=answers
    )


def read_settled(
    linework: Linework,
    scale: Scale,
    *,
    digest: str,
    basis: Basis | None = None,
    part: int | None = None,
    layers: Mapping[str, str] | None = None,
    answers: Answers = NO_ANSWERS,
) -> Reading:
    """The trusses of linework whose scale is settled."""
    system = system_of(linework, scale, basis)
    inch = 1.0 if system == "us" else MM_PER_INCH
    factor = scale.inches * inch
    with collector_paused():
        found = shown_framework(linework, factor=factor, inch=inch, layers=layers or {}, answers=answers)
        picks, listed, several = picked(found.trusses, found.more, found.evidence.texts, part, answers)
        origin = Origin(name=linework.name, digest=digest, scale=scale.says)
        made = [
            assembled(found, truss, basis=basis, units=system, origin=origin, answers=answers) for truss in picks
        ]
        said = turned_places((*linework.changes, *scale.changes), found.angle)
        open_ = turned_places((*linework.questions, *scale.questions), found.angle)
        changes = [*_scaled(said, factor), *found.changes, *listed]
        asked = [*_scaled(open_, factor), *found.questions]
        boxes = [truss.frame.box for truss in found.trusses]
        placements = tuple(Placement(heel=one.heel, angle=found.angle, factor=factor) for one in made)
        told = [
            _own(one, place, changes, [*asked, *several], boxes, first=number == 0)
            for number, (one, place) in enumerate(zip(made, placements, strict=True))
        ]
        return Reading(
            trusses=tuple(with_origin(one.truss, one.changes, one.questions, answers) for one in told),
            changes=tuple(change for one in told for change in one.changes),
            questions=open_questions([asked for one in told for asked in one.questions], answers),
            placements=placements,
            linework=linework,
            scale=scale,
        )


def _own(
    made: Assembled,
    place: Placement,
    changes: Sequence[Change],
    asked: Sequence[Question],
    boxes: Sequence[Box],
    *,
    first: bool,
) -> Assembled:
    """One truss with all that belongs to it told in its own coordinates; `boxes` are those of all trusses."""
    return replace(
        made,
        changes=tuple(place.told([*near(changes, made.box, boxes, first=first), *made.changes])),
        questions=tuple(place.told([*near(asked, made.box, boxes, first=first), *made.questions])),
    )


def system_of(linework: Linework, scale: Scale, basis: Basis | None) -> UnitSystem:
    """The unit system of the document: that of the basis, else that of the drawing's unit."""
    if basis is not None and basis.units is not None:
        return basis.units
    if scale.unit.split()[0] == "unit" and linework.header.measurement is not None:
        return "si" if linework.header.measurement == 1 else "us"
    return "si" if scale.unit.split()[0] in METRIC else "us"


def _scaled(things: Iterable[Told], factor: float) -> list[Told]:
    """Changes or questions of the linework with their places in base lengths."""
    return [
        thing if thing.where is None else replace(thing, where=(thing.where[0] * factor, thing.where[1] * factor))
        for thing in things
    ]
