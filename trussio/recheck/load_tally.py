"""Generated load cases tallied again: from site, surfaces and geometry, by intensity times area.

Each case is added up twice. Once as the document has it: what its loads bring to the joints, by the recheck's own
reading. Once from what generated it: figures of `snow_rules` or `eurocode_rules` over the line of the roof, area
loads of surfaces times the length of their sticks, what hangs, and the volume of the sticks. The two must agree in
their sum and in where that acts; a case whose rule is not there cannot be told.
"""

from __future__ import annotations

from itertools import pairwise
from math import asin, hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import CannotAnalyseError
from trussio.model.check_record import LoadCheck, Total
from trussio.model.generated import edited
from trussio.model.truss import JointId
from trussio.recheck.applied import applied_forces
from trussio.recheck.eurocode_rules import eurocode_figures
from trussio.recheck.roof import roof_of
from trussio.recheck.snow_rules import asce_figures
from trussio.units import WEIGHT_DENSITY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.loading import RunId
    from trussio.model.site import Site, Surface
    from trussio.model.truss import Json, MemberId, Segment, Truss
    from trussio.recheck.snow_rules import Figure

    Share = tuple[float, float]
    """A weight, and the x at which it acts."""

PSF: Final = {"us": 1.0, "si": 0.45359237 * 9.80665 * 1000 / 304.8**2}
"""One psf in the document's unit of area load."""
KPA: Final = {"us": 304.8**2 / (0.45359237 * 9.80665 * 1000), "si": 1.0}
METRE: Final = {"us": 1000 / 25.4, "si": 1000.0}
FORCE: Final = {"us": 1 / 144, "si": 1e-3}
"""Force of one unit of area load on a base area."""
FOOT: Final = {"us": 12.0, "si": 304.8}
WITHIN: Final = 1e-6
"""Part of a total, and of the width of the truss, by which two tallies may differ."""


NO_LINE: Final = "The sticks under snow make no line from eave to eave."
NO_RULE: Final = "The rule of this case is not tallied a second time."


def tallied(truss: Truss) -> dict[RunId, LoadCheck]:
    """What the second tally says of every generated case; empty where none was generated."""
    basis, site = truss.loads.basis, truss.site
    if basis is None or site is None:
        return {}
    found, changed = {}, edited(truss.loads)
    for run, told in basis.cases.items():
        if run not in truss.loads.cases:
            says = "It was generated and is gone from the document."
            found[run] = LoadCheck(stated=None, tallied=None, verdict="disagrees", says=says)
            continue
        try:
            stated = _stated(truss, run)
        except CannotAnalyseError as error:
            found[run] = LoadCheck(stated=None, tallied=None, verdict="cannot tell", says=error.what)
            continue
        shares = _shares(truss, site, run, told.pattern)
        if isinstance(shares, str):
            found[run] = LoadCheck(stated=stated, tallied=None, verdict="cannot tell", says=shares)
        else:
            found[run] = _compared(truss, stated, _total(shares))
            if run in changed and found[run].verdict == "disagrees":
                found[run] = found[run]._replace(says=f"{found[run].says} It was edited after it was generated.")
    return found


def _total(shares: list[Share]) -> Total:
    weight = sum(force for force, _ in shares)
    return Total(down=weight, at=sum(force * x for force, x in shares) / weight if weight else None)


def _stated(truss: Truss, run: RunId) -> Total:
    """A case as its loads stand in the document."""
    forces = applied_forces(truss, [run])[run]
    down = -sum(up for _, up in forces.values())
    places = ((truss.joints[joint], right, up) for joint, (right, up) in forces.items())
    turned = sum(place.y * right - place.x * up for place, right, up in places)
    return Total(down=down, at=turned / down if down else None)


def _compared(truss: Truss, stated: Total, again: Total) -> LoadCheck:
    xs = [joint.x for joint in truss.joints.values()]
    width = max(xs) - min(xs)
    sums = abs(stated.down - again.down) <= WITHIN * max(abs(stated.down), abs(again.down))
    apart = 0.0 if stated.at is None or again.at is None else abs(stated.at - again.at)
    if sums and apart <= WITHIN * width:
        return LoadCheck(stated=stated, tallied=again, verdict="agrees", says="Sum and place agree.")
    told = []
    if not sums:
        factor = f"{stated.down / again.down:.4g} times" if again.down else "more than"
        told.append(f"the loads of the case are {factor} what site and surfaces give")
    if apart > WITHIN * width:
        told.append(f"their resultant lies {apart / width:.3g} of the width away from where it should")
    said = " and ".join(told)
    return LoadCheck(stated=stated, tallied=again, verdict="disagrees", says=f"{said[0].upper()}{said[1:]}.")


