"""Every member of a truss in every state of loading: timber by its code, steel as rods, the rest not evaluated.

Source: as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Subject
from trussio.timber.bench import Bench, greatest_axial
from trussio.timber.rods import rod_check
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND, PSI
from trussio.timber.working import NOTHING, not_evaluated, stated

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.truss import MemberId, Segment

ROOT: Final = "area as stated for the section: at a thread the root counts"
CURVED: Final = (
    "the stick is curved and the document does not say how it was bent: enter laminations or sawn shape; "
    "curvature factor and radial stress are open"
)


def member_checks(bench: Bench) -> list[Check]:
    """Every check of every member, in document order."""
    by_member: dict[MemberId, list[Segment]] = {}
    for segment in bench.truss.segments:
        by_member.setdefault(segment.member, []).append(segment)
    checks: list[Check] = []
    for name, segments in by_member.items():
        material = bench.truss.material_of(name)
        if material is not None and material.kind == "steel":
            checks += _rods(bench, segments)
            continue
        try:
            stock = bench.stock(name)
        except UsageError as fault:
            checks.append(_unknown(bench, segments, str(fault)))
            continue
        if bench.truss.members[name].curve is not None:
            of = Subject(element=f"/members/{name}", grade=stock.name)
            checks.append(not_evaluated(what="curvature", clause="NDS-2018 5.3.8", of=of, reason=CURVED))
        for segment in segments:
            checks += bench.checks(segment, stock)
    return checks


def _unknown(bench: Bench, segments: Sequence[Segment], reason: str) -> Check:
    """One check for a member that cannot be checked, with the greatest force that it must carry."""
    demand, run = greatest_axial(bench, segments)
    of = Subject(element=f"/members/{segments[0].member}", run=run)
    unit = "lbf" if bench.truss.units == "us" else "N"
    return not_evaluated(what="member", clause="", of=of, demand=demand or NOTHING, unit=unit, reason=reason)


def _rods(bench: Bench, segments: Sequence[Segment]) -> list[Check]:
    """Steel sticks as rods: tension on the stated area against the allowable tension stated as Ft."""
    name, units = segments[0].member, bench.truss.units
    section, material = bench.truss.section_of(name), bench.truss.material_of(name)
    area = None if section is None else section.gross_area
    if area is None or material is None:
        reason = "the area of this steel stick is not given: enter the area at the root of its thread"
        return [_unknown(bench, segments, reason)]
    allowable = (material.reference or {}).get("Ft")
    source = material.source or "stated in the document"
    stress = None if allowable is None else stated("F", allowable * PSI[units], "psi", source)
    grade = material.grade or "steel"
    return [
        rod_check(
            force=_not_noise(bench.forces(state.run, segment.id).axial * POUND[units]),
            area=area * INCH[units] ** 2,
            allowable=stress,
            of=Subject(element=segment.id, run=state.run, grade=grade, remarks=(ROOT,)),
        )
        for segment in segments
        for state in bench.states
    ]


def _not_noise(force: float) -> float:
    """A force in lbf, none where it is too small to be more than rounding."""
    return 0.0 if abs(force) <= FLOOR else force
