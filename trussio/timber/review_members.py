"""Every member of a truss in every state of loading: timber by its code, steel as rods, the rest not evaluated.

Source: as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Subject
from trussio.timber.bench import Bench, greatest_axial
from trussio.timber.butts import butt_checks
from trussio.timber.curves import radial_checks, what_is_open
from trussio.timber.holes import net_checks
from trussio.timber.rods import rod_check
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND, PSI
from trussio.timber.working import NOTHING, not_evaluated, stated
from trussio.timber.worn import worn_checks, worn_stretches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.truss import MemberId, Segment

ROOT: Final = "area as stated for the section: at a thread the root counts"
FACTORED: Final = "loads with partial factors against a stated allowable, which holds none"


def member_checks(bench: Bench) -> list[Check]:
    """Every check of every member, in document order."""
    by_member: dict[MemberId, list[Segment]] = {}
    for segment in bench.truss.segments:
        by_member.setdefault(segment.member, []).append(segment)
    checks: list[Check] = []
    for name, segments in by_member.items():
        try:
            checks += _of_stick(bench, name)
            checks += [check for segment in segments for check in _of_segment(bench, segment)]
        except UsageError as fault:
            checks.append(_unknown(bench, segments, str(fault)))
    return checks


def segment_review(bench: Bench, segment: Segment) -> list[Check]:
    """Every check of one segment; none where its member cannot be checked."""
    try:
        return _of_segment(bench, segment)
    except UsageError:
        return []


def _of_stick(bench: Bench, name: MemberId) -> list[Check]:
    """What is open for a whole stick. Raises UsageError where it cannot be checked at all."""
    if _is_steel(bench, name):
        return []
    stock, reason = bench.stock(name), what_is_open(bench, name)
    of = Subject(element=f"/members/{name}", grade=stock.name)
    open_one = not_evaluated(what="curvature", clause="NDS-2018 5.3.8, 5.4.1", of=of, reason=reason)
    return [open_one] if reason else []


def _of_segment(bench: Bench, segment: Segment) -> list[Check]:
    """A rod of steel, or timber. Raises UsageError where what it is made of is not known."""
    if _is_steel(bench, segment.member):
        return _rods(bench, segment)
    worn = worn_stretches(bench, segment)
    whole = bench.stock(segment.member)
    checks = worn_checks(bench, segment, worn) if worn else bench.checks(segment, whole)
    return [
        *checks,
        *radial_checks(bench, segment),
        *net_checks(bench, segment),
        *butt_checks(bench, segment),
    ]


def _is_steel(bench: Bench, name: MemberId) -> bool:
    material = bench.truss.material_of(name)
    return material is not None and material.kind == "steel"


def _unknown(bench: Bench, segments: Sequence[Segment], reason: str) -> Check:
    """One check for a member that cannot be checked, with the greatest force that it must carry."""
    demand, run = greatest_axial(bench, segments)
    of = Subject(element=f"/members/{segments[0].member}", run=run)
    unit = "lbf" if bench.truss.units == "us" else "N"
    return not_evaluated(what="member", clause="", of=of, demand=demand or NOTHING, unit=unit, reason=reason)


def _rods(bench: Bench, segment: Segment) -> list[Check]:
    """A steel segment as a rod: tension on the stated area against the allowable tension stated as Ft."""
    name, units = segment.member, bench.truss.units
    section, material = bench.truss.section_of(name), bench.truss.material_of(name)
    area = None if section is None else section.gross_area
    if area is None or material is None:
        raise UsageError(
            "value-missing",
            where="section",
            what="the area of this steel stick is not given.",
            do="Enter the area at the root of its thread.",
        )
    allowable = (material.reference or {}).get("Ft")
    source = material.source or "stated in the document"
    stress = None if allowable is None else stated("F", allowable * PSI[units], "psi", source)
    grade = material.grade or "steel"
    return [
        rod_check(
            force=_not_noise(bench.forces(state.run, segment.id).axial * POUND[units]),
            area=area * INCH[units] ** 2,
            allowable=stress,
            of=Subject(segment.id, state.run, grade, (ROOT, FACTORED) if state.factored else (ROOT,)),
        )
        for state in bench.states
    ]


def _not_noise(force: float) -> float:
    """A force in lbf, none where it is too small to be more than rounding."""
    return 0.0 if abs(force) <= FLOOR else force
