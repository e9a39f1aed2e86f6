"""What is left of sections that have lost something: smaller rectangles whose centroids have moved."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from trussio.model.condition import Lost, LostSection, Worn
from trussio.model.material import Section

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.analysis.stick_parts import Stick
    from trussio.model.condition import Condition, Left
    from trussio.model.truss import Truss

WHOLE = 1e-6
"""A stretch that leaves no more than this part of the stick at its ends is the whole stick."""


class Remains(NamedTuple):
    """The section of a whole stick where all of it has lost some, None where not, and the stretches that have."""

    section: tuple[str, Section] | None
    worn: tuple[Worn, ...]


def remains(truss: Truss, stick: Stick, entries: Mapping[str, Condition]) -> Remains:
    """What is left of a stick's section; the name of a section is that of the entry that makes it."""
    through, length = truss.members[stick.name].through, stick.places[-1]
    whole, worn = None, []
    for name, one in entries.items():
        if not isinstance(one, LostSection):
            continue
        places = [
            absent if at is None else stick.places[through.index(at)] if isinstance(at, str) else at
            for at, absent in ((one.start, 0.0), (one.end, length))
        ]
        section, shift = left_of(truss.section_of(stick.name), one.what)
        everywhere = places[0] <= WHOLE * length and places[1] >= (1 - WHOLE) * length
        if everywhere:
            whole = (name, section)
        if not everywhere or shift:
            worn.append(Worn(start=places[0], end=places[1], section=section, shift=shift))
    return Remains(whole, tuple(sorted(worn, key=lambda stretch: stretch.start)))


def left_of(section: Section | None, what: Lost | Left) -> tuple[Section, float]:
    """The section that is left, and how far its centroid has moved towards +y."""
    whole = section or Section()
    if not isinstance(what, Lost):
        left = Section(area=what.area, inertia=what.inertia, label=whole.label)
        return replace(left, shear_area=_shared(whole, left)), what.shift
    depth, width = whole.depth or 0.0, whole.width or 0.0
    left = replace(
        whole,
        depth=depth - what.plus_y - what.minus_y,
        width=width - what.width,
        plies=whole.plies - what.plies,
    )
    return replace(left, shear_area=_shared(whole, left)), (what.minus_y - what.plus_y) / 2


def _shared(whole: Section, left: Section) -> float | None:
    """The area left for shear, in the proportion of the areas."""
    if whole.shear_area is None or not whole.gross_area or not left.gross_area:
        return None
    return whole.shear_area * left.gross_area / whole.gross_area


def within(worn: Sequence[Worn], start: float, end: float) -> tuple[Worn, ...]:
    """The stretches on a part of a stick, measured from where the part begins."""
    return tuple(
        replace(one, start=max(one.start, start) - start, end=min(one.end, end) - start)
        for one in worn
        if one.start < end and start < one.end
    )
