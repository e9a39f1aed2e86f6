"""Segments that the survey found worn: their checks made on what is left of the section.

What is left over a stretch is taken as left over the whole segment, for strength and for buckling: too little
rather than too much, with the values and size factors of the whole piece. That its centroid has moved is in the
moments already. What is left as a bare area has no
width and depth, and is open.
Source: statics; common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.model.truss import SectionId
from trussio.timber.european_checks import MM
from trussio.timber.stock import INCH, Stock, ply_size
from trussio.timber.working import not_evaluated

if TYPE_CHECKING:
    from trussio.model.check import Check
    from trussio.model.condition import Worn
    from trussio.model.truss import Segment
    from trussio.timber.bench import Bench

LEFT: Final = SectionId(":left")
"""No section of a document has a colon in its id."""
OVER_ALL: Final = "section lost, taken as lost over the whole segment: {} is left of each ply"
ONLY_AREA: Final = "what is left of the section is stated as an area: enter what is gone of its width and depth"


def worn_stretches(bench: Bench, segment: Segment) -> tuple[Worn, ...]:
    """The worn stretches that reach into a segment."""
    worn = bench.truss.members[segment.member].worn
    if not worn:
        return ()
    before = [one for one in bench.truss.segments if one.member == segment.member and one.index < segment.index]
    start = sum(bench.lengths[one.id].panel for one in before)
    end = start + bench.lengths[segment.id].panel
    return tuple(one for one in worn if one.start < end and start < one.end)


def worn_checks(bench: Bench, segment: Segment, worn: tuple[Worn, ...]) -> list[Check]:
    """The checks of a segment on the section that each of its worn stretches leaves."""
    return [check for one in worn for check in _checks(bench, segment, one)]


def _checks(bench: Bench, segment: Segment, one: Worn) -> list[Check]:
    truss, member = bench.truss, bench.truss.members[segment.member]
    left = replace(
        truss,
        sections={**truss.sections, LEFT: one.section},
        members={**truss.members, segment.member: replace(member, section=LEFT)},
    )
    section = one.section
    if section.width is None or section.depth is None:
        of = Subject(element=segment.id)
        return [not_evaluated(what="worn section", clause="NDS-2018 3.1.2", of=of, reason=ONLY_AREA)]
    whole = bench.stock(segment.member)
    inch = INCH[truss.units] if isinstance(whole, Stock) else MM[truss.units]
    breadth, depth, plies = ply_size(section, section.width, section.depth)
    sizes = (breadth * inch, depth * inch)
    stock = replace(whole, breadth=sizes[0], depth=sizes[1], plies=plies, graded=(whole.breadth, whole.depth))
    try:
        checks = bench.with_left(left, segment.member, stock).checks(segment, stock)
    except UsageError as fault:
        of = Subject(element=segment.id)
        return [not_evaluated(what="worn section", clause="NDS-2018 3.1.2", of=of, reason=str(fault))]
    unit = "in." if truss.units == "us" else "mm"
    remark = OVER_ALL.format(f"{section.width:g} x {section.depth:g} {unit}")
    return [check._replace(remarks=(*check.remarks, remark)) for check in checks]