def _shares(truss: Truss, site: Site, run: RunId, pattern: str) -> list[Share] | str:
    """A case from what generated it, or why that cannot be told."""
    if pattern in {"dead", "live"}:
        return _standing(truss, site, pattern)
    if pattern == "panel-load":
        joint = truss.joints.get(JointId(run.removeprefix("P-")))
        return "Its panel point is not known." if joint is None else [(site.panel_load or 0.0, joint.x)]
    roof = roof_of(truss)
    if roof is None:
        return NO_LINE
    european = site.edition == "en1991"
    try:
        if european:
            figures = eurocode_figures(run, roof, site, kpa=KPA[truss.units], metre=METRE[truss.units])
        else:
            figures = asce_figures(run, roof, site, psf=PSF[truss.units], foot=FOOT[truss.units])
    except (LookupError, ValueError):
        return "The site says what the second tally does not know."
    unit = site.spacing * FORCE[truss.units] * (KPA if european else PSF)[truss.units]
    return NO_RULE if figures is None else [(force * unit, x) for one in figures for force, x in _areas(one)]


def _areas(psf: Figure) -> Iterator[Share]:
    """Trapezes under a figure, each as two triangles."""
    for (x0, load0), (x1, load1) in pairwise(psf):
        yield load0 * (x1 - x0) / 2, x0 + (x1 - x0) / 3
        yield load1 * (x1 - x0) / 2, x1 - (x1 - x0) / 3


def _standing(truss: Truss, site: Site, pattern: str) -> list[Share] | str:
    """Dead or live load: area loads of surfaces, what hangs, and the sticks' own weight."""
    unit = site.spacing * FORCE[truss.units]
    shares = [
        (load.value * unit * long, x)
        for surface in truss.surfaces.values()
        for load in ((surface.dead if pattern == "dead" else surface.live) or {}).values()
        for long, x in _lengths(truss, surface, plan=load.per == "plan")
    ]
    for hung in (site.hung or {}).values():
        if (hung.kind or "dead") == pattern:
            place = _place(truss, hung.member, hung.joint if hung.at is None else hung.at)
            if place is None:
                return "Something hangs from a place on an arc, which is not tallied a second time."
            shares.append((hung.weight, place))
    if pattern == "dead" and site.self_weight is not False:
        for segment in truss.segments:
            section, material = truss.section_of(segment.member), truss.material_of(segment.member)
            area = None if section is None else section.gross_area
            density = None if material is None else material.density
            if area is None or density is None:
                return f"{segment.member} has no area or no density."
            long, x = _length(truss, segment)
            shares.append((area * density * WEIGHT_DENSITY[truss.units] * long, x))
    return shares


def _lengths(truss: Truss, surface: Surface, *, plan: bool) -> Iterator[Share]:
    for segment in truss.segments:
        if segment.member == surface.member or (
            surface.member is None and truss.members[segment.member].role == surface.role
        ):
            first, last = truss.joints[segment.first].x, truss.joints[segment.last].x
            yield (abs(last - first), (first + last) / 2) if plan else _length(truss, segment)


def _length(truss: Truss, segment: Segment) -> Share:
    """Length along the axis, and x of its centroid: off the middle of the chord by the rise of the arc there."""
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    dx, dy = last.x - first.x, last.y - first.y
    chord, middle = hypot(dx, dy), (first.x + last.x) / 2
    curve = truss.members[segment.member].curve
    if curve is None:
        return chord, middle
    half = asin(min(1.0, chord / 2 / curve.radius))
    off = curve.radius * (chord / (2 * curve.radius * half) - (1 - (chord / 2 / curve.radius) ** 2) ** 0.5)
    left = (curve.bows == "up") == (dx > 0)
    return 2 * curve.radius * half, middle + (-dy if left else dy) / chord * off


def _place(truss: Truss, member: MemberId | None, at: Json | None) -> float | None:
    """The x of a joint, or of a distance along a straight stick."""
    if isinstance(at, str):
        joint = next((one for name, one in truss.joints.items() if name == at), None)
        return None if joint is None else joint.x
    if member is None or not isinstance(at, (int, float)) or truss.members[member].curve is not None:
        return None
    for segment in truss.segments:
        if segment.member == member:
            long, _ = _length(truss, segment)
            if at <= long * (1 + WITHIN):
                first, last = truss.joints[segment.first].x, truss.joints[segment.last].x
                return first + (last - first) * at / long
            at -= long
    return None
