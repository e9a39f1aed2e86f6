"""Stretches of a truss as found where section is lost, and loads on sticks whose axes end beside their joints.

What is left of a section has a softness of its own, and an axis through its own centroid: an axial force bends the
stick there by its distance from the axis of the whole.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from trussio.model.condition import Worn
    from trussio.model.truss import MemberId, Truss
    from trussio.recheck.axes import Axes
    from trussio.recheck.placing import Placed


class Stretch(NamedTuple):
    """Part of a segment, from `start` to `end` along it; `shift` is how far its axis has moved towards +y.

    `softness` is 1 / EA, 1 / GA and 1 / EI of what is left; the middle one is nought where shear does not count.
    """

    segment: int
    start: float
    end: float
    shift: float
    softness: tuple[float, float, float]


def stretches_of(truss: Truss, axes: Axes) -> list[Stretch]:
    """Every stretch, cut at joints. Raises CannotAnalyseError `property-missing` where what is left lacks one."""
    begins, lengths = axes.begins.tolist(), axes.length.tolist()
    found = []
    for number, segment in enumerate(truss.segments):
        for worn in truss.members[segment.member].worn:
            start = max(worn.start - begins[number], 0.0)
            end = min(worn.end - begins[number], lengths[number])
            if start < end:
                found.append(Stretch(number, start, end, worn.shift, _softness(truss, segment.member, worn)))
    return found


def _softness(truss: Truss, stick: MemberId, worn: Worn) -> tuple[float, float, float]:
    material = truss.material_of(stick)
    area, inertia, shear = worn.section.gross_area, worn.section.bending_inertia, worn.section.shear_area
    modulus, rigidity = (None, None) if material is None else (material.E, material.G)
    if not area or not inertia or not modulus:
        raise CannotAnalyseError(
            "property-missing",
            where=f"/members/{stick}",
            what=f"What is left of {stick} bends, and its area, inertia or E is not stated.",
            do="State the area and the inertia that are left.",
        )
    return 1 / (modulus * area), 1 / (rigidity * shear) if rigidity and shear else 0.0, 1 / (modulus * inertia)


def spread(placed: Placed, measured: Axes, axes: Axes) -> Placed:
    """Loads placed along axes from joint to joint, on the axes as they truly run.

    Places keep their part of the way, line loads their sums, and lack of fit and warmth what they lengthen by.
    """
    ratio = (axes.length / measured.length).tolist()
    return placed._replace(
        pieces=[
            (case, of, low * ratio[of], high * ratio[of], first / ratio[of], last / ratio[of], kind)
            for case, of, low, high, first, last, kind in placed.pieces
        ],
        points=[(case, of, place * ratio[of], fx, fy) for case, of, place, fx, fy in placed.points],
        strains=[(case, of, strain / ratio[of]) for case, of, strain in placed.strains],
    )
